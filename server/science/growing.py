"""A growing dog: what it needs, and whether its growth keeps to its own curve.

No ration is made from this: a vet steers the growth of a dog. The numbers are for that talk.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from server.errors import OutOfRange
from server.science.dog import DogFacts
from server.science.energy import metabolic_kg
from server.science.findings import PROJECT_POLICY, Finding
from server.science.units import DAYS_PER_WEEK

# NRC 2006, as given in WikiVet: 130 x W^0.75 x 3.2 x (e^(-0.87 p) - 0.1), p = weight / adult.
GROWTH_BASE = 130.0  # [kcal per kg^0.75 per day]
GROWTH_FACTOR, GROWTH_DECAY, GROWTH_OFFSET = 3.2, 0.87, 0.1
# FEDIAF 2021, quoted in Veterinary Nursing Journal 37(4), 2022, Table 2, by share of adult weight.
STAGE_LEVELS: dict[float, float] = {0.5: 210.0, 0.8: 175.0, 1.0: 140.0}  # [kcal per kg^0.75]
# Salt et al. 2017, PLoS ONE 12:e0182064: no growth standard beyond an adult weight of 40 kg.
CHARTS_TO_KG = 40.0  # [kg adult weight]
READING_NOISE_PCT = 1.0  # [% of weight, SD] assumption: no published noise of one reading
SURE = 1.645  # [SD] one in twenty: our choice of when a change is more than noise
SOURCE = "NRC 2006 equation as given in WikiVet; FEDIAF 2021 in Veterinary Nursing Journal 37(4)"
_CURVE = "growth slows in percent a week as a dog nears its adult weight (from memory)"

AdultFrom = Literal["recorded", "breed"]


def growing_kcal_per_day(weight_kg: float, adult_kg: float) -> float:
    """Return the mean need of a growing dog [kcal/day], unrounded.

    weight_kg: today's weight; adult_kg: expected adult weight, at least today's.
    Raises OutOfRange for weights outside 0.2 to 120 kg and an adult weight below today's.
    """
    metabolic = metabolic_kg(weight_kg)
    metabolic_kg(adult_kg)  # refuses weights outside the range
    share = weight_kg / adult_kg
    if share > 1:
        raise OutOfRange("adult_kg", adult_kg, "kg", weight_kg, 120.0)
    return (
        GROWTH_BASE * metabolic * GROWTH_FACTOR * (math.exp(-GROWTH_DECAY * share) - GROWTH_OFFSET)
    )


def stage_kcal_per_day(weight_kg: float, adult_kg: float) -> float:
    """Return the need of a growing dog by stage [kcal/day]: 210, 175 or 140 per kg^0.75.

    Raises OutOfRange as growing_kcal_per_day does.
    """
    growing_kcal_per_day(weight_kg, adult_kg)  # refuses what is outside the range
    share = weight_kg / adult_kg
    return metabolic_kg(weight_kg) * next(
        level for most, level in STAGE_LEVELS.items() if share <= most
    )


@dataclass(frozen=True)
class Growth:
    """What is known of a growing dog; energies [kcal/day], None where no adult weight is known.

    A published growth standard exists for adult weights up to 40 kg; a vet has its charts.
    """

    adult_kg: float | None
    adult_from: AdultFrom | None
    share_of_adult: float | None
    kcal_per_day: int | None
    kcal_by_stage: int | None

    def as_json(self) -> dict[str, Any]:
        """Return the growth as a JSON object."""
        return {
            "adult_kg": self.adult_kg,
            "adult_from": self.adult_from,
            "share_of_adult": self.share_of_adult,
            "growth_standard": self.adult_kg is not None and self.adult_kg <= CHARTS_TO_KG,
            "kcal_per_day": self.kcal_per_day,
            "kcal_by_stage": self.kcal_by_stage,
        }


def growth_of(dog: DogFacts, weight_kg: float) -> Growth:
    """Return the mean need of a growing dog by its expected adult weight.

    The adult weight is the recorded one, else the breed's; a mixed breed without a record has none.
    """
    adult_kg = dog.adult_weight_kg or dog.breed_grown_kg
    if adult_kg is None:
        return Growth(None, None, None, None, None)
    adult_from: AdultFrom = "recorded" if dog.adult_weight_kg else "breed"
    share = weight_kg / adult_kg
    if share > 1:
        return Growth(adult_kg, adult_from, round(share, 2), None, None)
    return Growth(
        adult_kg,
        adult_from,
        round(share, 2),
        round(growing_kcal_per_day(weight_kg, adult_kg)),
        round(stage_kcal_per_day(weight_kg, adult_kg)),
    )


def growth_findings(
    growth: Growth, as_of: date, weight_kg: float, earlier: Sequence[tuple[date, float]]
) -> tuple[Finding, ...]:
    """Return what a vet should hear of this growth.

    earlier: weights before today, in any order [kg]. A dog is held against its own curve: it
    should never lose, and its gain in percent a week should not rise. Where only one earlier
    weight is known, nothing is said about a rise.
    """
    found: list[Finding] = []
    if growth.kcal_per_day is not None:
        values = {
            "kcal_per_day": growth.kcal_per_day,
            "kcal_by_stage": growth.kcal_by_stage,
            "adult_kg": growth.adult_kg,
        }
        found.append(Finding("growth_energy", values, SOURCE))
    elif growth.adult_kg is None:
        found.append(Finding("growth_adult_unknown", {}, SOURCE))
    else:
        above = {"weight_kg": weight_kg, "adult_kg": growth.adult_kg}
        found.append(Finding("growth_above_adult", above))
    readings = [*sorted(reading for reading in earlier if reading[0] < as_of), (as_of, weight_kg)]
    if len(readings) < 2:
        return tuple(found)
    now, now_sd = _gain(readings[-2], readings[-1])
    if now < -SURE * now_sd:
        found.append(Finding("growth_loses", {"pct_per_week": round(now, 1)}, PROJECT_POLICY))
    elif len(readings) > 2:
        before, before_sd = _gain(readings[-3], readings[-2])
        if now - before > SURE * math.hypot(now_sd, before_sd):
            values = {"pct_per_week": round(now, 1), "before_pct_per_week": round(before, 1)}
            found.append(Finding("growth_speeds_up", values, _CURVE))
    return tuple(found)


def _gain(earlier: tuple[date, float], later: tuple[date, float]) -> tuple[float, float]:
    """Return the gain between two readings and its standard error [% a week]."""
    weeks = (later[0] - earlier[0]).days / DAYS_PER_WEEK
    return 100 * math.log(later[1] / earlier[1]) / weeks, math.sqrt(2) * READING_NOISE_PCT / weeks
