"""One operation of a phone: read from JSON, or refused with the field to blame."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Annotated, Any, Generic, Literal, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from server.errors import BadInput, Rejected
from server.households.models import Person
from server.households.zones import day_in
from server.ledger.changes import Stamp
from server.records.heard import Heard
from server.sync import hlc
from server.sync.fields import REFUSED, Id, Text, Whole, path_of
from server.sync.instants import Clock, Day, Moment, Zone
from server.sync.shape import Shape

AHEAD = timedelta(hours=24)  # a measurement further ahead of our clock is flagged
DAYS_APART = 2  # between the day a person saw and the instant; a day line lies between at most one
MOST_VERSION = 2**31 - 1

D = TypeVar("D", bound=Shape)
M = TypeVar("M", bound=BaseModel)


class Envelope(Shape):
    """What every operation says, whatever its kind."""

    op_id: Annotated[uuid.UUID, Id(new=True)]
    kind: Annotated[str, Text(40, 1)]
    entity_id: Annotated[uuid.UUID, Id()]
    dog_id: Annotated[uuid.UUID, Id()] | None = None
    hlc: Annotated[str, Clock()]
    measured_at: Annotated[datetime, Moment()] | None = None
    local_date: Annotated[date, Day()] | None = None
    tz: Annotated[str, Zone()] | None = None
    base: dict[str, Annotated[int, Whole(0, MOST_VERSION)]] | None = None
    data: dict[str, Any]


@dataclass(frozen=True)
class Op(Generic[D]):
    """A well-formed operation. Nothing is said yet on whether this person may do it.

    clock: decides between edits. heard: when a fact was seen, where the kind is about one.
    on: the day the person did it, as their phone says, else None.
    """

    op_id: uuid.UUID
    kind: str
    entity_id: uuid.UUID
    dog_id: uuid.UUID | None
    clock: hlc.Reading
    heard: Heard | None
    on: date | None
    base: Mapping[str, int]
    data: D

    def seen(self) -> Heard:
        """When the fact was seen; kinds about facts always say."""
        if self.heard is None:
            raise BadInput("measured_at", "must be given")
        return self.heard


@dataclass(frozen=True)
class Who:
    """Who sends, and when it arrived."""

    person: Person
    now: datetime


@dataclass(frozen=True)
class Outcome:
    """What became of an operation. seq: of the change. winner: what stands instead."""

    status: Literal["applied", "duplicate", "superseded"]
    seq: int
    winner: dict[str, Any] | None = None


def applied(stamp: Stamp) -> Outcome:
    """It took effect under this number."""
    return Outcome("applied", stamp.seq)


def superseded(stamp: Stamp, winner: dict[str, Any]) -> Outcome:
    """A later write stands; this one is kept as history."""
    return Outcome("superseded", stamp.seq, winner)


@dataclass(frozen=True)
class Kind(Generic[D]):
    """A kind of operation: its data, what applies it, and what it must say.

    seen: tells of a fact, so measured_at, local_date and tz are required.
    dated: local_date and tz are required. new: entity_id is made for it.
    about: "dog" requires dog_id, "household" wants none.
    """

    name: str
    data: type[D]
    apply: Callable[[Op[D], Who], Outcome]
    seen: bool = False
    dated: bool = False
    new: bool = False
    about: Literal["dog", "household"] = "dog"


def read(
    raw: Mapping[str, Any], kinds: Mapping[str, Kind[Any]], *, now: datetime, place: int
) -> tuple[Kind[Any], Op[Any]]:
    """Read an operation. Raises Rejected: unknown_kind, bad_op or bad_value with the field.

    place: position in what the phone sent, see `hlc.clamped`.
    """
    envelope = checked(Envelope, raw)
    kind = kinds.get(envelope.kind)
    if kind is None:
        raise Rejected("unknown_kind", f"kind {envelope.kind} is not known here", "kind")
    _check_envelope(envelope, kind)
    clock = hlc.clamped(envelope.hlc, now=now, place=place)
    data = checked(kind.data, envelope.data)
    op = Op(
        op_id=envelope.op_id,
        kind=envelope.kind,
        entity_id=envelope.entity_id,
        dog_id=envelope.dog_id,
        clock=clock,
        heard=_heard(envelope, clock, now) if kind.seen else None,
        on=envelope.local_date,
        base=envelope.base or {},
        data=data,
    )
    return kind, op


def _check_envelope(envelope: Envelope, kind: Kind[Any]) -> None:
    required = ("measured_at", "local_date", "tz") if kind.seen else ("local_date", "tz")
    if kind.seen or kind.dated:
        for name in required:
            if getattr(envelope, name) is None:
                raise Rejected("bad_op", f"{name} must be given for {kind.name}", name)
    if kind.new and envelope.entity_id.version != 7:
        raise Rejected("bad_value", f"entity_id must be {Id(new=True).words()}", "entity_id")
    if kind.about == "dog" and envelope.dog_id is None:
        raise Rejected("bad_op", f"dog_id must be given for {kind.name}", "dog_id")
    if kind.about == "household" and envelope.dog_id is not None:
        raise Rejected("bad_op", f"dog_id must be null for {kind.name}", "dog_id")


def _heard(envelope: Envelope, clock: hlc.Reading, now: datetime) -> Heard:
    measured_at, local_date, tz = envelope.measured_at, envelope.local_date, envelope.tz
    assert measured_at is not None  # _check_envelope saw to the three
    assert local_date is not None
    assert tz is not None
    day = day_in(tz, measured_at)
    if abs((local_date - day).days) > DAYS_APART:
        raise Rejected(
            "bad_value",
            f"local_date must be within {DAYS_APART} days of {day}, "
            f"the day it was in {tz} at measured_at",
            "local_date",
        )
    return Heard(
        measured_at=measured_at,
        local_date=local_date,
        tz=tz,
        hlc=clock.value,
        hlc_said=clock.said,
        flagged_future=measured_at > now.astimezone(UTC) + AHEAD,
    )


def checked(shape: type[M], raw: Any) -> M:
    """An object of this shape. Raises Rejected: bad_op or bad_value, with the field."""
    try:
        return shape.model_validate(raw)
    except ValidationError as error:
        raise _in_words(error.errors(include_url=False)[0]) from None


def _in_words(error: ErrorDetails) -> Rejected:
    field = path_of(error["loc"])
    context = error.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, BadInput):
        return Rejected("bad_value", f"{cause.field} {cause.message}", cause.field)
    if error["type"] == REFUSED:
        return Rejected("bad_value", f"{field} {error['msg']}", field)
    if error["type"] == "too_long":
        return Rejected(
            "bad_value", f"{field} must have at most {context['max_length']} items", field
        )
    words = {"missing": "must be given", "extra_forbidden": "is not known here"}
    fallback = "must be a list" if error["type"] == "list_type" else "must be an object"
    return Rejected("bad_op", f"{field or 'data'} {words.get(error['type'], fallback)}", field)
