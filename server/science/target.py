"""Target weight: the recorded lean weight, else lean mass kept with a goal fat of about a fifth."""

import math
from dataclasses import dataclass

from server.errors import BadInput
from server.science.condition import SCORES, TAIL, Distribution, score_range

# Clinician's Brief review of the Laflamme scale: about 20% fat at ideal (15 to 25), 5 points of
# fat per step. Method: Tudor 2013; Small Animal Clinical Nutrition, 5th ed., Table 27-3.
GOAL_FAT_PCT = 20.0
GOAL_FAT_LOW_PCT, GOAL_FAT_HIGH_PCT = 15.0, 25.0
FAT_PER_STEP_PCT = 5.0
SCORE_AT_GOAL_FAT = 5

LEAN_RECORD_SPREAD = 0.03  # this project's choice: a recorded lean weight is shown as +- 3%
HIGHEST_OF_TODAY = 0.95  # this project's choice: a target is at least 5% below today
LOWEST_OF_TODAY = 0.70  # this project's policy: lower needs a vet's word
FIRST_GOAL_OFF = 0.075  # first goal; 5 to 10% is shown (lameness eased from 6.1%, Marshall 2010)
FIRST_GOAL_OFF_LOW, FIRST_GOAL_OFF_HIGH = 0.05, 0.10


@dataclass(frozen=True)
class TargetRange:
    """Target weight [kg]: ends of the 90% interval and the middle.

    from_record: made from the recorded lean weight.
    """

    low: float
    mid: float
    high: float
    from_record: bool = False


def fat_pct(score: int) -> float:
    """Return percent body fat at a 9-point score.

    The link stops near 45% (manufacturer's veterinary article, 2021); heavier dogs all score 9.
    """
    return GOAL_FAT_PCT + FAT_PER_STEP_PCT * (score - SCORE_AT_GOAL_FAT)


def weight_at_fat(weight_kg: float, fat_now_pct: float, goal_fat_pct: float) -> float:
    """Return the weight [kg] at the goal fat when every gram of lean mass is kept."""
    if not 0 <= fat_now_pct < 100:
        raise BadInput("fat_now_pct", f"must be from 0 to below 100%, not {fat_now_pct!r}")
    if not 0 <= goal_fat_pct < 100:
        raise BadInput("goal_fat_pct", f"must be from 0 to below 100%, not {goal_fat_pct!r}")
    return weight_kg * (100 - fat_now_pct) / (100 - goal_fat_pct)


def target_range(
    weight_kg: float, distribution: Distribution, lean_weight_kg: float | None = None
) -> TargetRange:
    """Return the target range for a dog above its right weight.

    The recorded lean weight comes first, but only where it is below what the score allows to call
    overweight (95% of today): the hand on the ribs decides. Not capped below: see gates.
    """
    highest = HIGHEST_OF_TODAY * weight_kg
    if lean_weight_kg is not None and lean_weight_kg <= highest:
        low, high = ((1 - LEAN_RECORD_SPREAD), (1 + LEAN_RECORD_SPREAD))
        return TargetRange(
            lean_weight_kg * low, lean_weight_kg, min(lean_weight_kg * high, highest), True
        )
    mid_score = score_range(distribution).mid
    mid = min(weight_at_fat(weight_kg, fat_pct(mid_score), GOAL_FAT_PCT), highest)
    low = weight_kg * _relative_percentile(distribution, TAIL)
    high = weight_kg * _relative_percentile(distribution, 1 - TAIL)
    return TargetRange(min(low, mid), mid, max(min(high, highest), mid))


def first_goal_kg(weight_kg: float, target: TargetRange) -> float:
    """Return the first goal [kg]: 7.5% off, never below the target's high end."""
    return max(weight_kg * (1 - FIRST_GOAL_OFF), target.high)


def first_goal_span_kg(weight_kg: float, target: TargetRange) -> tuple[float, float]:
    """Return the span in which the first goal may lie [kg]: 10 to 5% off."""
    low = max(weight_kg * (1 - FIRST_GOAL_OFF_HIGH), target.high)
    return low, max(weight_kg * (1 - FIRST_GOAL_OFF_LOW), target.high)


def _goal_fat_at_least(fat: float) -> float:
    """Return the probability that the triangular goal fat lies at or above `fat` [%]."""
    if fat <= GOAL_FAT_LOW_PCT:
        return 1.0
    if fat >= GOAL_FAT_HIGH_PCT:
        return 0.0
    half = GOAL_FAT_PCT - GOAL_FAT_LOW_PCT
    if fat <= GOAL_FAT_PCT:
        return 1 - 0.5 * ((fat - GOAL_FAT_LOW_PCT) / half) ** 2
    return 0.5 * ((GOAL_FAT_HIGH_PCT - fat) / half) ** 2


def _relative_percentile(distribution: Distribution, share: float) -> float:
    """Return a percentile of target / today over scores and goal fat.

    For a score with lean part L = 100 - fat the target is L / (100 - goal fat), which rises with
    the goal fat; so P(target <= t) = P(goal fat <= 100 - L / t), summed over the scores. Found by
    halving an interval that surely holds it: exact to 1e-12 and without chance.
    """
    parts = [
        (100 - fat_pct(score), probability)
        for score, probability in zip(SCORES, distribution, strict=True)
        if probability > 0
    ]
    low = min(lean for lean, _ in parts) / (100 - GOAL_FAT_LOW_PCT)
    high = max(lean for lean, _ in parts) / (100 - GOAL_FAT_HIGH_PCT)
    while high - low > 1e-12:
        middle = 0.5 * (low + high)
        below = math.fsum(p * (1 - _goal_fat_at_least(100 - lean / middle)) for lean, p in parts)
        if below < share:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
