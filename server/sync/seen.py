"""Operations on facts: weigh-ins, condition checks and a vet's words. Two people, two facts."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from server.errors import Rejected
from server.households.access import dog_for
from server.ledger import changes
from server.ledger.changes import Stamp
from server.plans.actions import ask_review, dog_changed, entries_withdrawn
from server.records import actions
from server.records.models import ConditionCheck, WeighIn
from server.records.queries import Entry, entry_for, vet_word_for
from server.sync.ops import Op, Outcome, Who, applied, superseded
from server.sync.seen_data import (
    CheckAdd,
    CheckReplace,
    VetWordAdd,
    VetWordEnd,
    Void,
    WeighInAdd,
    WeighInReplace,
    WeighInUse,
)

# Keeps one entry: an action of records, called with the entry's own facts.
Record = Callable[..., tuple[WeighIn | ConditionCheck, Stamp | None]]


def add_weigh_in(op: Op[WeighInAdd], who: Who) -> Outcome:
    """A weigh-in."""
    return _add(actions.record_weigh_in, op, who)


def add_check(op: Op[CheckAdd], who: Who) -> Outcome:
    """A condition check."""
    return _add(actions.record_check, op, who)


def replace_weigh_in(op: Op[WeighInReplace], who: Who) -> Outcome:
    """The right reading for one that was entered wrongly."""
    return _replace(WeighIn, actions.record_weigh_in, op, who)


def replace_check(op: Op[CheckReplace], who: Who) -> Outcome:
    """The right check for one that was entered wrongly."""
    return _replace(ConditionCheck, actions.record_check, op, who)


def _add(record: Record, op: Op[Any], who: Who) -> Outcome:
    dog = dog_for(who.person, op.dog_id, need="log").dog
    entry, stamp = record(
        id=op.entity_id,
        dog=dog,
        heard=op.seen(),
        by=who.person,
        now=who.now,
        **op.data.model_dump(),
    )
    if stamp:
        ask_review(dog, now=who.now)
    return _kept(entry.pk, stamp)


def _replace(model: type[Entry], record: Record, op: Op[Any], who: Who) -> Outcome:
    old, door = entry_for(model, who.person, op.data.replaces, need="log")
    actions.require_own(old, door, who.person)
    _require_dog(op, door.dog.pk)
    entry, stamp = record(
        id=op.entity_id,
        dog=door.dog,
        heard=op.seen(),
        by=who.person,
        now=who.now,
        replaces=old,
        **op.data.model_dump(exclude={"replaces"}),
    )
    if stamp:
        entries_withdrawn(door.dog, [old.pk])
        ask_review(door.dog, now=who.now)
    return _kept(entry.pk, stamp)


def use_weigh_in(op: Op[WeighInUse], who: Who) -> Outcome:
    """A person's word on a reading that a review set aside."""
    weigh_in, door = entry_for(WeighIn, who.person, op.entity_id, need="log")
    _require_dog(op, door.dog.pk)
    stamp = actions.use(weigh_in=weigh_in, dog=door.dog, use=op.data.use, hlc=op.clock.value)
    if stamp is None:
        return superseded(changes.stamp_of(weigh_in.pk), {"use": weigh_in.use})
    ask_review(door.dog, now=who.now)
    return applied(stamp)


def void_weigh_in(op: Op[Void], who: Who) -> Outcome:
    """A weigh-in taken back, or given again."""
    return _void(WeighIn, op, who)


def void_check(op: Op[Void], who: Who) -> Outcome:
    """A condition check taken back, or given again."""
    return _void(ConditionCheck, op, who)


def _void(model: type[Entry], op: Op[Void], who: Who) -> Outcome:
    entry, door = entry_for(model, who.person, op.entity_id, need="log")
    actions.require_own(entry, door, who.person)
    _require_dog(op, door.dog.pk)
    stamp = actions.void(
        entry=entry,
        dog=door.dog,
        voided=op.data.void,
        reason=op.data.reason,
        hlc=op.clock.value,
        by=who.person,
        now=who.now,
    )
    if stamp is None:
        standing = {"voided": entry.voided_at is not None, "void_reason": entry.void_reason}
        return superseded(changes.stamp_of(entry.pk), standing)
    if op.data.void:
        entries_withdrawn(door.dog, [entry.pk])
    ask_review(door.dog, now=who.now)
    return applied(stamp)


def add_vet_word(op: Op[VetWordAdd], who: Who) -> Outcome:
    """What a vet allowed, as a lead wrote it down."""
    dog = dog_for(who.person, op.dog_id, need="lead").dog
    data = op.data
    word, stamp = actions.record_vet_word(
        id=op.entity_id,
        dog=dog,
        on=data.on,
        vet=data.by,
        covers=data.covers,
        until=data.until,
        by=who.person,
        now=who.now,
    )
    if stamp:
        dog_changed(dog, now=who.now)
    return _kept(word.pk, stamp)


def end_vet_word(op: Op[VetWordEnd], who: Who) -> Outcome:
    """The end of a vet's word."""
    word, door = vet_word_for(who.person, op.entity_id, need="lead")
    _require_dog(op, door.dog.pk)
    actions.require_open(door.dog)
    stamp = actions.end_vet_word(word=word, dog=door.dog, on=op.data.on)
    dog_changed(door.dog, now=who.now)
    return applied(stamp)


def _kept(entity_id: uuid.UUID, stamp: Stamp | None) -> Outcome:
    if stamp is None:
        return Outcome("duplicate", changes.stamp_of(entity_id).seq)
    return applied(stamp)


def _require_dog(op: Op[Any], dog_id: uuid.UUID) -> None:
    # Judged only after the door: a stranger learns nothing from it.
    if op.dog_id != dog_id:
        raise Rejected("bad_value", "dog_id must be the dog that this entry is about", "dog_id")
