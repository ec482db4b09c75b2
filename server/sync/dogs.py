"""Operations on dogs. Fields merge one by one: two people may edit different ones offline."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from server.errors import BadInput, Rejected
from server.households import actions
from server.households.access import Need, dog_for, household_for
from server.households.queries import dog_row
from server.ledger import changes
from server.plans.actions import dog_changed
from server.records.actions import require_open
from server.sync import merge
from server.sync.dog_data import DogAdd, DogArchive, DogEdit, DogPause
from server.sync.ops import Op, Outcome, Who, applied, superseded

OLDEST = timedelta(days=40 * 365)  # our guard against slips; no dog is known to have lived longer
SHIFT = timedelta(days=1)  # it may be tomorrow where the person is


def add(op: Op[DogAdd], who: Who) -> Outcome:
    """A new dog in a household that the person leads."""
    data = op.data
    household_for(who.person, data.household_id, need="lead")
    _require_itself(op)
    fields = data.model_dump(exclude={"household_id"})
    _check_facts(fields, sex=data.sex, reproduction=data.reproduction, today=who.now.date())
    dog, stamp = actions.add_dog(
        id=op.entity_id,
        household_id=data.household_id,
        fields=fields,
        hlc=op.clock.value,
        by=who.person,
        now=who.now,
    )
    if stamp is None:
        return Outcome("duplicate", changes.stamp_of(dog.pk).seq)
    return applied(stamp)


def edit(op: Op[DogEdit], who: Who) -> Outcome:
    """Some fields of a dog."""
    sent = {name: getattr(op.data, name) for name in op.data.model_fields_set}
    return _write(op, who, merge.told(sent), need="lead")


def pause(op: Op[DogPause], who: Who) -> Outcome:
    """A pause, or its end."""
    paused = op.data.paused
    fields = {"paused": paused.model_dump(mode="json") if paused else None}
    return _write(op, who, fields, need="log")


def archive(op: Op[DogArchive], who: Who) -> Outcome:
    """The closing of a dog's record, or its reopening."""
    closed = op.data.closed
    tomorrow = who.now.date() + SHIFT
    if closed and closed.on > tomorrow:
        raise BadInput("closed.on", f"must be a day up to {tomorrow}")
    fields = {"closed": closed.model_dump(mode="json") if closed else None}
    return _write(op, who, fields, need="lead")


def _write(op: Op[Any], who: Who, fields: dict[str, Any], *, need: Need) -> Outcome:
    door = dog_for(who.person, op.entity_id, need=need, lock=True)
    _require_itself(op)
    dog = door.dog
    if "closed" not in fields:
        require_open(dog)
    won = merge.winners(dog.field_clocks, fields, op.clock.value)
    written = {name: fields[name] for name in won}
    _check_facts(
        written,
        sex=written.get("sex", dog.sex),
        reproduction=written.get("reproduction", dog.reproduction),
        today=who.now.date(),
    )
    stamp = actions.edit_dog(
        dog=dog, fields=fields, won=won, hlc=op.clock.value, by=who.person, now=who.now
    )
    if not won:
        row = dog_row(dog)
        return superseded(stamp, {name: row[name] for name in fields})
    if won - _HARMLESS:
        dog_changed(dog, now=who.now)
    return applied(stamp)


_HARMLESS = frozenset({"name", "carer_may_accept"})  # decide nothing about how the dog is fed


def _require_itself(op: Op[Any]) -> None:
    if op.dog_id != op.entity_id:
        raise Rejected("bad_value", "dog_id must be the same as entity_id for a dog", "dog_id")


def _check_facts(written: dict[str, Any], *, sex: str, reproduction: str, today: date) -> None:
    """Raise BadInput for facts that each are possible and together, or today, are not."""
    born = written.get("birth_date")
    if born is not None and not today - OLDEST <= born <= today + SHIFT:
        raise BadInput("birth_date", f"must be a day from {today - OLDEST} to {today + SHIFT}")
    if sex == "male" and reproduction != "none" and {"sex", "reproduction"} & set(written):
        raise BadInput("reproduction", "must be none for a male dog")
