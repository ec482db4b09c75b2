"""What one field of an operation may hold. Each type says in words what it allows.

Nothing is converted or trimmed: what a phone says is stored as it said it, or refused.
"""

from __future__ import annotations

import math
import re
import unicodedata
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from server.breeds import breed_named

REFUSED = "refused"  # pydantic's name for the errors made here

_UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}", re.ASCII)


class Checked:
    """A type with one check of its own; a subclass says what is allowed."""

    def words(self) -> str:
        """What is allowed, after "must be"."""
        raise NotImplementedError

    def check(self, value: Any) -> Any:
        """The value as we use it. Raises ValueError where it is not allowed."""
        raise NotImplementedError

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        """Let pydantic call the check and nothing else."""
        return core_schema.no_info_plain_validator_function(self._or_words)

    def _or_words(self, value: Any) -> Any:
        try:
            return self.check(value)
        except ValueError:
            raise PydanticCustomError(REFUSED, "must be {words}", {"words": self.words()}) from None


def only(allowed: bool) -> None:
    """Raise ValueError unless allowed; a check says what is allowed by its words."""
    if not allowed:
        raise ValueError


@dataclass(frozen=True)
class Whole(Checked):
    """A whole number from low to high."""

    low: int
    high: int
    unit: str = ""

    def words(self) -> str:
        """The range."""
        return f"a whole number from {self.low} to {self.high} {self.unit}".rstrip()

    def check(self, value: Any) -> int:
        """Booleans are no numbers, and 3.0 is not whole here: JSON can tell them apart."""
        only(type(value) is int and self.low <= value <= self.high)
        return int(value)


@dataclass(frozen=True)
class Number(Checked):
    """A finite number from low to high."""

    low: float
    high: float
    unit: str = ""

    def words(self) -> str:
        """The range."""
        return f"a number from {self.low:g} to {self.high:g} {self.unit}".rstrip()

    def check(self, value: Any) -> float:
        """NaN and infinity are refused with the rest."""
        only(type(value) in (int, float) and self.low <= value <= self.high)
        only(math.isfinite(value))
        return float(value)


@dataclass(frozen=True)
class Flag(Checked):
    """True or false."""

    def words(self) -> str:
        """Both."""
        return "true or false"

    def check(self, value: Any) -> bool:
        """0 and 1 are numbers."""
        only(type(value) is bool)
        return bool(value)


@dataclass(frozen=True)
class Text(Checked):
    """Words of a person. lines: a line break is allowed."""

    most: int
    least: int = 0
    lines: bool = False

    def words(self) -> str:
        """The lengths."""
        return f"a text of {self.least} to {self.most} characters without control characters"

    def check(self, value: Any) -> str:
        """A text that both databases can hold: no control characters, no half of a pair."""
        only(isinstance(value, str) and len(value) <= self.most)
        only(len(value.strip()) >= self.least)
        for sign in value:
            if not (self.lines and sign == "\n"):
                only(unicodedata.category(sign) not in ("Cc", "Cs"))
        return str(value)


@dataclass(frozen=True, init=False)
class Word(Checked):
    """One of a list of words."""

    allowed: tuple[str, ...]

    def __init__(self, *allowed: str) -> None:
        object.__setattr__(self, "allowed", allowed)

    def words(self) -> str:
        """The list."""
        return f"one of {', '.join(self.allowed)}"

    def check(self, value: Any) -> str:
        """Exactly as listed."""
        only(isinstance(value, str) and value in self.allowed)
        return str(value)


@dataclass(frozen=True)
class Words(Checked):
    """A list of words, each at most once."""

    allowed: frozenset[str]

    def words(self) -> str:
        """The list."""
        return f"a list of words, each once, from {', '.join(sorted(self.allowed))}"

    def check(self, value: Any) -> list[str]:
        """Order is kept."""
        only(isinstance(value, list) and all(isinstance(word, str) for word in value))
        only(len(set(value)) == len(value) and set(value) <= self.allowed)
        return list(value)


class Grown(Checked):
    """What is known of a dog without a birth date."""

    def words(self) -> str:
        """The three answers."""
        return 'true, false or "unknown"'

    def check(self, value: Any) -> bool | str:
        """1 is not true."""
        only(type(value) is bool or (isinstance(value, str) and value == "unknown"))
        return bool(value) if type(value) is bool else "unknown"


class Breed(Checked):
    """A name of the breed table."""

    def words(self) -> str:
        """Where to look."""
        return "a name that means one breed of the breed table"

    def check(self, value: Any) -> str:
        """As the person wrote it: accents and case do not matter."""
        only(isinstance(value, str) and len(value) <= 80 and breed_named(value) is not None)
        return str(value)


@dataclass(frozen=True)
class Covers(Checked):
    """The gate that a vet's word lifts."""

    plain: tuple[str, ...]
    conditions: frozenset[str]
    prefix: str

    def words(self) -> str:
        """The gates."""
        listed = ", ".join(sorted(self.conditions))
        return f"one of {', '.join(self.plain)}, or {self.prefix} with one of {listed}"

    def check(self, value: Any) -> str:
        """A gate, or a listed condition behind the prefix."""
        only(isinstance(value, str))
        listed = value.startswith(self.prefix) and value.removeprefix(self.prefix)
        only(value in self.plain or listed in self.conditions)
        return str(value)


@dataclass(frozen=True)
class Id(Checked):
    """An id in lower case. new: made by a phone for this operation, so of version 7."""

    new: bool = False

    def words(self) -> str:
        """The form."""
        return f"a lower-case UUID{' of version 7' if self.new else ''}"

    def check(self, value: Any) -> uuid.UUID:
        """Only the canonical form, so that one id has one spelling."""
        only(isinstance(value, str) and _UUID.fullmatch(value) is not None)
        parsed = uuid.UUID(value)
        only(not self.new or (parsed.version == 7 and parsed.variant == uuid.RFC_4122))
        return parsed


def path_of(loc: Iterable[int | str]) -> str:
    """Where in the operation: ``foods[0].share``."""
    path = ""
    for part in loc:
        path += f"[{part}]" if isinstance(part, int) else f".{part}" if path else part
    return path
