"""What a smaller bowl leads to: the closed form against small steps, and what is never said."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from server.errors import OutOfRange
from server.science.need import KCAL_PER_KG
from server.science.what_if import HORIZON_WEEKS, Needs, needs_from, weeks_on, what_if

PLAN = {
    "weight_kg": 15.2,
    "target_kg": 13.3,
    "resting_kcal": 487.5,
    "floor_kcal": 390.0,
    "needs": Needs(738, 820, 902),
    "intake_kcal": 820,
    "asked_kcal": None,
}


def weeks_in_small_steps(kcal: float, need: float, kg: float, target: float) -> float:
    """The same balance, gone through in steps of an hour."""
    per, days, hour = need / kg**0.75, 0.0, 1 / 24
    while kg > target:
        kg -= (per * kg**0.75 - kcal) / KCAL_PER_KG * hour
        days += hour
    return days / 7


@pytest.mark.parametrize(
    ("kcal", "need", "kg", "target"),
    [(488, 820, 15.2, 13.3), (390, 731, 15.2, 13.3), (1500, 2900, 60, 48), (90, 190, 3.1, 2.5)],
)
def test_the_time_is_what_small_steps_give(kcal: float, need: float, kg: float, target: float):
    # An hour is 1/168 of a week, and the last step may overshoot by one.
    stepped = weeks_in_small_steps(kcal, need, kg, target)
    assert weeks_on(kcal, need, kg, target) == pytest.approx(stepped, abs=0.02)


def test_the_time_is_the_integral():
    # A second calculator: the trapezoid rule over 100,001 weights, exact to about 1e-9 here.
    kg = np.linspace(13.3, 15.2, 100_001)
    per = 820 / 15.2**0.75
    integral = np.trapezoid(KCAL_PER_KG / (7 * (per * kg**0.75 - 488)), kg)
    assert weeks_on(488, 820, 15.2, 13.3) == pytest.approx(float(integral), abs=1e-6)


def test_a_ration_that_holds_the_target_never_gets_there():
    need_at_target = 820 * (13.3 / 15.2) ** 0.75
    assert weeks_on(need_at_target, 820, 15.2, 13.3) is None
    assert weeks_on(need_at_target + 50, 820, 15.2, 13.3) is None
    # Just below, it takes longer than is foretold.
    assert weeks_on(need_at_target - 0.5, 820, 15.2, 13.3) is None
    assert HORIZON_WEEKS == 104


def test_a_target_above_the_weight_is_refused():
    with pytest.raises(OutOfRange, match="target_kg"):
        weeks_on(488, 820, 13.3, 15.2)


def test_the_table_goes_down_in_steps_of_five_percent():
    rows = what_if(**PLAN)
    assert [row.kcal_per_day for row in rows] == [488, 463, 439, 414, 390]
    assert [row.pct_of_resting for row in rows] == [100, 95, 90, 85, 80]
    assert all(row.allowed and not row.asked for row in rows)
    lower = what_if(**PLAN | {"floor_kcal": 0.7 * 487.5})
    assert [row.pct_of_resting for row in lower][-2:] == [75, 70]


def test_a_ration_asked_for_takes_its_place():
    rows = what_if(**PLAN | {"asked_kcal": 450})
    assert [row.kcal_per_day for row in rows if row.asked] == [450]
    assert [row.kcal_per_day for row in rows] == [488, 463, 450, 439, 414, 390]
    on_a_step = what_if(**PLAN | {"asked_kcal": 439.2})
    assert [(row.kcal_per_day, row.asked) for row in on_a_step][2] == (439, True)


def test_below_the_floor_nothing_is_foretold():
    row = what_if(**PLAN | {"asked_kcal": 300})[-1]
    assert (row.kcal_per_day, row.allowed, row.loss, row.weeks) == (300, False, None, None)
    above = what_if(**PLAN | {"asked_kcal": 850})[0]
    assert (above.allowed, above.weeks) == (False, (None, None, None))


def test_what_is_not_measured_is_less_certain():
    # 95 (65 to 120) kcal per kg^0.75 against a weighed intake, give or take a tenth.
    by_formula, measured = needs_from(15.2, None), needs_from(15.2, 820)
    assert by_formula.mid == pytest.approx(95 * 15.2**0.75)
    assert (measured.low, measured.mid, measured.high) == pytest.approx((738, 820, 902))
    assert by_formula.high / by_formula.low > measured.high / measured.low


def test_a_loss_above_two_percent_is_marked():
    shown = [row.as_json() for row in what_if(**PLAN)]
    assert [row["too_fast"] for row in shown] == [
        row["loss_pct_per_week"]["mid"] > 2.0 for row in shown
    ]
    assert any(row["too_fast"] for row in shown)
    assert not all(row["too_fast"] for row in shown)


@example(kg=1.9, part=0.71875, need=50.0, fed=[40.0, 50.0])  # holds the target to the last bit
@given(
    kg=st.floats(1, 100),
    part=st.floats(0.7, 0.95),
    need=st.floats(50, 160),
    fed=st.lists(st.floats(40, 75), min_size=2, max_size=2),
)
def test_less_food_is_never_slower(kg: float, part: float, need: float, fed: list[float]):
    target = part * kg
    less, more = (level * target**0.75 for level in sorted(fed))
    faster = weeks_on(less, need * kg**0.75, kg, target)
    slower = weeks_on(more, need * kg**0.75, kg, target)
    if slower is not None:
        assert faster is not None
        assert 0 < faster <= slower + 1e-9
