"""Dogs that eat and weigh in by an energy balance of the tests' own, not of the code under test."""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date, timedelta

from server.science.condition import Score
from server.science.review_case import Change, Feeding, PlanFacts, PlanKind, ReviewCase, WeighIn
from tests.science.cast import JUNIPER

START = date(2026, 1, 5)


@dataclass(frozen=True)
class Life:
    """One dog's true weights by day, and what its people wrote down."""

    true_kg: list[float]
    case: ReviewCase

    @property
    def true_rate(self) -> float:
        """The true rate over the last week [% per week]."""
        return 100 * (self.true_kg[-1] / self.true_kg[-8] - 1)


def life(
    *,
    seed: int,
    rate: float = -1.0,
    weeks: int = 8,
    start_kg: float = 15.2,
    noise: float = 0.01,
    kind: PlanKind = "reduce",
    kcal: float = 488,
    logged: float = 1.0,
    eaten: float = 1.0,
    every: int = 7,
    changes: tuple[Change, ...] = (),
    target: tuple[float, float, float] = (12.8, 13.3, 13.9),
    step_kg: float = 0.05,
) -> Life:
    """Return a dog that changes by `rate` % a week, weighed every few days with noise.

    logged: part of the days whose food is logged completely. eaten: food over the ration.
    """
    chance = random.Random(seed)
    days = weeks * 7
    true = [start_kg * (1 + rate / 100) ** (day / 7) for day in range(days + 1)]
    weigh_ins = tuple(
        WeighIn(
            START + timedelta(days=day),
            round(true[day] * chance.gauss(1, noise) / step_kg) * step_kg,
            "home",
        )
        for day in range(0, days + 1, every)
    )
    feedings = tuple(
        Feeding(START + timedelta(days=day), eaten * kcal * chance.gauss(1, 0.03), True)
        for day in range(days)
        if chance.random() < logged
    )
    low, mid, high = target
    case = ReviewCase(
        as_of=START + timedelta(days=days),
        dog=JUNIPER,
        plan=PlanFacts(kind, START, start_kg, low, mid, high, 14.1, kcal, changes),
        condition=Score(7),
        weigh_ins=weigh_ins,
        feedings=feedings,
    )
    return Life(true, case)
