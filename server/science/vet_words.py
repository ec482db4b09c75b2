"""A vet's word: it lifts the one gate it names, and only until it ends."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

PLAN = "plan"
FLOOR_0_7 = "floor_0_7"
TARGET_BELOW_70PCT = "target_below_70pct"
CONDITION_PREFIX = "condition:"


@dataclass(frozen=True)
class VetWord:
    """What a vet allowed.

    on: the day it was given. by: the vet's name.
    covers: "plan", "floor_0_7", "target_below_70pct" or "condition:" and a listed condition.
    until: last day it holds, or None for no end.
    """

    on: date
    by: str
    covers: str
    until: date | None = None

    def holds(self, as_of: date) -> bool:
        """Say whether the word is in force on a day; its last day counts."""
        return self.on <= as_of and (self.until is None or as_of <= self.until)

    def ended(self, as_of: date) -> bool:
        """Say whether the word once held and holds no more."""
        return self.until is not None and self.until < as_of


def word_for(covers: str, words: Iterable[VetWord], as_of: date) -> VetWord | None:
    """Return a word in force for one gate, the newest if there are several, or None."""
    holding = [word for word in words if word.covers == covers and word.holds(as_of)]
    return max(holding, key=lambda word: word.on, default=None)
