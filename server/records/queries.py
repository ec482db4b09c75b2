"""What people saw, as phones see it; and the doors to single entries."""

from __future__ import annotations

import uuid
from typing import Any, TypeVar

from django.db.models import QuerySet

from server.errors import NotFound
from server.households.access import Door, Need, dog_for
from server.households.models import Dog, Person
from server.households.queries import by
from server.records.models import ConditionCheck, Seen, VetWord, WeighIn

Entry = TypeVar("Entry", WeighIn, ConditionCheck)


def entry_for(
    model: type[Entry], person: Person, entry_id: uuid.UUID, *, need: Need
) -> tuple[Entry, Door]:
    """An entry and the door to the dog it is really about.

    Raises NotFound where this person may not know of it, NotAllowed below need.
    """
    entry = model.objects.filter(pk=entry_id).select_related("recorded_by").first()
    if entry is None:
        raise NotFound("There is no such entry for you.", "entity_id")
    try:
        door = dog_for(person, entry.dog_id, need=need)
    except NotFound:
        raise NotFound("There is no such entry for you.", "entity_id") from None
    return entry, door


def vet_word_for(person: Person, word_id: uuid.UUID, *, need: Need) -> tuple[VetWord, Door]:
    """A vet's word and the door to its dog; raises as `entry_for` does."""
    word = VetWord.objects.filter(pk=word_id).select_related("recorded_by").first()
    if word is None:
        raise NotFound("There is no such entry for you.", "entity_id")
    try:
        return word, dog_for(person, word.dog_id, need=need)
    except NotFound:
        raise NotFound("There is no such entry for you.", "entity_id") from None


def standing(model: type[Entry], dog: Dog) -> QuerySet[Entry]:
    """A dog's entries that count: neither taken back nor corrected by a newer one."""
    rows: QuerySet[Entry] = model.objects.filter(dog=dog, voided_at=None, replaced_by=None)
    return rows.order_by("measured_at", "id")


def stands(entry: Seen) -> bool:
    """Whether an entry counts: neither taken back nor corrected by a newer one."""
    return entry.voided_at is None and successor_id(entry) is None


def successor_id(entry: Seen) -> uuid.UUID | None:
    """The entry that corrects this one."""
    later = type(entry)._default_manager.filter(replaces=entry.pk)
    return later.values_list("pk", flat=True).first()


def weigh_in_row(weigh_in: WeighIn, *, replaced_by: uuid.UUID | None) -> dict[str, Any]:
    """A weigh-in as phones keep it."""
    return {
        "weight_g": weigh_in.weight_g,
        "scale": weigh_in.scale,
        "method": weigh_in.method,
        "use": weigh_in.use,
        **_seen_row(weigh_in, replaced_by),
    }


def check_row(check: ConditionCheck, *, replaced_by: uuid.UUID | None) -> dict[str, Any]:
    """A condition check as phones keep it."""
    return {
        "ribs": check.ribs,
        "waist": check.waist,
        "tuck": check.tuck,
        "score": check.score,
        "muscle": check.muscle,
        **_seen_row(check, replaced_by),
    }


def vet_word_row(word: VetWord) -> dict[str, Any]:
    """A vet's word as phones keep it."""
    return {
        "on": word.on.isoformat(),
        "by": word.by,
        "covers": word.covers,
        "until": word.until.isoformat() if word.until else None,
        "ended_on": word.ended_on.isoformat() if word.ended_on else None,
        "recorded_by": by(word.recorded_by),
    }


def _seen_row(entry: WeighIn | ConditionCheck, replaced_by: uuid.UUID | None) -> dict[str, Any]:
    replaces = entry.replaces_id
    return {
        "note": entry.note,
        "measured_at": entry.measured_at.isoformat(),
        "local_date": entry.local_date.isoformat(),
        "tz": entry.tz,
        "by": by(entry.recorded_by),
        "received_at": entry.received_at.isoformat(),
        "replaces": str(replaces) if replaces else None,
        "replaced_by": str(replaced_by) if replaced_by else None,
        "voided": entry.voided_at is not None,
        "void_reason": entry.void_reason,
        "flagged_future": entry.flagged_future,
    }
