"""The trend of a dog's weight: a Kalman filter and smoother over irregular days.

State: 100 x ln(weight) [%] and its rate [% per day]. The rate wanders slowly and may jump where
the ration changed. Readings scatter around the level; scales may differ by a constant, found by
the same filter run on indicator columns (the augmented filter of de Jong 1991): gains do not
depend on the data, so one pass serves the readings and every scale.

No published scatter of a dog's weekly weight was found. 1% is an assumption; the dog's own
readings correct it as they come in.
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from server.science.review_case import WeighIn
from server.science.units import DAYS_PER_WEEK

# Assumptions of this project, in percent of weight, one SD.
NOISE_PCT = 1.0  # of one reading (found for comparison: 0.8 track greyhounds, 1.9 colony beagles)
NOISE_WORTH = 10.0  # readings that the assumed noise is worth against the dog's own
NOISE_FROM = 40  # newest readings that tell the dog's own noise: a year-old puppy's do not
NOISE_LEAST_PCT, NOISE_MOST_PCT = 0.6, 3.0
STEP_KG = 0.1 / math.sqrt(12)  # [kg] rounding error of a 0.1 kg step
RATE_DRIFT_PCT = 0.12  # [% per week] that a rate wanders within a week
RATE_JUMP_PCT = 1.0  # [% per week] that a rate may jump when the ration changes
FIRST_RATE_PCT = 10.0  # [% per week] before any reading: as good as unknown
FIRST_LEVEL_PCT = 100.0  # as good as unknown
SCALE_PCT = 2.0  # how much two scales may differ
MOST_OFFSETS = 6  # scales whose offset is told; a rarer scale is only trusted less

Z90 = 1.6448536269514722  # 5th to 95th percentile of a normal distribution
LEAST_SPAN_DAYS = 5  # a rate is not said from readings nearer than this


@dataclass(frozen=True)
class TrendDay:
    """The trend on one day weighed.

    level [100 ln kg] and level_sd: from all readings. rate and rate_sd [% per week]: from the
    readings up to this day, which is what could be known then.
    """

    on: date
    level: float
    level_sd: float
    rate: float
    rate_sd: float

    @property
    def kg(self) -> float:
        """The trend weight [kg]."""
        return math.exp(self.level / 100)

    @property
    def low_kg(self) -> float:
        """Low end of the 90% interval [kg]."""
        return math.exp((self.level - Z90 * self.level_sd) / 100)

    @property
    def high_kg(self) -> float:
        """High end of the 90% interval [kg]."""
        return math.exp((self.level + Z90 * self.level_sd) / 100)


@dataclass(frozen=True)
class Trend:
    """The whole trend.

    days: one per day weighed. noise_pct: of one reading. offsets_pct: how much a scale reads
    above the one used most, which comes first with 0; scales with one reading are left out.
    """

    days: tuple[TrendDay, ...]
    noise_pct: float
    offsets_pct: tuple[tuple[str, float], ...]

    @property
    def span_days(self) -> int:
        """Days from the first to the last weigh-in."""
        return (self.days[-1].on - self.days[0].on).days if self.days else 0


@dataclass(frozen=True)
class _Step:
    """One reading's filter step; index 0 of each list is the readings, then the scales."""

    dt: float
    predicted: tuple[float, float, float]  # P11, P12, P22
    updated: tuple[float, float, float]
    level_predicted: list[float]
    rate_predicted: list[float]
    level: list[float]
    rate: list[float]
    innovation: list[float]
    variance: float


def weight_trend(
    weigh_ins: Sequence[WeighIn],
    ration_changed: Sequence[date] = (),
    *,
    rate_drift_pct: float = RATE_DRIFT_PCT,
    noise_pct: float | None = None,
) -> Trend:
    """Return the trend through readings sorted by day.

    ration_changed: days from which another ration was fed. rate_drift_pct: see RATE_DRIFT_PCT.
    noise_pct: noise of one reading [%]; None to find it, starting from NOISE_PCT.
    """
    if not weigh_ins:
        return Trend((), NOISE_PCT if noise_pct is None else noise_pct, ())
    scales = _scales(weigh_ins)
    changed = sorted(set(ration_changed))
    noise = NOISE_PCT if noise_pct is None else noise_pct
    steps = _filter(weigh_ins, scales, changed, rate_drift_pct, noise)
    if noise_pct is None:
        noise = _own_noise(steps, _offsets(steps, len(scales) - 1)[0])
        steps = _filter(weigh_ins, scales, changed, rate_drift_pct, noise)
    offsets, covariance = _offsets(steps, len(scales) - 1)
    return Trend(
        _days(weigh_ins, steps, offsets, covariance),
        noise,
        tuple(zip(scales, (0.0, *offsets), strict=True)),
    )


def _scales(weigh_ins: Sequence[WeighIn]) -> list[str]:
    """Return the scales whose offset is told, the reference first: the one used most.

    Of scales used alike the earlier one comes first. A scale with a single reading cannot be
    told apart from noise: that reading is taken with the scales' spread added to its own.
    """
    used = Counter(weigh_in.scale for weigh_in in weigh_ins)
    reference, *others = [scale for scale, _ in used.most_common()]
    return [reference, *[scale for scale in others if used[scale] > 1][:MOST_OFFSETS]]


def _filter(
    weigh_ins: Sequence[WeighIn],
    scales: list[str],
    changed: Sequence[date],
    rate_drift_pct: float,
    noise: float,
) -> list[_Step]:
    drift = (rate_drift_pct / DAYS_PER_WEEK) ** 2 / DAYS_PER_WEEK  # per day
    jump = (RATE_JUMP_PCT / DAYS_PER_WEEK) ** 2
    column = {scale: index for index, scale in enumerate(scales)}
    level = [100 * math.log(weigh_ins[0].kg)] + [0.0] * (len(scales) - 1)
    rate = [0.0] * len(scales)
    p11, p12, p22 = FIRST_LEVEL_PCT**2, 0.0, (FIRST_RATE_PCT / DAYS_PER_WEEK) ** 2
    steps = []
    before = weigh_ins[0].on
    for weigh_in in weigh_ins:
        dt = float((weigh_in.on - before).days)
        p11, p12, p22 = (
            p11 + dt * (2 * p12 + dt * p22) + drift * dt**3 / 3,
            p12 + dt * p22 + drift * dt**2 / 2,
            p22 + drift * dt,
        )
        for day in changed:
            if before <= day < weigh_in.on:
                since = float((weigh_in.on - day).days)
                p11, p12, p22 = p11 + jump * since**2, p12 + jump * since, p22 + jump
        level_predicted = [a + dt * b for a, b in zip(level, rate, strict=True)]
        rate_predicted = rate
        observed = [0.0] * len(scales)
        observed[0] = 100 * math.log(weigh_in.kg)
        variance = p11 + noise**2 + (100 * STEP_KG / weigh_in.kg) ** 2
        if weigh_in.scale not in column:
            variance += SCALE_PCT**2
        elif column[weigh_in.scale]:
            observed[column[weigh_in.scale]] = 1.0
        gain_level, gain_rate = p11 / variance, p12 / variance
        innovation = [y - a for y, a in zip(observed, level_predicted, strict=True)]
        level = [a + gain_level * v for a, v in zip(level_predicted, innovation, strict=True)]
        rate = [b + gain_rate * v for b, v in zip(rate_predicted, innovation, strict=True)]
        predicted = (p11, p12, p22)
        p11, p12, p22 = p11 * (1 - gain_level), p12 * (1 - gain_level), p22 - gain_rate * p12
        steps.append(
            _Step(
                dt,
                predicted,
                (p11, p12, p22),
                level_predicted,
                rate_predicted,
                level,
                rate,
                innovation,
                variance,
            )
        )
        before = weigh_in.on
    return steps


def _offsets(steps: list[_Step], count: int) -> tuple[list[float], list[list[float]]]:
    """Return how much each other scale reads above the reference [%], and the covariance."""
    if not count:
        return [], []
    moves = np.array([step.innovation for step in steps])
    weights = 1 / np.array([step.variance for step in steps])
    design = moves[:, 1:]
    precision = np.eye(count) / SCALE_PCT**2 + design.T @ (design * weights[:, None])
    covariance = np.linalg.inv(precision)
    offsets = covariance @ (design.T @ (moves[:, 0] * weights))
    return [float(offset) for offset in offsets], [[float(c) for c in row] for row in covariance]


def _own_noise(steps: list[_Step], offsets: list[float]) -> float:
    """Return the noise of one reading [%]: the assumed one, moved by how well it predicted."""
    # The first two readings only place the level and the rate.
    misses = [
        _told(step.innovation, offsets) ** 2 / step.variance for step in steps[2:][-NOISE_FROM:]
    ]
    factor = (NOISE_WORTH + math.fsum(misses)) / (NOISE_WORTH + len(misses))
    return min(max(NOISE_PCT * math.sqrt(factor), NOISE_LEAST_PCT), NOISE_MOST_PCT)


def _told(columns: list[float], offsets: list[float]) -> float:
    """Return the value of the readings' column with the scales' offsets taken out."""
    return columns[0] - math.fsum(o * c for o, c in zip(offsets, columns[1:], strict=True))


def _from_offsets(columns: list[float], covariance: list[list[float]]) -> float:
    """Return the variance that the uncertain offsets add to a value."""
    rest = columns[1:]
    return math.fsum(
        a * c * b
        for a, row in zip(rest, covariance, strict=True)
        for c, b in zip(row, rest, strict=True)
    )


def _days(
    weigh_ins: Sequence[WeighIn],
    steps: list[_Step],
    offsets: list[float],
    covariance: list[list[float]],
) -> tuple[TrendDay, ...]:
    days: list[TrendDay] = []
    level, rate = steps[-1].level, steps[-1].rate
    s11, s12, s22 = steps[-1].updated
    for index in range(len(steps) - 1, -1, -1):
        step = steps[index]
        if index < len(steps) - 1:
            after = steps[index + 1]
            level, rate, (s11, s12, s22) = _smoothed(step, after, level, rate, (s11, s12, s22))
            if after.dt == 0:
                continue  # same day: the later reading has said it
        days.append(
            TrendDay(
                on=weigh_ins[index].on,
                level=_told(level, offsets),
                level_sd=math.sqrt(max(s11, 0.0) + _from_offsets(level, covariance)),
                rate=DAYS_PER_WEEK * _told(step.rate, offsets),
                rate_sd=DAYS_PER_WEEK
                * math.sqrt(step.updated[2] + _from_offsets(step.rate, covariance)),
            )
        )
    return tuple(reversed(days))


def _smoothed(
    step: _Step,
    after: _Step,
    level: list[float],
    rate: list[float],
    smoothed: tuple[float, float, float],
) -> tuple[list[float], list[float], tuple[float, float, float]]:
    """One step back of the Rauch-Tung-Striebel smoother, with 2 x 2 algebra written out."""
    u11, u12, u22 = step.updated
    p11, p12, p22 = after.predicted
    dt = after.dt
    # C = U F' P^-1 with F = [[1, dt], [0, 1]]
    a11, a12, a21, a22 = u11 + dt * u12, u12, u12 + dt * u22, u22
    determinant = p11 * p22 - p12 * p12
    c11, c12 = (a11 * p22 - a12 * p12) / determinant, (a12 * p11 - a11 * p12) / determinant
    c21, c22 = (a21 * p22 - a22 * p12) / determinant, (a22 * p11 - a21 * p12) / determinant
    d_level = [a - b for a, b in zip(level, after.level_predicted, strict=True)]
    d_rate = [a - b for a, b in zip(rate, after.rate_predicted, strict=True)]
    new_level = [a + c11 * x + c12 * y for a, x, y in zip(step.level, d_level, d_rate, strict=True)]
    new_rate = [a + c21 * x + c22 * y for a, x, y in zip(step.rate, d_level, d_rate, strict=True)]
    m11, m12, m22 = smoothed[0] - p11, smoothed[1] - p12, smoothed[2] - p22
    s11 = u11 + c11 * (c11 * m11 + c12 * m12) + c12 * (c11 * m12 + c12 * m22)
    s12 = u12 + c21 * (c11 * m11 + c12 * m12) + c22 * (c11 * m12 + c12 * m22)
    s22 = u22 + c21 * (c21 * m11 + c22 * m12) + c22 * (c21 * m12 + c22 * m22)
    return new_level, new_rate, (s11, s12, s22)
