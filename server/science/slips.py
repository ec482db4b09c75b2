"""Set aside readings that cannot be this dog: wrong unit, slipped decimal point, another dog.

A reading set aside is kept and shown with its reason, never dropped in silence. The thresholds
are this project's choice; real slips are far outside them (a pound is 0.45 kg).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from server.science.review_case import WeighIn
from server.science.units import DAYS_PER_WEEK, KG_PER_LB

Reason = Literal[
    "looks_like_pounds", "looks_like_kilograms", "decimal_point_slipped", "implausible_jump"
]

# All in percent of weight, that is 100 x natural logarithm.
READING_SD = 1.5  # of one reading around the dog's weight; generous, see trend.NOISE_PCT
DRIFT_SD_PER_WEEK = 2.0  # how far the weight itself may have gone in a week: the loss ceiling
START_SD = 10.0  # how well the plan's start weight tells the first reading
GATE_LEAST, GATE_MOST = 8.0, 40.0
GATE_SDS = 3.5
OTHER_SCALE = 4.0  # more room for the first reading of a scale
AGREE_WITHIN = 4.0  # a second reading this near confirms a jump
SLIP_WITHIN = 20.0  # how near a slip must bring the reading to the dog

_PER_LB = 100 * math.log(1 / KG_PER_LB)
_TENFOLD = 100 * math.log(10)
SLIPS: tuple[tuple[Reason, float], ...] = (
    ("looks_like_pounds", _PER_LB),  # 33.1 noted as kg where the scale said lb
    ("looks_like_kilograms", -_PER_LB),  # kg taken for lb and converted
    ("decimal_point_slipped", _TENFOLD),
    ("decimal_point_slipped", -_TENFOLD),
)


@dataclass(frozen=True)
class SetAside:
    """A reading that does not count, and why."""

    weigh_in: WeighIn
    reason: Reason


def sort_out(
    weigh_ins: Sequence[WeighIn], start_kg: float
) -> tuple[tuple[WeighIn, ...], tuple[SetAside, ...]]:
    """Return the readings that count and those set aside, both by day.

    start_kg: weight at the start of the plan [kg]; it tells pounds from kilograms when the first
    readings are all wrong. A jump counts after all once a reading of a later day agrees with it:
    a dog that truly lost a tenth must not be explained away.
    """
    level, variance = 100 * math.log(start_kg), START_SD**2
    kept: list[WeighIn] = []
    aside: list[SetAside] = []
    scales: set[str] = set()
    before: date | None = None
    pending: WeighIn | None = None
    for reading in sorted(weigh_ins, key=lambda weigh_in: weigh_in.on):
        if before is not None:
            variance += DRIFT_SD_PER_WEEK**2 * (reading.on - before).days / DAYS_PER_WEEK
        before = reading.on
        value = 100 * math.log(reading.kg)
        gate = min(max(GATE_LEAST, GATE_SDS * math.sqrt(variance + READING_SD**2)), GATE_MOST)
        gate += OTHER_SCALE if scales and reading.scale not in scales else 0.0
        reason = _reason(value - level, gate)
        if reason == "implausible_jump" and pending and _agree(pending, reading):
            # Two days tell the same: it happened. Start again from there.
            kept.append(pending)
            aside = [item for item in aside if item.weigh_in is not pending]
            level, variance, reason = value, READING_SD**2, None
        if reason:
            aside.append(SetAside(reading, reason))
            pending = reading if reason == "implausible_jump" else pending
            continue
        gain = variance / (variance + READING_SD**2)
        level += gain * (value - level)
        variance *= 1 - gain
        kept.append(reading)
        scales.add(reading.scale)
        pending = None
    return tuple(sorted(kept, key=lambda weigh_in: weigh_in.on)), tuple(aside)


def _reason(off: float, gate: float) -> Reason | None:
    if abs(off) <= gate:
        return None
    reason, slip = min(SLIPS, key=lambda item: abs(off - item[1]))
    return reason if abs(off - slip) <= min(gate, SLIP_WITHIN) else "implausible_jump"


def _agree(first: WeighIn, second: WeighIn) -> bool:
    apart = abs(100 * math.log(second.kg / first.kg))
    weeks = (second.on - first.on).days / DAYS_PER_WEEK
    return second.on > first.on and apart <= AGREE_WITHIN + DRIFT_SD_PER_WEEK * weeks
