"""Change numbers: every shown thing has one row that says when it last changed."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.db import connection, transaction

from server.errors import Rejected
from server.ledger.models import Change, Feed


@dataclass(frozen=True)
class Stamp:
    """The number and version that one change was given."""

    seq: int
    version: int


def epoch() -> uuid.UUID:
    """The age of this database; another value means it was put back from a backup."""
    return feed().epoch


def feed() -> Feed:
    """The row with the last change number, made on first use."""
    row = Feed.objects.filter(pk=1).first()
    return row or Feed.objects.get_or_create(pk=1)[0]


def hold() -> None:
    """Take the counter row now, before any other lock, until the transaction ends.

    Every writer that also locks other rows starts with this, so no two wait for each other, and
    what it reads afterwards nobody changes under it. SQLite's IMMEDIATE transactions do the same.
    """
    _require_transaction()
    if not Feed.objects.select_for_update().filter(pk=1).first():
        feed()
        hold()


def _require_transaction() -> None:
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("a change number may only be taken inside the transaction that writes")


def _next_seq() -> int:
    # The row stays locked until the surrounding transaction ends, so a number becomes visible
    # only after every smaller one: a reader never steps over a late commit.
    _require_transaction()
    with connection.cursor() as cursor:
        cursor.execute("UPDATE ledger_feed SET last_seq = last_seq + 1 RETURNING last_seq")
        row = cursor.fetchone()
    if row is None:
        feed()
        return _next_seq()
    return int(row[0])


def is_free(entity_id: uuid.UUID) -> bool:
    """Whether the id belongs to nothing yet."""
    return not Change.objects.filter(pk=entity_id).exists()


def id_taken() -> Rejected:
    """The answer to a new thing whose id belongs to another, without a hint of what or whose."""
    return Rejected("id_taken", "This id already belongs to another entry.", "entity_id")


def publish(
    *,
    kind: str,
    entity_id: uuid.UUID,
    data: dict[str, Any],
    household_id: uuid.UUID | None = None,
    dog_id: uuid.UUID | None = None,
    person_id: uuid.UUID | None = None,
    deleted: bool = False,
    new: bool = False,
) -> Stamp:
    """Give a thing its next change number and keep it as phones will see it.

    Must run inside the transaction that wrote the thing itself; raises RuntimeError otherwise.
    A deleted thing keeps its row without data. new: the caller saw that the id is free.
    One id is one thing for ever: raises Rejected "id_taken" where the id was published as a thing
    of another kind.
    """
    seq = _next_seq()
    facts = {
        "kind": kind,
        "seq": seq,
        "household_id": household_id,
        "dog_id": dog_id,
        "person_id": person_id,
        "deleted": deleted,
        "data": {} if deleted else data,
    }
    row = None if new else Change.objects.filter(pk=entity_id).only("version", "kind").first()
    if row is None:
        Change.objects.create(entity_id=entity_id, version=1, **facts)
        return Stamp(seq, 1)
    if _family(row.kind) != _family(kind):
        raise id_taken()
    version = row.version + 1
    Change.objects.filter(pk=entity_id).update(version=version, **facts)
    return Stamp(seq, version)


def _family(kind: str) -> str:
    # access.granted and access.removed are states of one membership.
    return kind.partition(".")[0]


def stamp_of(entity_id: uuid.UUID) -> Stamp:
    """The number and version of a thing as it stands; zeros where it was never published."""
    row = Change.objects.filter(pk=entity_id).only("seq", "version").first()
    return Stamp(row.seq, row.version) if row else Stamp(0, 0)


def as_published(entity_id: uuid.UUID) -> dict[str, Any]:
    """What phones see of a thing now, with its version; empty where it was never published."""
    row = Change.objects.filter(pk=entity_id).only("version", "data").first()
    return {"version": row.version, **row.data} if row else {}
