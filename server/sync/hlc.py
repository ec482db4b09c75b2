"""Hybrid logical clock: the order of edits that phones make without hearing of each other.

A reading is text of fixed width, ``{ms:013d}-{counter:04d}-{node}``, so that text order is time
order: milliseconds of the phone's clock corrected by the server's, a counter for edits within one
millisecond, and eight hex digits that name the phone and break ties.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

AHEAD = timedelta(minutes=5)  # a phone may be this far ahead of us
_SHAPE = re.compile(r"(?P<ms>[0-9]{13})-(?P<counter>[0-9]{4})-(?P<node>[0-9a-f]{8})", re.ASCII)


@dataclass(frozen=True)
class Reading:
    """value: what decides between edits. said: what the phone wrote, kept as it was."""

    value: str
    said: str


def well_formed(text: str) -> bool:
    """Whether the text is a reading of this clock."""
    return _SHAPE.fullmatch(text) is not None


def written(ms: int, counter: int, node: str) -> str:
    """A reading as text. ms: since 1970 [ms]."""
    return f"{ms:013d}-{counter:04d}-{node}"


def clamped(said: str, *, now: datetime, place: int) -> Reading:
    """The reading, put back to the time of receipt where the phone is over AHEAD of us.

    place: position within what the phone sent, 0 to 9999. Two edits that are both put back keep
    their order by it. A phone that is behind is taken at its word: it only loses ties.
    Raises ValueError for text that is not a reading.
    """
    parts = _SHAPE.fullmatch(said)
    if parts is None:
        raise ValueError(f"not a clock reading: {said!r}")
    if int(parts["ms"]) <= _ms(now + AHEAD):
        return Reading(said, said)
    return Reading(written(_ms(now), place, parts["node"]), said)


def _ms(instant: datetime) -> int:
    return int(instant.timestamp() * 1000)
