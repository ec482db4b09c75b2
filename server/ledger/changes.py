"""Change numbers: every shown thing has one row that says when it last changed."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.db import transaction

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


def _next_seq() -> int:
    # The row stays locked until the surrounding transaction ends, so a number becomes visible
    # only after every smaller one: a reader never steps over a late commit.
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("a change number may only be taken inside the transaction that writes")
    feed()
    row = Feed.objects.select_for_update().get(pk=1)
    row.last_seq += 1
    row.save(update_fields=["last_seq"])
    return row.last_seq


def publish(
    *,
    kind: str,
    entity_id: uuid.UUID,
    data: dict[str, Any],
    household_id: uuid.UUID | None = None,
    dog_id: uuid.UUID | None = None,
    person_id: uuid.UUID | None = None,
    deleted: bool = False,
) -> Stamp:
    """Give a thing its next change number and keep it as phones will see it.

    Must run inside the transaction that wrote the thing itself; raises RuntimeError otherwise.
    A deleted thing keeps its row without data.
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
    row = Change.objects.filter(pk=entity_id).only("version").first()
    if row is None:
        Change.objects.create(entity_id=entity_id, version=1, **facts)
        return Stamp(seq, 1)
    version = row.version + 1
    Change.objects.filter(pk=entity_id).update(version=version, **facts)
    return Stamp(seq, version)


def version_of(entity_id: uuid.UUID) -> int:
    """The version of a thing, 0 where it was never published."""
    row = Change.objects.filter(pk=entity_id).only("version").first()
    return row.version if row else 0
