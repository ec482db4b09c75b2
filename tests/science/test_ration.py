"""Grams and cups of a day."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.errors import BadInput, OutOfRange
from server.science import ration
from server.science.foods import FoodFacts
from server.science.ration import cups_label, ration_for, treat_budget_kcal, treat_limits
from tests.science.published import rows

ROWS = rows("ration")


def test_treats_take_at_most_a_tenth():
    # Small Animal Clinical Nutrition, p. 522. The budget is in whole kcal, hence 0.5.
    assert ROWS["TRT1"].close_to(100 * ration.TREAT_SHARE_MAX)
    assert treat_budget_kcal(626, None) == pytest.approx(ROWS["WX28"].numbers[0], abs=0.5)
    assert treat_budget_kcal(626, 0) == 0
    assert treat_budget_kcal(626, 20) == 20
    assert treat_budget_kcal(626, 500) == 63


def test_grams_and_cups_of_the_worked_ration():
    # AAFCO density and a published cup mass, worked: 626 kcal less 62 of extras.
    food = FoodFacts("dry", kcal_per_kg=3570, grams_per_cup=90)
    (row,) = ration_for(626, (food,), 62)
    assert ROWS["WX29"].close_to(row.grams)
    assert ROWS["WX30"].close_to(row.cups)
    assert row.cups_label == "1¾ cups, level"


def test_cup_errors_are_the_published_ones():
    # University of Guelph, Vet Record 2019 (summary).
    assert ROWS["CUP3"].close_to(ration.CUP_ERROR_LOW_PCT, ration.CUP_ERROR_HIGH_PCT)


@pytest.mark.parametrize(
    ("cups", "label"),
    [
        (0.01, "less than ⅛ cup, level"),
        (0.12, "⅛ cup, level"),
        (0.5, "½ cup, level"),
        (0.97, "1 cup, level"),
        (1.22, "1¼ cups, level"),
        (2.0, "2 cups, level"),
        (1.94, "2 cups, level"),
    ],
)
def test_cups_are_told_in_level_eighths(cups: float, label: str):
    assert cups_label(cups) == label


def test_a_food_without_a_cup_mass_gets_grams_only():
    (row,) = ration_for(488, (FoodFacts("wet", kcal_per_kg=987),))
    assert (row.grams, row.cups, row.cups_label) == (445, None, None)


def test_no_foods_no_rows():
    assert ration_for(488, ()) == ()


def test_treats_get_a_limit_and_a_prescription_diet_gets_none():
    meal = FoodFacts("dry", kcal_per_kg=3600, purpose="prescription")
    carrot = FoodFacts("carrot, raw", role="treat", kcal_per_kg=410)
    (limit,) = treat_limits((meal, carrot), 49)
    assert (limit.food, limit.kcal_max, limit.grams_max) == ("carrot, raw", 49, 119)
    assert treat_budget_kcal(488, None, (meal, carrot)) == 0
    (row,) = ration_for(488, (meal, carrot), None)
    assert row.kcal == 488


@given(
    kcal=st.integers(60, 4000),
    shares=st.lists(st.integers(1, 50), min_size=1, max_size=6),
    treats=st.one_of(st.none(), st.floats(0, 500)),
)
def test_meals_and_treats_are_the_days_energy(kcal: int, shares: list[int], treats: float | None):
    foods = tuple(
        FoodFacts(f"food {n}", share=share / sum(shares), kcal_per_kg=1000 + 500 * n)
        for n, share in enumerate(shares)
    )
    rows = ration_for(kcal, foods, treats)
    budget = treat_budget_kcal(kcal, treats)
    assert sum(row.kcal for row in rows) + budget == kcal
    assert budget <= round(kcal / 10)
    for row, food in zip(rows, foods, strict=True):
        assert food.kcal_per_kg
        # Whole grams: half a gram of this food is the most that may be missed.
        assert abs(row.grams / 1000 * food.kcal_per_kg - row.kcal) <= food.kcal_per_kg / 2000 + 1e-9


@pytest.mark.parametrize("kcal", [0, -5, float("nan"), 10_001])
def test_refuses_an_energy_outside_the_range(kcal: float):
    with pytest.raises(OutOfRange, match="kcal_per_day"):
        ration_for(kcal, ())


def test_refuses_shares_that_do_not_sum_to_one():
    with pytest.raises(BadInput, match="sum to 1"):
        ration_for(488, (FoodFacts("dry", share=0.5, kcal_per_kg=3600),))
