"""Pull and snapshot: what a person may see, in the order in which it last changed.

A page depends on the person and the cursor alone, so asking twice is harmless. Nothing here reads
a clock: change numbers decide, and none of them is skipped (see `server.ledger.changes`).
"""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet, TextField
from django.db.models.functions import Cast

from server.households.access import dog_for, household_for
from server.households.models import Membership, Person
from server.ledger.models import Change

MOST_ROWS = 500
MOST_BYTES = 500 * 1024  # of rows; the answer around them stays below 512 KiB


@dataclass(frozen=True)
class Page:
    """rows: JSON texts, in order. cursor: where the next page begins. more: there is one now."""

    rows: list[str]
    cursor: int
    more: bool


def pull(person: Person, *, cursor: int, limit: int = MOST_ROWS) -> Page:
    """What changed for a person after `cursor`: their households, dogs, and rows of their own."""
    visible = Q(household_id__in=_households(person)) | Q(person_id=person.pk)
    return _page(Change.objects.filter(visible), cursor, limit)


def snapshot(person: Person, *, page: int) -> Page:
    """Everything a person may see now, for a phone that starts over."""
    rows = Change.objects.filter(household_id__in=_households(person))
    return _page(rows, page, MOST_ROWS)


def snapshot_of_dog(person: Person, dog_id: uuid.UUID, *, page: int) -> Page:
    """Everything about one dog. Raises NotFound where the person may not see it."""
    dog = dog_for(person, dog_id, need="read").dog
    return _page(Change.objects.filter(dog_id=dog.pk), page, MOST_ROWS)


def snapshot_of_household(person: Person, household_id: uuid.UUID, *, page: int) -> Page:
    """A household with its foods and dogs, and everything about them.

    Raises NotFound where the person is no member.
    """
    household_for(person, household_id, need="read")
    return _page(Change.objects.filter(household_id=household_id), page, MOST_ROWS)


def _households(person: Person) -> QuerySet[Membership, uuid.UUID]:
    # A query within the query: an empty pull must stay cheap.
    return Membership.objects.filter(person=person).values_list("household_id", flat=True)


def _page(changes: QuerySet[Change], after: int, limit: int) -> Page:
    rows: list[str] = []
    cursor, size = after, 0
    found = (
        changes.filter(seq__gt=after)
        .order_by("seq")
        .annotate(text=Cast("data", TextField()))
        .values_list("seq", "kind", "entity_id", "dog_id", "version", "deleted", "text")
    )
    for values in found[: limit + 1]:
        row = _row(values)
        size += len(row.encode()) + 1
        if len(rows) == limit or (rows and size > MOST_BYTES):
            return Page(rows, cursor, more=True)
        rows.append(row)
        cursor = values[0]
    return Page(rows, cursor, more=False)


def _row(values: tuple[Any, ...]) -> str:
    # The data is stored as JSON text and is passed on as it is, unread.
    seq, kind, entity_id, dog_id, version, deleted, text = values
    head = {
        "seq": seq,
        "type": kind,
        "id": str(entity_id),
        "dog_id": str(dog_id) if dog_id else None,
        "version": version,
        "deleted": deleted,
    }
    return f'{json.dumps(head)[:-1]}, "data": {text}}}'


def as_json(head: dict[str, Any], page: Page) -> str:
    """An answer with the page's rows as its "changes"."""
    return f'{json.dumps(head)[:-1]}, "changes": [{",".join(page.rows)}]}}'
