"""What happens if the bowl is cut to so much: loss and time, by the energy balance.

As a dog gets lighter it needs less, so the loss on one ration slows down (German 2016). The need
falls with weight^0.75 and the ration stays, which makes the time an integral with a closed form.
"""

import math
from dataclasses import dataclass
from typing import Any

from server.errors import OutOfRange
from server.science.energy import HOLDING_HIGH, HOLDING_LOW, QUIET_HOME, metabolic_kg
from server.science.gates import BAND_HIGH
from server.science.loss_rate import LOSS_HIGH_PCT
from server.science.need import KCAL_PER_KG
from server.science.units import DAYS_PER_WEEK

STEP_PCT = 5  # [% of resting energy at the target] from row to row
HORIZON_WEEKS = 104.0  # [weeks] not said beyond two years
# Our choice: a weighed, steady intake tells the need to within a tenth.
MEASURED_NEED_SPREAD = 0.10


@dataclass(frozen=True)
class Needs:
    """What the dog needs to hold today's weight [kcal/day]: 90% interval and middle."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True)
class Row:
    """One ration and what it may lead to.

    kcal_per_day [kcal]; pct_of_resting: of resting energy at the target; allowed: within the band;
    asked: the person asked for this one. loss [% of today's weight per week, at the start] and
    weeks to the target: low, mid, high; None: not within two years, or never.
    """

    kcal_per_day: int
    pct_of_resting: int
    allowed: bool
    asked: bool
    cut_pct: float | None
    loss: tuple[float, float, float] | None
    weeks: tuple[int | None, int | None, int | None] | None

    def as_json(self) -> dict[str, Any]:
        """Return the row as a JSON object."""
        return {
            "kcal_per_day": self.kcal_per_day,
            "pct_of_resting": self.pct_of_resting,
            "allowed": self.allowed,
            "asked": self.asked,
            "cut_pct": self.cut_pct,
            "loss_pct_per_week": self.loss and dict(zip(_ENDS, self.loss, strict=True)),
            "too_fast": bool(self.loss and self.loss[1] > LOSS_HIGH_PCT),
            "weeks": self.weeks and dict(zip(_ENDS, self.weeks, strict=True)),
        }


_ENDS = ("low", "mid", "high")
_ROOT_3 = math.sqrt(3)


def needs_from(weight_kg: float, steady_intake_kcal: float | None) -> Needs:
    """Return the need at today's weight: from weighed, steady food, else 95 (65 to 120)."""
    if steady_intake_kcal is not None:
        spread = MEASURED_NEED_SPREAD * steady_intake_kcal
        return Needs(steady_intake_kcal - spread, steady_intake_kcal, steady_intake_kcal + spread)
    metabolic = metabolic_kg(weight_kg)
    return Needs(HOLDING_LOW * metabolic, QUIET_HOME * metabolic, HOLDING_HIGH * metabolic)


def weeks_on(
    kcal_per_day: float, need_kcal: float, weight_kg: float, target_kg: float
) -> float | None:
    """Return the weeks from a weight to a lower target [kg] on one ration [kcal/day], unrounded.

    need_kcal: what holds today's weight [kcal/day]. None where the dog comes to rest above the
    target, or needs more than two years. Raises OutOfRange for a target not below the weight.

    With k = need / weight^0.75 the loss is dw/dt = -(k w^0.75 - kcal) / 7920; with u = w^0.25 and
    a^3 = kcal / k the time is 4 * 7920 / k * [u + a^3 * integral of du / (u^3 - a^3)].
    """
    if not 0 < target_kg < weight_kg:
        raise OutOfRange("target_kg", target_kg, "kg", 0, weight_kg)
    k = need_kcal / metabolic_kg(weight_kg)
    a = (kcal_per_day / k) ** (1 / 3)
    at_target = target_kg**0.25
    if at_target <= a:  # the ration holds a weight at or above the target
        return None
    upper, lower = _antiderivative(weight_kg**0.25, a), _antiderivative(at_target, a)
    weeks = 4 * KCAL_PER_KG / k * (upper - lower) / DAYS_PER_WEEK
    return weeks if weeks <= HORIZON_WEEKS else None


def what_if(
    *,
    weight_kg: float,
    target_kg: float,
    resting_kcal: float,
    floor_kcal: float,
    needs: Needs,
    intake_kcal: float | None,
    asked_kcal: float | None,
) -> tuple[Row, ...]:
    """Return a row for each 5% of resting energy within the band, most food first.

    weight_kg, target_kg [kg]; energies [kcal/day]; resting_kcal: at the target. asked_kcal adds a
    row: outside the band it is not allowed, and below the floor nothing is foretold.
    """
    top, floor = round(100 * BAND_HIGH), math.ceil(100 * floor_kcal / resting_kcal - 1e-9)
    rations = {round(pct / 100 * resting_kcal): False for pct in range(top, floor - 1, -STEP_PCT)}
    if asked_kcal is not None:
        rations[round(asked_kcal)] = True
    rows = []
    for kcal, asked in sorted(rations.items(), reverse=True):
        below = kcal < round(floor_kcal)
        rows.append(
            Row(
                kcal_per_day=kcal,
                pct_of_resting=round(100 * kcal / resting_kcal),
                allowed=not below and kcal <= round(BAND_HIGH * resting_kcal),
                asked=asked,
                cut_pct=None if intake_kcal is None else round(100 * (1 - kcal / intake_kcal), 1),
                loss=None if below else _losses(kcal, needs, weight_kg),
                weeks=None if below else _weeks(kcal, needs, weight_kg, target_kg),
            )
        )
    return tuple(rows)


def _antiderivative(u: float, a: float) -> float:
    """Return u + a^3 * integral of du / (u^3 - a^3), for u > a > 0."""
    square = u * u + a * u + a * a
    logs = math.log(u - a) - 0.5 * math.log(square)
    angle = _ROOT_3 * math.atan((2 * u + a) / (a * _ROOT_3))
    return u + a / 3 * (logs - angle)


def _losses(kcal: int, needs: Needs, weight_kg: float) -> tuple[float, float, float]:
    per_kcal = 100 * DAYS_PER_WEEK / KCAL_PER_KG / weight_kg
    low, mid, high = (
        round(max(need - kcal, 0.0) * per_kcal, 1) for need in (needs.low, needs.mid, needs.high)
    )
    return low, mid, high


def _weeks(
    kcal: int, needs: Needs, weight_kg: float, target_kg: float
) -> tuple[int | None, int | None, int | None]:
    low, mid, high = (
        weeks_on(kcal, need, weight_kg, target_kg) for need in (needs.high, needs.mid, needs.low)
    )
    return _up(low), _up(mid), _up(high)


def _up(weeks: float | None) -> int | None:
    return None if weeks is None else math.ceil(weeks - 1e-9)
