"""Read a JSON object key by key; whatever is wrong is named with what is allowed."""

import json
from collections.abc import Iterator
from datetime import date
from typing import Any, TypeVar

from server.errors import BadInput

EARLIEST, LATEST = date(1990, 1, 1), date(2199, 12, 31)  # days this project deals with
LONGEST_TEXT = 200  # characters
FEW, MANY = 200, 20_000  # entries of a list: things people set up, and things they log
_SHOWN = 40  # characters of a wrong value that are repeated to its author

T = TypeVar("T", bound=str)


class Fields:
    """The keys of one JSON object. `close` says which key is unknown.

    path: where the object stands in the document, e.g. "dog"; empty for the document itself.
    """

    def __init__(self, value: object, path: str = "") -> None:
        self.path = path
        if not isinstance(value, dict):
            raise BadInput(path or "document", f"must be a JSON object, not {shown(value)}")
        self._values: dict[str, Any] = value
        self._seen: set[str] = set()

    def name(self, key: str) -> str:
        """Return the full path of a key."""
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        """Say whether a key is there and not null."""
        self._seen.add(key)
        return self._values.get(key) is not None

    def raw(self, key: str) -> Any:
        """Return a value as it stands. Raises BadInput where the key is missing."""
        self._seen.add(key)
        if key not in self._values:
            raise BadInput(self.name(key), "must be given")
        return self._values[key]

    def number(self, key: str, low: float, high: float, unit: str) -> float:
        """Return a finite number within a range, both ends allowed."""
        value = self.raw(key)
        allowed = f"must be a number from {low:g} to {high:g} {unit}".rstrip()
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise BadInput(self.name(key), f"{allowed}, not {shown(value)}")
        if not low <= value <= high:
            raise BadInput(self.name(key), f"{allowed}, not {shown(value)}")
        return float(value)

    def number_or_none(self, key: str, low: float, high: float, unit: str) -> float | None:
        """Return a number within a range, or None where the key is missing or null."""
        return self.number(key, low, high, unit) if self.has(key) else None

    def whole(self, key: str, low: int, high: int) -> int:
        """Return a whole number within a range."""
        value = self.raw(key)
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or value not in range(low, high + 1)
        ):
            raise BadInput(
                self.name(key),
                f"must be a whole number from {low} to {high}, not {shown(value)}",
            )
        return int(value)

    def flag(self, key: str) -> bool:
        """Return true or false."""
        value = self.raw(key)
        if not isinstance(value, bool):
            raise BadInput(self.name(key), f"must be true or false, not {shown(value)}")
        return value

    def text(self, key: str) -> str:
        """Return a text that is not empty."""
        value = self.raw(key)
        if not isinstance(value, str) or not _writable(value):
            raise BadInput(
                self.name(key),
                f"must be a text of 1 to {LONGEST_TEXT} characters, not {shown(value)}",
            )
        return value

    def choice(self, key: str, allowed: tuple[T, ...]) -> T:
        """Return one of the allowed words."""
        value = self.raw(key)
        for word in allowed:
            if isinstance(value, str) and value == word:
                return word
        raise BadInput(self.name(key), f"must be one of {', '.join(allowed)}, not {shown(value)}")

    def day(self, key: str, *, earliest: date = EARLIEST, latest: date = LATEST) -> date:
        """Return an ISO 8601 date (YYYY-MM-DD) within a span, both ends allowed."""
        value = self.raw(key)
        allowed = f"must be a date from {earliest} to {latest}, written YYYY-MM-DD"
        try:
            day = date.fromisoformat(value) if isinstance(value, str) and len(value) == 10 else None
        except ValueError:
            day = None
        if day is None or value != day.isoformat() or not earliest <= day <= latest:
            raise BadInput(self.name(key), f"{allowed}, not {shown(value)}")
        return day

    def items(self, key: str, most: int = FEW) -> Iterator[tuple[str, Any]]:
        """Return each entry of a list with its path, e.g. ("foods[0]", {...}).

        most: how many entries the list may have.
        """
        value = self.raw(key)
        if not isinstance(value, list) or len(value) > most:
            raise BadInput(
                self.name(key), f"must be a list of at most {most} entries, not {shown(value)}"
            )
        return iter([(f"{self.name(key)}[{index}]", item) for index, item in enumerate(value)])

    def objects(self, key: str, most: int = FEW) -> Iterator["Fields"]:
        """Return each entry of a list of objects."""
        return (Fields(item, path) for path, item in self.items(key, most))

    def inner(self, key: str) -> "Fields":
        """Return the object under a key."""
        return Fields(self.raw(key), self.name(key))

    def keys(self) -> tuple[str, ...]:
        """Return all keys, as read; for objects whose keys are words of a list."""
        self._seen.update(self._values)
        return tuple(self._values)

    def close(self) -> None:
        """Raise BadInput for the first key that nobody asked for."""
        for key in self._values:
            if key not in self._seen:
                known = ", ".join(sorted(self._seen))
                raise BadInput(self.name(shown(key).strip('"')), f"is unknown; known are {known}")


def _writable(text: str) -> bool:
    # Half of a surrogate pair is valid in JSON but can be written in no file.
    halves = any("\ud800" <= sign <= "\udfff" for sign in text)
    return 0 < len(text.strip()) <= LONGEST_TEXT and not halves


def shown(value: object) -> str:
    """Return a wrong value, on one line and cut short, for its author to recognise."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else f"a list of {len(value)}"
    try:
        text = json.dumps(value, ensure_ascii=True)
    except (TypeError, ValueError):
        text = type(value).__name__
    return text if len(text) <= _SHOWN else text[: _SHOWN - 3] + "..."
