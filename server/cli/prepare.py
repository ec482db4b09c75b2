"""Makes a data folder ready: secret key, tables, static files, and the demo where it is wanted."""

from __future__ import annotations

import os
import secrets
import sys
from pathlib import Path

import platformdirs

KEY_BYTES = 48


def run(*, demo: bool) -> int:
    """Prepare the folder that the environment names; says in one line what failed."""
    from django.core.exceptions import ImproperlyConfigured

    try:
        make_ready()
        collect()
        if demo:
            from server.cli import demo as demo_command

            demo_command.load_unless_there()
    except ImproperlyConfigured as error:
        print(str(error).replace("\n", " "), file=sys.stderr)
        return 2
    return 0


def make_ready() -> None:
    """Make the key and the tables that the data folder lacks, and start Django on it.

    Raises ImproperlyConfigured with what is wrong and where.
    """
    folder = data_folder()
    os.environ["TUCKLINE_DATA"] = str(folder)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.settings")
    _make_folder(folder)
    if not os.environ.get("TUCKLINE_SECRET_KEY_FILE"):
        make_key(folder / "secret.key")
    _tables()


def collect() -> None:
    """Copy the phone app's files to where they are served from, under names that tell versions."""
    from django.core.management import call_command

    # Files of earlier releases stay: a phone may still run the page that asks for them.
    call_command("collectstatic", interactive=False, verbosity=0)


def data_folder() -> Path:
    """The folder that TUCKLINE_DATA names, else the user's own."""
    named = os.environ.get("TUCKLINE_DATA", "").strip()
    return Path(named or platformdirs.user_data_dir("tuckline")).expanduser().absolute()


def _make_folder(folder: Path) -> None:
    from django.core.exceptions import ImproperlyConfigured

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise ImproperlyConfigured(
            f"cannot write to the data folder {folder} ({error.strerror})."
        ) from error


def make_key(file: Path) -> None:
    """Write a new secret key, readable by its owner only, whole or not at all; keep an old one."""
    if file.exists():
        return
    partial = file.with_suffix(".partial")
    partial.unlink(missing_ok=True)
    handle = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as out:
        out.write(secrets.token_urlsafe(KEY_BYTES))
        out.flush()
        os.fsync(out.fileno())
    partial.replace(file)


def _tables() -> None:
    import django
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import call_command
    from django.db.utils import DatabaseError

    django.setup()
    from django.conf import settings

    try:
        call_command("createcachetable", verbosity=0)
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as error:
        raise ImproperlyConfigured(f"The database does not answer as it should: {error}") from error
    (settings.DATA / "mail").mkdir(exist_ok=True)
