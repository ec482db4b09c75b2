"""The people and dogs of the demo, as fixtures/demo/cast.json invents them."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

CAST = Path(__file__).resolve().parents[3] / "fixtures" / "demo" / "cast.json"


@dataclass(frozen=True)
class PersonSketch:
    """Someone of the demo."""

    key: str
    name: str
    email: str
    tz: str


@dataclass(frozen=True)
class DogSketch:
    """One dog's time with us. Days are counted from its first one.

    dog: its facts, with `age_days` on the first day in place of a birth date.
    weeks: since then. start_kg: weight then. holds_at: what truly holds its weight
    [kcal per kg^0.75 a day]. eats: from which day on, which part of its ration it really gets.
    looks: ribs, waist, tuck; without them nobody has looked yet, and there is no plan.
    foods: share by name. by: who weighs, in turn. every_days: between weigh-ins.
    away: days without a scale. in_pounds_near_day: one reading noted in the wrong unit.
    takes_changes: how many proposed changes are taken. paused: day, reason, note.
    """

    dog: dict[str, Any]
    weeks: float
    start_kg: float
    holds_at: float
    by: list[str]
    scale: str
    every_days: int
    eats: list[tuple[int, float]]
    looks: list[str] | None = None
    looks_later: list[tuple[int, list[str]]] = field(default_factory=list)
    intake: dict[str, Any] | None = None
    foods: dict[str, float] = field(default_factory=dict)
    method: str = "platform"
    away: list[tuple[int, int]] = field(default_factory=list)
    in_pounds_near_day: int | None = None
    notes: dict[str, str] = field(default_factory=dict)
    takes_changes: int = 0
    waits_for_yes: bool = False
    paused: dict[str, Any] | None = None

    @property
    def days(self) -> int:
        """Whole days since the first one."""
        return int(self.weeks * 7)


@dataclass(frozen=True)
class HouseholdSketch:
    """People, foods and dogs that belong together."""

    name: str
    kind: str
    open_weeks: int
    lead: str
    others: dict[str, str]
    foods: list[dict[str, Any]]
    dogs: list[DogSketch]


@dataclass(frozen=True)
class Cast:
    """Everyone."""

    people: list[PersonSketch]
    households: list[HouseholdSketch]


def read(path: Path = CAST) -> Cast:
    """The cast of a file."""
    told = json.loads(path.read_text(encoding="utf-8"))
    return Cast(
        people=[PersonSketch(**person) for person in told["people"]],
        households=[
            HouseholdSketch(
                **{**household, "dogs": [DogSketch(**dog) for dog in household["dogs"]]}
            )
            for household in told["households"]
        ],
    )
