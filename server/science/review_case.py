"""What a weekly review is made from."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from server.science.condition import Looks, Score
from server.science.dog import DogFacts, Muscle
from server.science.vet_words import VetWord

PlanKind = Literal["reduce", "hold", "step_up"]
Answer = Literal["accepted", "declined"]


@dataclass(frozen=True)
class WeighIn:
    """One reading [kg] on one scale; `scale` is any word that names the scale."""

    on: date
    kg: float
    scale: str


@dataclass(frozen=True)
class Feeding:
    """One day's food [kcal]. complete: everything eaten that day was logged."""

    on: date
    kcal: float
    complete: bool


@dataclass(frozen=True)
class Change:
    """A change of the day's energy [kcal/day] that was offered, and its answer."""

    on: date
    kcal_per_day: float
    answer: Answer


@dataclass(frozen=True)
class PlanFacts:
    """The plan under review: weights [kg], energy at its start [kcal/day], changes since."""

    kind: PlanKind
    started_on: date
    start_kg: float
    target_low_kg: float
    target_mid_kg: float
    target_high_kg: float
    first_goal_kg: float | None
    kcal_per_day: float
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class ReviewCase:
    """All that a review is made from.

    condition, muscle: the latest check, None when there was none; condition_on: its day, if known.
    """

    as_of: date
    dog: DogFacts
    plan: PlanFacts
    condition: Score | Looks | None = None
    muscle: Muscle = "normal"
    weigh_ins: tuple[WeighIn, ...] = ()
    feedings: tuple[Feeding, ...] = ()
    vet_words: tuple[VetWord, ...] = ()
    condition_on: date | None = None
