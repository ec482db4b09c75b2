"""Labels in other units, dry matter, pieces, weighed cups, and energies that cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.errors import BadInput
from server.science.extras import EXTRAS
from server.science.food_compare import comparisons, food_findings
from server.science.food_energy import (
    Label,
    as_fed,
    atwater_kcal_per_kg,
    check_printed_energy,
    gross_kcal_per_kg,
    label_kcal_per_kg,
    modified_atwater_kcal_per_kg,
    per_dry_matter,
)
from server.science.foods import FoodFacts, kcal_given_per_day, kcal_of_piece, kcal_per_kg
from server.science.kitchen import extras_of, treat_costs
from server.science.ration import treat_limits

DRY = Label(protein_pct=27, fat_pct=14, fibre_pct=2, moisture_pct=10, ash_pct=6)
WET = Label(protein_pct=9, fat_pct=5, fibre_pct=0.5, moisture_pct=78, ash_pct=2, form="wet")


def test_the_two_equations_are_shown_with_their_difference():
    # WX23 and WX24d: 357 by modified Atwater, 378.4 by four steps: the four steps are 6% higher.
    (compared,) = comparisons((FoodFacts("by label", label=DRY),), "equation")
    shown = compared.as_json()
    assert shown["four_steps_kcal_per_kg"] == shown["kcal_per_kg"] == 3784
    assert shown["modified_atwater_kcal_per_kg"] == 3570
    assert shown["difference_pct"] == -5.7
    assert shown["basis"] == "equation"


def test_printed_energy_counts_and_the_equations_stand_beside():
    (compared,) = comparisons((FoodFacts("both", kcal_per_kg=3500, label=DRY),), "label")
    assert (compared.counted, compared.basis) == (3500, "label")
    assert comparisons((FoodFacts("printed", kcal_per_kg=3500),), "label") == ()


def test_dry_and_wet_are_comparable_in_dry_matter():
    # By definition: WX24d / 0.90 and WX26a / 0.22; both print kcal per 100 g to a tenth, so half a
    # kcal per kg is 2.3 in the dry matter of the wet food.
    assert per_dry_matter(label_kcal_per_kg(DRY), 10) == pytest.approx(3784 / 0.9, abs=0.6)
    assert per_dry_matter(label_kcal_per_kg(WET), 78) == pytest.approx(987 / 0.22, abs=2.3)
    with pytest.raises(BadInput, match="moisture_pct"):
        per_dry_matter(1000, 100)


def test_a_label_in_dry_matter_is_the_same_food():
    dried = Label(30, 14 / 0.9, 2 / 0.9, 10, 6 / 0.9)
    assert label_kcal_per_kg(as_fed(dried)) == pytest.approx(label_kcal_per_kg(DRY))
    assert as_fed(replace(dried, ash_pct=None)).ash_pct is None
    with pytest.raises(BadInput, match="moisture_pct"):
        as_fed(replace(dried, moisture_pct=100))


def test_no_way_of_counting_passes_gross_energy():
    for label in (DRY, WET, Label(30, 9, 12, 9, 7), Label(20, 60, 0, 10, 5)):
        gross = gross_kcal_per_kg(label)
        assert modified_atwater_kcal_per_kg(label) < atwater_kcal_per_kg(label) < gross
        assert label_kcal_per_kg(label) < gross


@pytest.mark.parametrize("printed", [361, 1891, 4620, 15000])
def test_a_printed_energy_that_cannot_be_is_refused(printed: float):
    # 361: per 100 g taken for per kg; 15000: kJ taken for kcal.
    with pytest.raises(BadInput, match="kcal_per_kg: must be from 1892 to 4618 kcal/kg"):
        check_printed_energy(printed, DRY)


def test_a_printed_energy_near_the_equation_passes():
    for printed in (3400, 3570, 3784, 4100):
        check_printed_energy(printed, DRY)


def test_more_than_a_digestible_food_gives_is_questioned():
    # FEDIAF Annex 1 (b), 4 / 9 / 4: 3980 kcal/kg.
    odd = food_findings((FoodFacts("rich", kcal_per_kg=4100, label=DRY),))
    assert [(f.code, f.values["most_kcal_per_kg"]) for f in odd] == [("energy_above_parts", 3980)]
    assert food_findings((FoodFacts("fine", kcal_per_kg=3900, label=DRY),)) == []


def test_a_weighed_cup_that_differs_is_told():
    weighed = FoodFacts(
        "dry", kcal_per_kg=3600, grams_per_cup=97, cup_from="weighed", label_cup_grams=115
    )
    (found,) = food_findings((weighed,))
    assert found.values == {"food": "dry", "weighed_g": 97, "label_g": 115}
    assert food_findings((replace(weighed, label_cup_grams=100),)) == []
    assert food_findings((replace(weighed, label_cup_grams=None),)) == []


def test_a_treat_may_be_told_in_pieces():
    meal = FoodFacts("dry", kcal_per_kg=3600)
    by_energy = FoodFacts("biscuit", role="treat", kcal_per_piece=12)
    by_mass = FoodFacts("chew", role="treat", kcal_per_kg=3000, grams_per_piece=5)
    by_both = FoodFacts("cube", role="treat", kcal_per_piece=8, grams_per_piece=2)
    assert [kcal_of_piece(food) for food in (meal, by_energy, by_mass, by_both)] == [
        None,
        12,
        15,
        8,
    ]
    assert kcal_per_kg(by_both) == 4000
    limits = treat_limits((meal, by_energy, by_mass, by_both), 49)
    assert [(limit.grams_max, limit.pieces_max) for limit in limits] == [
        (None, 4),
        (16, 3),
        (12, 6),
    ]
    costs = treat_costs((meal, by_energy, by_mass), "label")
    assert [(cost.unit, cost.main_food_grams) for cost in costs] == [("piece", 3.3), ("piece", 4.2)]


def test_a_treat_that_harms_dogs_gets_no_amount():
    foods = (FoodFacts("dry", kcal_per_kg=3600), FoodFacts("raisins", "treat", kcal_per_kg=3000))
    assert treat_limits(foods, 49) == ()
    assert treat_costs(foods, "label") == ()


def test_common_extras_have_a_word_and_a_source():
    assert len({extra.word for extra in EXTRAS}) == len(EXTRAS)
    assert all("USDA" in extra.source for extra in EXTRAS)
    assert all(300 < extra.kcal_per_kg < 6000 for extra in EXTRAS)


def test_what_is_given_beside_the_meals_is_counted_inside_the_day():
    # Carrot: USDA FDC 170393, 41 kcal per 100 g. 30 g and two biscuits of 12: 12.3 + 24 kcal.
    carrot = FoodFacts("carrot", "extra", kcal_per_kg=410, grams_per_day=30)
    biscuit = FoodFacts("biscuit", "treat", kcal_per_piece=12, pieces_per_day=2)
    told = extras_of((carrot, biscuit), 49)
    assert told
    assert (told.kcal, told.left_kcal) == (36, 13)
    over = extras_of((replace(biscuit, pieces_per_day=5),), 49)
    assert over
    assert (over.kcal, over.left_kcal) == (60, 0)
    assert extras_of((replace(carrot, grams_per_day=None),), 49) is None
    chew = FoodFacts("chew", "treat", kcal_per_kg=3000, grams_per_piece=5, pieces_per_day=1)
    assert kcal_given_per_day(chew) == 15
