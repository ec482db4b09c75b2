"""What a dog seems to need: food eaten, less what its weight gained.

The figure carries every error in portion size, so it is "what this dog seems to need on the food
as measured here", no measurement of its metabolism.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from server.science.review_case import Feeding
from server.science.trend import Z90
from server.science.units import DAYS_PER_WEEK

KCAL_PER_KG = 7920.0  # Small Animal Clinical Nutrition, 5th ed., Table 27-15, p. 528: adipose
# Other figures: 7700 (people, from memory), 8355 and 9440 (cats, partly from memory).
KCAL_PER_KG_SD = 700.0  # our reading of how far those differ
WINDOW_DAYS = 42  # our choice: about six weigh-ins
LEAST_DAYS, LEAST_WEIGHED = 14, 4  # our choice: fewer weigh-ins tell no slope (section 9)
LEAST_COMPLETE, LEAST_COVERED = 10, 0.5  # complete days, and their part of the window


@dataclass(frozen=True)
class Need:
    """Energy per day that holds the dog at its weight [kcal/day]: 90% interval and middle."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True)
class Slope:
    """Change of weight [kg/day], its standard error, and the mean weight [kg]."""

    kg_per_day: float
    error: float
    mean_kg: float


def weight_slope(days: Sequence[date], weights_kg: Sequence[float], noise_pct: float) -> Slope:
    """Return the least-squares slope through weights of two or more different days.

    noise_pct: noise of one reading [% of weight], taken as the same for all.
    """
    start = days[0]
    times = [float((day - start).days) for day in days]
    centre, mean = math.fsum(times) / len(times), math.fsum(weights_kg) / len(times)
    spread = math.fsum((t - centre) ** 2 for t in times)
    slope = math.fsum((t - centre) * w for t, w in zip(times, weights_kg, strict=True)) / spread
    return Slope(slope, noise_pct / 100 * mean / math.sqrt(spread), mean)


def expenditure_kcal(intake_kcal: float, slope_kg_per_day: float) -> float:
    """Return energy spent [kcal/day] by the energy balance (Table 27-15, see KCAL_PER_KG)."""
    return intake_kcal - slope_kg_per_day * KCAL_PER_KG


def need_kcal(
    days: Sequence[date],
    weights_kg: Sequence[float],
    noise_pct: float,
    feedings: Sequence[Feeding],
    not_before: date,
) -> Need | None:
    """Return what the dog seems to need, or None where too little is known.

    days, weights_kg: weigh-ins that count, on one scale, by day [kg]. feedings: only days logged
    completely are used. not_before: the plan's start, whose first week is left out when
    enough remains, since early loss is gut fill and water too.
    """
    if not days:
        return None
    last = days[-1]
    first = max(not_before, last - timedelta(days=WINDOW_DAYS))
    settled = max(first, not_before + timedelta(days=DAYS_PER_WEEK))
    for start in (settled, first):
        used = [(d, w) for d, w in zip(days, weights_kg, strict=True) if d >= start]
        if _enough(used):
            break
    else:
        return None
    begin = used[0][0]
    eaten = [f.kcal for f in feedings if f.complete and begin <= f.on < last]
    span = (last - begin).days
    if len(eaten) < max(LEAST_COMPLETE, LEAST_COVERED * span):
        return None
    slope = weight_slope([d for d, _ in used], [w for _, w in used], noise_pct)
    intake = math.fsum(eaten) / len(eaten)
    scatter = math.fsum((kcal - intake) ** 2 for kcal in eaten) / (len(eaten) - 1)
    unlogged = 1 - len(eaten) / span
    error = math.sqrt(
        scatter / len(eaten) * unlogged
        + (slope.error * KCAL_PER_KG) ** 2
        + (slope.kg_per_day * KCAL_PER_KG_SD) ** 2
    )
    mid = expenditure_kcal(intake, slope.kg_per_day)
    if mid <= 0:
        return None
    return Need(max(mid - Z90 * error, 0.0), mid, mid + Z90 * error)


def _enough(used: list[tuple[date, float]]) -> bool:
    days = {day for day, _ in used}
    return len(days) >= LEAST_WEIGHED and (used[-1][0] - used[0][0]).days >= LEAST_DAYS
