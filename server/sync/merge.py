"""Who wins when two phones changed the same dog: the later write of each field, and no other."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# How old a dog is can be told in one of two ways. They are one fact, so they win or lose as one:
# a birth date from one phone and "grown" from another must never stand side by side.
AGE = ("birth_date", "grown")


def later(clock: str, standing: str) -> bool:
    """Whether a write beats the one that stands; a tie changes nothing."""
    return clock > standing


def told(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields, with the age told whole: a way that was not told is cleared."""
    if not set(AGE) & set(fields):
        return dict(fields)
    return {**dict.fromkeys(AGE), **fields}


def winners(clocks: Mapping[str, str], fields: Mapping[str, Any], clock: str) -> set[str]:
    """Names of the fields that this write wins.

    clocks: the reading of the write that stands, per field. fields: what is written.
    clock: this write's reading.
    """
    age = max(clocks.get(name, "") for name in AGE)
    standing = {name: age if name in AGE else clocks.get(name, "") for name in fields}
    return {name for name in fields if later(clock, standing[name])}
