"""`tuckline demo`: invented people and dogs, to try everything out. Never for real entries.

Their past is told through the same operations, jobs and reviews as anybody's, up to today.
"""

from __future__ import annotations

import argparse
import os
import secrets
import sys
from pathlib import Path
from typing import Any

SYLLABLES = [first + second for first in "bdfgklmnprstvz" for second in "aeiou"]
ONLY_TO_TRY = (
    "These accounts are only for trying out: everybody who can reach this server "
    "and knows the password can use them."
)


def run(argv: list[str]) -> int:
    """Load the demo into a data folder, once; print how to sign in. Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tuckline demo", description=__doc__)
    parser.add_argument("--data", type=Path, metavar="DIR", help="data folder (made if missing)")
    parser.add_argument(
        "--among-others",
        action="store_true",
        help="load it although the folder holds accounts of other people",
    )
    wish = parser.parse_args(argv)
    if wish.data:
        os.environ["TUCKLINE_DATA"] = str(wish.data.expanduser().absolute())

    from django.core.exceptions import ImproperlyConfigured

    from server.cli import prepare

    try:
        prepare.make_ready()
        print(load_unless_there(among_others=wish.among_others))
    except ImproperlyConfigured as error:
        print(f"tuckline demo: {error}", file=sys.stderr)
        return 2
    return 0


def load_unless_there(*, among_others: bool = False) -> str:
    """Load the demo where it is not loaded yet; the answer says how to sign in.

    Raises ImproperlyConfigured where other people have accounts here, unless told to mix.
    """
    from django.conf import settings
    from django.core.exceptions import ImproperlyConfigured
    from django.utils import timezone

    from server.cli.story import cast, telling
    from server.households.models import Person

    story = cast.read()
    emails = [person.email for person in story.people]
    note = settings.DATA / "demo" / "sign-in.txt"
    if Person.objects.filter(email__in=emails).exists():
        return note.read_text(encoding="utf-8") if note.exists() else _renew(story, note)
    others = Person.objects.exclude(email__in=emails).count()
    if others and not among_others:
        raise ImproperlyConfigured(
            f"{others} people have accounts in {settings.DATA}; the demo does not go among them. "
            "Name an empty folder with --data, or load it there on purpose with "
            "`tuckline demo --among-others`."
        )
    password = make_password()
    telling.tell(story, password=password, now=timezone.now())
    return _write(note, sign_in_text(story, password))


def make_password() -> str:
    """Four words of nonsense that are easy to type: 49 bits."""
    return "-".join(secrets.choice(SYLLABLES) + secrets.choice(SYLLABLES) for _ in range(4))


def sign_in_text(story: Any, password: str) -> str:
    """Who may be signed in as, and with what."""
    roles: dict[str, list[str]] = {}
    for household in story.households:
        lead = "coordinator" if household.kind == "rescue" else "lead"
        for key, role in {household.lead: lead, **household.others}.items():
            roles.setdefault(key, []).append(f"{role} of {household.name}")
    lines = [f"Demo sign-in, password for all of them: {password}"]
    lines += [
        f"  {person.email:<30} {person.name}: {', '.join(roles[person.key])}"
        for person in story.people
    ]
    return "\n".join([*lines, ONLY_TO_TRY]) + "\n"


def _renew(story: Any, note: Path) -> str:
    """The note is gone, and only it held the password: give the people a new one."""
    from django.contrib.auth.hashers import make_password as hashed

    from server.households.models import Person

    password = make_password()
    people = Person.objects.filter(email__in=[person.email for person in story.people])
    people.update(password=hashed(password))
    return _write(note, sign_in_text(story, password))


def _write(note: Path, text: str) -> str:
    note.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    note.touch(mode=0o600)
    note.write_text(text, encoding="utf-8")
    return text
