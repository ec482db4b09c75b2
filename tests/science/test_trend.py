"""The trend against an independent calculation and the published error of a slope."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest

from server.science import trend as trends
from server.science.review_case import WeighIn
from server.science.trend import weight_trend
from tests.science.published import rows
from tests.science.simulated import START, life

ROWS = rows("weighing")


def dense_posterior(weigh_ins, changed, noise, offset_scales):
    """The same model as one large normal distribution, solved at once: no filter, no smoother.

    A rate that wanders has levels with covariance q s^2 (3t - s) / 6 for s <= t; a rate that
    jumps at d adds J (s - d)+ (t - d)+.
    """
    times = np.array([(w.on - weigh_ins[0].on).days for w in weigh_ins], float)
    values = np.array([100 * math.log(w.kg) for w in weigh_ins])
    drift = (trends.RATE_DRIFT_PCT / 7) ** 2 / 7
    jump = (trends.RATE_JUMP_PCT / 7) ** 2
    s, t = np.minimum.outer(times, times), np.maximum.outer(times, times)
    cov = trends.FIRST_LEVEL_PCT**2 + (trends.FIRST_RATE_PCT / 7) ** 2 * np.outer(times, times)
    cov = cov + drift * s**2 * (3 * t - s) / 6
    cov_rate = (trends.FIRST_RATE_PCT / 7) ** 2 * times + drift * times**2 / 2
    for day in changed:
        since = np.maximum(times - (day - weigh_ins[0].on).days, 0)
        cov = cov + jump * np.outer(since, since)
        cov_rate = cov_rate + jump * since
    noise_cov = np.diag([noise**2 + (100 * trends.STEP_KG / w.kg) ** 2 for w in weigh_ins])
    for scale in offset_scales:
        on_it = np.array([float(w.scale == scale) for w in weigh_ins])
        noise_cov = noise_cov + trends.SCALE_PCT**2 * np.outer(on_it, on_it)
    solve = np.linalg.solve(cov + noise_cov, np.column_stack([values - values[0], cov]))
    levels = values[0] + cov @ solve[:, 0]
    sds = np.sqrt(np.diag(cov - cov @ solve[:, 1:]))
    return levels, sds, 7 * (cov_rate @ solve[:, 0])


def readings(days, kgs, scales=None):
    scales = scales or ["home"] * len(days)
    return [
        WeighIn(START + timedelta(days=day), kg, scale)
        for day, kg, scale in zip(days, kgs, scales, strict=True)
    ]


DAYS = [0, 5, 14, 16, 27, 40, 41, 63]
KGS = [15.3, 15.0, 15.1, 14.8, 14.9, 14.4, 14.6, 14.0]


def test_one_scale_agrees_with_the_dense_solution():
    weigh_ins = readings(DAYS, KGS)
    changed = [START, START + timedelta(days=30)]
    trend = weight_trend(weigh_ins, changed, noise_pct=1.0)
    levels, sds, rate = dense_posterior(weigh_ins, changed, 1.0, [])
    # Two exact solutions of one model; they differ by rounding only.
    assert [day.level for day in trend.days] == pytest.approx(levels, abs=1e-6)
    assert [day.level_sd for day in trend.days] == pytest.approx(sds, abs=1e-5)
    assert trend.days[-1].rate == pytest.approx(rate, abs=1e-6)


def test_two_scales_agree_with_the_dense_solution():
    scales = ["home", "vet", "home", "home", "vet", "home", "vet", "home"]
    kgs = [kg * (1.03 if scale == "vet" else 1) for kg, scale in zip(KGS, scales, strict=True)]
    weigh_ins = readings(DAYS, kgs, scales)
    trend = weight_trend(weigh_ins, noise_pct=1.0)
    levels, sds, rate = dense_posterior(weigh_ins, [], 1.0, ["vet"])
    assert [day.level for day in trend.days] == pytest.approx(levels, abs=1e-6)
    assert [day.level_sd for day in trend.days] == pytest.approx(sds, abs=1e-5)
    assert trend.days[-1].rate == pytest.approx(rate, abs=1e-6)


@pytest.mark.parametrize("row_id", ["ST01", "ST02", "ST03", "ST04"])
def test_the_error_of_a_rate_is_the_published_one(row_id: str):
    # Least squares with 1% noise (derivation, from memory). The rate before any reading is nearly
    # but not quite unknown, and a scale has steps: together under half a percent.
    row = ROWS[row_id]
    points = int(row.inputs["points"])
    weigh_ins = readings([7 * n for n in range(points)], [60.0] * points)
    trend = weight_trend(weigh_ins, rate_drift_pct=0.0, noise_pct=1.0)
    assert trend.days[-1].rate_sd == pytest.approx(row.numbers[0], rel=0.005)


def test_two_readings_five_days_apart_say_little():
    trend = weight_trend(readings([0, 5], [15.2, 15.0]), noise_pct=1.0)
    # sqrt(2) % over five days is 2% a week, one SD.
    assert trend.days[-1].rate_sd == pytest.approx(2.0, abs=0.1)


def test_readings_of_one_day_give_one_point():
    trend = weight_trend(readings([0, 7, 7, 14], [15.2, 15.3, 14.9, 15.0]))
    assert [day.on for day in trend.days] == [START + timedelta(days=day) for day in (0, 7, 14)]


def test_a_scale_that_reads_high_is_evened_out():
    scales = ["home", "vet"] * 6
    days = list(range(0, 84, 7))
    kgs = [15.2 * (1.04 if scale == "vet" else 1) for scale in scales]
    trend = weight_trend(readings(days, kgs, scales))
    offsets = dict(trend.offsets_pct)
    assert offsets["home"] == 0
    # 100 ln 1.04 = 3.92, drawn a little towards none.
    assert offsets["vet"] == pytest.approx(3.9, abs=0.5)
    assert trend.days[-1].kg == pytest.approx(15.2, rel=0.01)
    assert abs(trend.days[-1].rate) < 0.2


def test_many_scales_with_one_reading_each_are_trusted_less():
    days = list(range(0, 70, 7))
    same = weight_trend(readings(days, [15.2] * 10), noise_pct=1.0)
    each = weight_trend(readings(days, [15.2] * 10, [f"scale {d}" for d in days]), noise_pct=1.0)
    assert [scale for scale, _ in each.offsets_pct] == ["scale 0"]
    assert each.days[-1].level_sd > 1.5 * same.days[-1].level_sd


def test_noise_follows_the_dogs_own_readings():
    calm, wild = (
        weight_trend(life(seed=3, noise=noise, weeks=30).case.weigh_ins).noise_pct
        for noise in (0.004, 0.025)
    )
    assert calm < 1.0 < wild


def test_the_ninety_percent_interval_holds_nine_in_ten_true_rates():
    # 200 dogs with 1% noise. Of 200, nine in ten with a chance error of 0.021 (one SD); 3 SD.
    inside = 0
    for seed in range(200):
        dog = life(seed=seed, rate=-1.0 - 0.01 * (seed % 50), weeks=8)
        last = weight_trend(dog.case.weigh_ins).days[-1]
        rate = 700 * math.log(1 + dog.true_rate / 100) / 7
        inside += abs(last.rate - rate) <= trends.Z90 * last.rate_sd
    assert inside / 200 >= 0.9 - 3 * 0.021


def test_no_readings_no_trend():
    assert weight_trend([]).days == ()
    assert weight_trend([]).span_days == 0


def test_extreme_series_stay_finite():
    start = date(1995, 1, 1)
    weigh_ins = [
        WeighIn(start + timedelta(days=day), kg, "home")
        for day, kg in [(0, 0.3), (1, 120.0), (1, 0.3), (10_000, 119.0), (10_001, 0.31)]
    ]
    for day in weight_trend(weigh_ins, [start]).days:
        assert all(math.isfinite(value) for value in (day.kg, day.low_kg, day.high_kg, day.rate))
        assert day.rate_sd > 0
