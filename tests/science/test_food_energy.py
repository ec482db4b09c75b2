"""Food energy by the four steps, and which energy a plan counts with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.errors import BadInput
from server.science.food_energy import (
    ASSUMED_ASH_PCT,
    Label,
    fibre_in_dry_matter_pct,
    label_kcal_per_kg,
    nitrogen_free_extract_pct,
)
from server.science.foods import FoodFacts, check_shares, energy_basis, kcal_per_kg
from tests.science.published import rows

ROWS = rows("food_energy")
DRY = Label(protein_pct=27, fat_pct=14, fibre_pct=2, moisture_pct=10, ash_pct=6)


def test_the_published_dry_food():
    # FEDIAF predictive equation, worked: WX22 and WX24b, d; a and c follow from d by steps.
    assert ROWS["WX22"].close_to(nitrogen_free_extract_pct(DRY))
    assert ROWS["WX24b"].close_to(91.2 - 1.43 * fibre_in_dry_matter_pct(DRY))
    assert ROWS["WX24d"].close_to(label_kcal_per_kg(DRY) / 10)


@pytest.mark.parametrize("row_id", ["WX25a", "WX26a"])
def test_the_published_fibrous_and_wet_foods(row_id: str):
    # FEDIAF predictive equation, worked.
    row = ROWS[row_id]
    label = Label(
        protein_pct=row.inputs["P"],
        fat_pct=row.inputs["F"],
        fibre_pct=row.inputs["fibre"],
        moisture_pct=row.inputs["moisture"],
        ash_pct=row.inputs["ash"],
    )
    assert row.close_to(label_kcal_per_kg(label) / 10)


def test_ash_that_is_not_printed_is_assumed():
    # Teaching sheet on modified Atwater.
    assert ROWS["ME03"].close_to(ASSUMED_ASH_PCT["dry"], ASSUMED_ASH_PCT["wet"])
    assert label_kcal_per_kg(replace(DRY, ash_pct=None)) == label_kcal_per_kg(DRY)


def test_a_label_that_cannot_be_is_refused():
    with pytest.raises(BadInput, match="at most 100%"):
        label_kcal_per_kg(replace(DRY, protein_pct=80))
    with pytest.raises(BadInput, match="below 100%"):
        label_kcal_per_kg(Label(0, 0, 0, 100, 0))
    with pytest.raises(BadInput, match="has energy"):
        label_kcal_per_kg(Label(0, 0, 99, 0, 0))


def test_printed_energy_comes_before_the_equation():
    both = FoodFacts("both", kcal_per_kg=3500, label=DRY)
    assert energy_basis((both,)) == "label"
    assert kcal_per_kg(both, "label") == 3500


def test_printed_and_computed_energy_are_never_mixed():
    computed = FoodFacts("computed", share=0.5, label=DRY)
    both = FoodFacts("both", share=0.5, kcal_per_kg=3500, label=DRY)
    printed = FoodFacts("printed", share=0.5, kcal_per_kg=3500)
    assert energy_basis((computed, both)) == "equation"
    assert kcal_per_kg(both, "equation") == label_kcal_per_kg(DRY)
    with pytest.raises(BadInput, match=r"foods\[1\]\.label: must be given"):
        energy_basis((computed, printed))


def test_a_treats_own_energy_does_not_count_as_mixing():
    carrot = FoodFacts("carrot, raw", role="treat", kcal_per_kg=410)
    assert energy_basis((FoodFacts("computed", label=DRY), carrot)) == "equation"
    assert kcal_per_kg(carrot, "equation") == 410


def test_shares_sum_to_one():
    thirds = tuple(FoodFacts(f"food {n}", share=0.33, kcal_per_kg=3500) for n in range(3))
    check_shares(thirds)
    with pytest.raises(BadInput, match="sum to 1"):
        check_shares(thirds[:2])
    with pytest.raises(BadInput, match="role meal"):
        check_shares((FoodFacts("carrot", role="treat", kcal_per_kg=410),))
