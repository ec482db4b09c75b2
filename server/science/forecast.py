"""When a dog reaches a weight if its ration stays: many seeded runs of the energy balance.

As a dog gets lighter it needs less, so the loss on one ration slows down, as studies saw
(German 2016). Each run draws the present weight and rate from the trend and lets the need wander.
"""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from server.science.energy import METABOLIC_EXPONENT
from server.science.need import KCAL_PER_KG
from server.science.trend import RATE_DRIFT_PCT, TrendDay
from server.science.units import DAYS_PER_WEEK

RUNS = 500
HORIZON_WEEKS = 104  # not said beyond two years
WANDER_KEPT = 0.9  # of a wandering need, from week to week: it comes back (our assumption)
EARLY, MID, LATE = 0.05, 0.5, 0.95


@dataclass(frozen=True)
class Span:
    """A day told as a 90% interval and its median."""

    early: date
    mid: date
    late: date

    def as_json(self) -> dict[str, str]:
        """Return the span as a JSON object."""
        return {
            "early": self.early.isoformat(),
            "mid": self.mid.isoformat(),
            "late": self.late.isoformat(),
        }


def seed_from(parts: Iterable[object]) -> int:
    """Return a seed that depends on the input alone, so that equal input gives equal answers."""
    text = "\n".join(repr(part) for part in parts)
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")


def days_to_reach(
    last: TrendDay, goals_kg: tuple[float, ...], kcal_per_day: float, seed: int
) -> tuple[Span | None, ...]:
    """Return, for each goal below the trend weight [kg], when the trend reaches it.

    None where one run in twenty does not get there within two years.
    kcal_per_day: energy fed, taken to stay.
    """
    random = np.random.Generator(np.random.PCG64(seed))
    start = np.exp((last.level + last.level_sd * random.standard_normal(RUNS)) / 100)
    rate = last.rate + last.rate_sd * random.standard_normal(RUNS)
    kg = start
    need = kcal_per_day - rate / 100 * start / DAYS_PER_WEEK * KCAL_PER_KG
    need_per_metabolic = need / start**METABOLIC_EXPONENT
    wander = np.zeros(RUNS)
    step = RATE_DRIFT_PCT / 100 / DAYS_PER_WEEK * KCAL_PER_KG * start ** (1 - METABOLIC_EXPONENT)
    reached = [np.where(kg <= goal, 0.0, np.inf) for goal in goals_kg]
    for week in range(HORIZON_WEEKS):
        need = (need_per_metabolic + wander) * kg**METABOLIC_EXPONENT
        lost = DAYS_PER_WEEK * (need - kcal_per_day)
        after = np.maximum(kg - lost / KCAL_PER_KG, 0.1 * start)
        for goal, days in zip(goals_kg, reached, strict=True):
            passed = np.isinf(days) & (after <= goal)
            share = np.divide(kg - goal, kg - after, out=np.zeros(RUNS), where=passed)
            days[passed] = DAYS_PER_WEEK * (week + share[passed])
        if all(np.count_nonzero(np.isfinite(days)) > LATE * RUNS for days in reached):
            break
        kg = after
        wander = WANDER_KEPT * wander + step * random.standard_normal(RUNS)
    return tuple(_span(last.on, np.sort(days)) for days in reached)


def _span(start: date, days: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> Span | None:
    early, mid, late = (days[int(share * (RUNS - 1))] for share in (EARLY, MID, LATE))
    if not np.isfinite(late):
        return None
    return Span(*(start + timedelta(days=int(np.ceil(d))) for d in (early, mid, late)))
