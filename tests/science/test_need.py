"""What a dog seems to need."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from server.science.need import expenditure_kcal, need_kcal, weight_slope
from server.science.review_case import Feeding
from tests.science.published import rows
from tests.science.simulated import START, Life, life

ROWS = rows("weighing")


def need_of(dog: Life, feedings=None):
    case = dog.case
    return need_kcal(
        [w.on for w in case.weigh_ins],
        [w.kg for w in case.weigh_ins],
        1.0,
        case.feedings if feedings is None else feedings,
        case.plan.started_on,
    )


def test_the_worked_slope_and_expenditure():
    # Least squares (from memory) and the energy balance of Small Animal Clinical Nutrition.
    days = [START + timedelta(days=7 * n) for n in range(4)]
    slope = weight_slope(days, [30.0, 29.8, 29.5, 29.2], 1.0)
    assert ROWS["WX41"].close_to(7 * slope.kg_per_day)
    assert ROWS["WX42"].close_to(expenditure_kcal(600, slope.kg_per_day))


@pytest.mark.parametrize("row_id", ["ST01", "ST02", "ST03", "ST04"])
def test_the_error_of_a_slope_is_the_published_one(row_id: str):
    # Least squares with 1% noise (derivation, from memory).
    row = ROWS[row_id]
    points = int(row.inputs["points"])
    days = [START + timedelta(days=7 * n) for n in range(points)]
    slope = weight_slope(days, [20.0] * points, 1.0)
    assert row.close_to(100 * 7 * slope.error / slope.mean_kg)


def test_the_true_need_is_inside_nine_times_in_ten():
    # A dog that loses r kg a day on what it eats needs that plus 7920 r. 100 dogs: nine in ten
    # with a chance error of 0.03 (one SD); 3 SD.
    inside = 0
    for seed in range(100):
        dog = life(seed=seed, rate=-1.0, weeks=7)
        need = need_of(dog)
        assert need is not None
        slope = (dog.true_kg[-1] - dog.true_kg[7]) / 42
        inside += need.low <= 488 - 7920 * slope <= need.high
    assert inside >= 90 - 9


def test_days_that_were_not_logged_completely_do_not_count():
    dog = life(seed=5)
    partly = tuple(
        Feeding(f.on, f.kcal / 2, False) if f.on.day % 3 == 0 else f for f in dog.case.feedings
    )
    whole = tuple(f for f in partly if f.complete)
    assert need_of(dog, partly) == need_of(dog, whole)


def test_too_little_is_not_said():
    assert need_of(life(seed=5), ()) is None
    assert need_of(life(seed=5, weeks=1)) is None
    assert need_of(life(seed=5, logged=0.3)) is None
    assert need_kcal([], [], 1.0, (), START) is None


def test_readings_before_the_plan_do_not_count():
    dog = life(seed=5)
    later = replace(dog.case.plan, started_on=dog.case.as_of - timedelta(days=6))
    case = replace(dog.case, plan=later)
    assert need_of(Life(dog.true_kg, case)) is None
