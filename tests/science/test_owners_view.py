"""The excess in human terms, the kitchen's rounding, and the change of food."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.errors import BadInput
from server.science.food_change import CHANGE_DAYS_HIGH, food_change
from server.science.food_energy import Label
from server.science.foods import FoodFacts
from server.science.human_terms import human_terms
from server.science.kitchen import cut_of, rounding_of
from server.science.plan import make_plan
from server.science.plan_case import Intake
from server.science.ration import ration_for, treat_budget_kcal
from server.science.vet_words import VetWord
from tests.science.cast import CASE, DRY, JUNIPER, TODAY

OLD = FoodFacts("old food", kcal_per_kg=4000)


def test_a_pound_on_a_dog_a_tenth_of_the_weight_is_ten_on_the_person():
    # Common practice, no source: 21 lb where 18 is right is like 30 lb on a person of 180 lb.
    assert human_terms(21, 18, 180).person_excess_kg == pytest.approx(30)
    assert human_terms(19, 18, 180).person_excess_kg == pytest.approx(10)


@given(
    target=st.floats(1, 60),
    over=st.floats(0, 20),
    person=st.floats(40, 120),
    unit=st.floats(0.4, 3),
)
def test_human_terms_do_not_depend_on_the_unit(
    target: float, over: float, person: float, unit: float
):
    plain = human_terms(target + over, target, person)
    scaled = human_terms(unit * (target + over), unit * target, unit * person)
    assert scaled.excess_pct == pytest.approx(plain.excess_pct, abs=1e-6)
    assert scaled.person_excess_kg == pytest.approx(unit * plain.person_excess_kg, abs=1e-6)


def test_the_rounding_of_grams_and_of_cups_is_reported():
    # 439 kcal are 121.94 g: 122 g are 0.04% more; 1 1/4 cups of 100 g are 125 g, 2.5% more.
    (error,) = rounding_of((DRY,), ration_for(488, (DRY,)), "label")
    assert (error.grams_error_pct, error.cups_error_pct) == (0.0, 2.5)
    (plain,) = rounding_of(
        (replace(DRY, grams_per_cup=None),),
        ration_for(488, (replace(DRY, grams_per_cup=None),)),
        "label",
    )
    assert plain.cups_error_pct is None


def test_a_helping_too_small_for_a_cup_has_no_cup_error():
    small = replace(DRY, grams_per_cup=1000)
    (error,) = rounding_of((small,), ration_for(150, (small,)), "label")
    assert error.cups_error_pct is None


@given(
    kcal=st.integers(60, 4000),
    shares=st.lists(st.integers(1, 50), min_size=1, max_size=4),
    cups=st.integers(60, 250),
)
def test_rounding_is_as_small_as_a_kitchen_allows(kcal: int, shares: list[int], cups: int):
    foods = tuple(
        FoodFacts(
            f"food {n}", share=share / sum(shares), kcal_per_kg=900 + 700 * n, grams_per_cup=cups
        )
        for n, share in enumerate(shares)
    )
    rows = ration_for(kcal, foods)
    for food, row, error in zip(foods, rows, rounding_of(foods, rows, "label"), strict=True):
        assert food.kcal_per_kg
        if error.grams_error_pct is not None:
            # Half a gram, and half a tenth of a percent of telling.
            half_gram = 100 * food.kcal_per_kg / 2000 / row.kcal
            assert abs(error.grams_error_pct) <= half_gram + 0.051
        if error.cups_error_pct is not None:
            # Half an eighth of a cup beside the half gram.
            half = 100 * (cups / 16 + 0.5) * food.kcal_per_kg / 1000 / row.kcal
            assert abs(error.cups_error_pct) <= half + 0.051
    grams = sum(
        row.grams * (food.kcal_per_kg or 0) / 1000 for food, row in zip(foods, rows, strict=True)
    )
    budget = treat_budget_kcal(kcal, None)
    slack = sum((food.kcal_per_kg or 0) / 2000 for food in foods)
    assert abs(grams + budget - kcal) <= slack + 1e-6


def test_three_quarters_of_a_cup_to_half_a_cup():
    # Common practice, no source: a cut of 30 to 40% is the depth that shows on the scale.
    cut = cut_of(270, 180, (DRY,), "label")
    assert cut
    assert (cut.part_left, cut.eighths_left, cut.cups_less, cut.grams_less) == (0.67, 5, 0.25, 25)
    assert cut_of(180, 180, (DRY,), "label") is None
    nothing_known = cut_of(270, 180, (), "label")
    assert nothing_known
    assert (nothing_known.main_food, nothing_known.grams_less) == (None, None)


def test_a_change_goes_over_ten_days_from_the_old_to_the_new():
    rows = ration_for(488, (DRY,))
    days = food_change(OLD, (DRY,), [(TODAY, rows)])
    assert len(days) == CHANGE_DAYS_HIGH == 10
    assert [day.on for day in days] == [TODAY + timedelta(days=n) for n in range(10)]
    assert days[-1].old_grams == 0
    assert days[-1].new == (("dry food A", rows[0].grams),)
    assert [day.new_pct for day in days] == list(range(10, 101, 10))


@given(kcal=st.integers(60, 4000), old=st.integers(500, 6000), new=st.integers(500, 6000))
def test_each_day_of_a_change_holds_the_energy_of_its_meals(kcal: int, old: int, new: int):
    food = FoodFacts("new", kcal_per_kg=new)
    rows = ration_for(kcal, (food,), 0)
    for day in food_change(replace(OLD, kcal_per_kg=old), (food,), [(TODAY, rows)]):
        given_kcal = day.old_grams * old / 1000 + day.new[0][1] * new / 1000
        # Half a gram of each food.
        assert abs(given_kcal - kcal) <= (old + new) / 2000 + 1e-6
        assert day.old_grams >= 0


def test_a_change_follows_the_two_steps_of_a_deep_cut():
    days = make_plan(replace(CASE, changing_from=OLD)).beside.food_change
    # 654 kcal in the first week, 488 from the eighth day on; a tenth of either is for treats.
    energy = [day.old_grams * 4.0 + day.new[0][1] * 3.6 for day in days]
    assert energy[6] == pytest.approx(589, abs=4)
    assert energy[7] == pytest.approx(439, abs=4)


def test_a_prescribed_food_is_never_swapped():
    prescribed = replace(DRY, purpose="prescription")
    words = (VetWord(TODAY, "Dr Amadi", "condition:prescription_diet"),)
    case = replace(CASE, changing_from=OLD, vet_words=words)
    assert make_plan(case).beside.food_change
    assert make_plan(replace(case, foods=(prescribed,))).beside.food_change == ()
    away = replace(case, changing_from=replace(prescribed, name="old"))
    assert make_plan(away).beside.food_change == ()
    # Without the vet's word there is no plan at all.
    refused = make_plan(replace(away, vet_words=())).refused
    assert refused
    assert refused.code == "vet_first"


def test_old_and_new_are_counted_alike():
    label = Label(27, 14, 2, 10, 6)
    by_label = FoodFacts("by label", label=label)
    rows = ration_for(488, (by_label,))
    with pytest.raises(BadInput, match=r"changing_from\.label"):
        food_change(OLD, (by_label,), [(TODAY, rows)])
    with pytest.raises(BadInput, match=r"changing_from\.kcal_per_kg"):
        food_change(by_label, (DRY,), [(TODAY, ration_for(488, (DRY,)))])
    assert food_change(OLD, (), [(TODAY, ())]) == ()


def test_a_right_weight_shows_its_kitchen_and_no_loss():
    case = replace(CASE, condition=replace(CASE.condition, value=5), changing_from=OLD)
    shown = make_plan(case).as_json()
    assert shown["what_if"] == []
    assert [shown[key] for key in ("human_terms", "cut", "after_target_kcal")] == [None] * 3
    assert len(shown["food_change"]) == 10
    assert shown["rounding"][0]["grams_error_pct"] is not None
    assert shown["need_by_source"][0]["kcal_per_day"] == shown["kcal_per_day"]


def test_the_breed_range_stands_beside_and_moves_nothing():
    dog = replace(JUNIPER, breed="Beagle", breed_min_kg=9.1, breed_max_kg=11.3)
    asked, unasked = (make_plan(replace(CASE, dog=dog)) for dog in (dog, JUNIPER))
    assert asked.reduction == unasked.reduction
    assert asked.beside.breed_range
    assert asked.as_json()["breed_range"]["low_kg"] == 9.1
    assert unasked.as_json()["breed_range"] is None


def test_a_dog_that_eats_less_than_the_plan_has_no_cut():
    result = make_plan(replace(CASE, intake=Intake(300, False, True)))
    assert result.beside.cut is None
    assert result.reduction
    assert (result.reduction.cut_pct or 0) < 0
