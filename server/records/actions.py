"""Writes of what people saw: facts are added, taken back or corrected by a new row."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from typing import Any, TypeVar

from server.errors import NotAllowed, Rejected
from server.households.access import Door
from server.households.actions import publish_about
from server.households.models import Dog, Person
from server.ledger import changes
from server.ledger.changes import Stamp
from server.ledger.turns import together
from server.records import queries
from server.records.heard import Heard
from server.records.models import ConditionCheck, Seen, VetWord, WeighIn
from server.records.queries import Entry

Known = TypeVar("Known", WeighIn, ConditionCheck, VetWord)


@together
def record_weigh_in(
    *,
    id: uuid.UUID,
    dog: Dog,
    weight_g: int,
    scale: str,
    heard: Heard,
    by: Person,
    now: datetime,
    note: str = "",
    method: str = "platform",
    replaces: WeighIn | None = None,
) -> tuple[WeighIn, Stamp | None]:
    """Keep one weigh-in [whole grams]. The stamp is None where this very one is known already.

    Raises Rejected: "id_taken" where the id belongs to something else, "gone" where the dog's
    record was closed before, or where another entry already corrects the one it replaces.
    """
    facts = {"weight_g": weight_g, "scale": scale, "note": note, "method": method}
    return _record(
        WeighIn, id=id, dog=dog, facts=facts, heard=heard, by=by, now=now, replaces=replaces
    )


@together
def record_check(
    *,
    id: uuid.UUID,
    dog: Dog,
    heard: Heard,
    by: Person,
    now: datetime,
    ribs: str | None = None,
    waist: str | None = None,
    tuck: str | None = None,
    score: int | None = None,
    muscle: str = "normal",
    note: str = "",
    replaces: ConditionCheck | None = None,
) -> tuple[ConditionCheck, Stamp | None]:
    """Keep one condition check: three looks, or a score. Answers and raises as a weigh-in does."""
    facts = {"ribs": ribs, "waist": waist, "tuck": tuck, "score": score}
    facts |= {"muscle": muscle, "note": note}
    return _record(
        ConditionCheck, id=id, dog=dog, facts=facts, heard=heard, by=by, now=now, replaces=replaces
    )


def _record(
    model: type[Entry],
    *,
    id: uuid.UUID,
    dog: Dog,
    facts: dict[str, Any],
    heard: Heard,
    by: Person,
    now: datetime,
    replaces: Entry | None,
) -> tuple[Entry, Stamp | None]:
    told: dict[str, Any] = {
        **facts,
        "measured_at": heard.measured_at,
        "local_date": heard.local_date,
        "tz": heard.tz,
        "replaces_id": replaces.pk if replaces else None,
    }
    if not changes.is_free(id):
        return _known(model.objects.filter(pk=id, dog=dog).first(), told), None
    require_open(dog, on=heard.local_date)
    if replaces:
        _require_replaceable(replaces)
    entry = model.objects.create(
        id=id,
        dog=dog,
        recorded_by=by,
        received_at=now,
        hlc=heard.hlc,
        hlc_said=heard.hlc_said,
        flagged_future=heard.flagged_future,
        **told,
    )
    if replaces:
        _publish(replaces, dog, replaced_by=id)
    return entry, _publish(entry, dog, replaced_by=None, new=True)


def _known(known: Known | None, told: dict[str, Any]) -> Known:
    """The thing that holds this id, if it is the very one that was told."""
    if known and all(getattr(known, name) == value for name, value in told.items()):
        return known
    raise changes.id_taken()


def require_open(dog: Dog, *, on: date | None = None) -> None:
    """Raise Rejected "gone" for a dog whose record is closed.

    on: the day of a fact; one that was seen before the closing is still welcome, however late
    the phone that holds it comes back.
    """
    if dog.closed and (on is None or on > date.fromisoformat(dog.closed["on"])):
        raise Rejected("gone", f"{dog.name}'s record is closed. A lead can open it again.")


def _require_replaceable(entry: Entry) -> None:
    successor = queries.successor_id(entry)
    if successor:
        raise Rejected(
            "gone", "This entry was corrected already. Correct the newer one.", "replaces"
        )
    if entry.voided_at is not None:
        raise Rejected("gone", "This entry was taken back. Log a new one.", "replaces")


def require_own(entry: Seen, door: Door, person: Person) -> None:
    """Raise NotAllowed unless the person logged the entry, or leads."""
    if not door.leads and entry.recorded_by_id != person.pk:
        raise NotAllowed("Only the person who logged this, or a lead, can change it.")


@together
def void(
    *, entry: Entry, dog: Dog, voided: bool, reason: str, hlc: str, by: Person, now: datetime
) -> Stamp | None:
    """Take an entry back, or give it again; the later word stands. None: a later one does."""
    if hlc <= entry.void_clock:
        return None
    entry.voided_at = (entry.voided_at or now) if voided else None
    entry.voided_by = by if voided else None
    entry.void_reason = reason if voided else ""
    entry.void_clock = hlc
    entry.save(update_fields=["voided_at", "voided_by", "void_reason", "void_clock"])
    return _publish(entry, dog, replaced_by=queries.successor_id(entry))


@together
def use(*, weigh_in: WeighIn, dog: Dog, use: bool, hlc: str) -> Stamp | None:
    """Say whether a reading that a review set aside counts. None: a later word stands."""
    if hlc <= weigh_in.use_clock:
        return None
    weigh_in.use = use
    weigh_in.use_clock = hlc
    weigh_in.save(update_fields=["use", "use_clock"])
    return _publish(weigh_in, dog, replaced_by=queries.successor_id(weigh_in))


@together
def record_vet_word(
    *,
    id: uuid.UUID,
    dog: Dog,
    on: date,
    vet: str,
    covers: str,
    until: date | None,
    by: Person,
    now: datetime,
) -> tuple[VetWord, Stamp | None]:
    """Keep what a vet allowed. Answers and raises as a weigh-in does."""
    facts = {"on": on, "by": vet, "covers": covers, "until": until}
    if not changes.is_free(id):
        return _known(VetWord.objects.filter(pk=id, dog=dog).first(), facts), None
    require_open(dog)
    word = VetWord.objects.create(id=id, dog=dog, recorded_by=by, received_at=now, **facts)
    return word, _publish_vet_word(word, dog)


@together
def end_vet_word(*, word: VetWord, dog: Dog, on: date) -> Stamp:
    """End a vet's word from a day on. Of two ends the earlier stands: it is the careful one."""
    if word.ended_on is None or on < word.ended_on:
        word.ended_on = on
        word.save(update_fields=["ended_on"])
    return _publish_vet_word(word, dog)


def _publish_vet_word(word: VetWord, dog: Dog) -> Stamp:
    return publish_about(dog, kind="vet_word", entity_id=word.pk, data=queries.vet_word_row(word))


def _publish(entry: Entry, dog: Dog, *, replaced_by: uuid.UUID | None, new: bool = False) -> Stamp:
    kind, row = (
        ("weigh_in", queries.weigh_in_row(entry, replaced_by=replaced_by))
        if isinstance(entry, WeighIn)
        else ("check", queries.check_row(entry, replaced_by=replaced_by))
    )
    return publish_about(dog, kind=kind, entity_id=entry.pk, data=row, new=new)
