"""Nutrients of a restricted ration."""

from __future__ import annotations

import pytest

from server.science.nutrients import ALLOWANCES, allowance_shares, design_share
from tests.science.published import rows

ROWS = rows("nutrients")
WORDS = dict(zip([f"NR{n:02d}" for n in range(1, 17)], ALLOWANCES, strict=True))


@pytest.mark.parametrize("row_id", WORDS)
def test_allowances_are_the_remembered_ones(row_id: str):
    # NRC 2006, Table 15-5, from memory.
    row, word = ROWS[row_id], WORDS[row_id]
    assert row.status == "memory"
    assert row.what.split(": ")[1].lower().replace(" ", "_") == {"vitamin_b12": "vitamin_b12"}.get(
        word, word
    )
    assert ALLOWANCES[word].per_metabolic_kg == row.numbers[1]


@pytest.mark.parametrize("row_id", WORDS)
def test_the_two_forms_of_an_allowance_agree(row_id: str):
    # FEDIAF on NRC 2006: the allowances per 1000 kcal rest on 130 kcal per kg^0.75. Both forms
    # are rounded to two digits or so, hence 8%.
    per_1000_kcal, per_metabolic_kg = ROWS[row_id].numbers
    level = ROWS["NU02"].numbers[0]
    assert per_metabolic_kg * 1000 / level == pytest.approx(per_1000_kcal, rel=0.08)


def test_zinc_is_what_fediaf_prints():
    # FEDIAF Table VII-12: 15 mg a day for a dog of 15 kg.
    assert ROWS["NU04"].close_to(ALLOWANCES["zinc"].per_metabolic_kg * 15**0.75)


def test_the_worked_share_of_the_protein_allowance():
    # 60 g per 1000 kcal, fed at 56 kcal per kg^0.75, against 3.28 g per kg^0.75: 102%.
    shares = allowance_shares([(56, 1000, {"protein": 60})], 1.0)
    assert ROWS["WX34"].close_to(100 * shares["protein"])
    assert list(shares) == ["protein"]


def test_a_food_for_95_to_110_fed_at_56_gives_51_to_59_percent():
    # Reference values, section 5, derived from FEDIAF 2.5; printed in whole percent, hence 0.5.
    assert [100 * share for share in design_share(56)] == [
        pytest.approx(51, abs=0.5),
        pytest.approx(59, abs=0.5),
    ]


def test_a_nutrient_that_one_food_does_not_name_is_not_judged():
    fed = [(200, 3600, {"protein": 250, "zinc": 100}), (200, 1000, {"protein": 90})]
    assert list(allowance_shares(fed, 7.0)) == ["protein"]
    assert allowance_shares([], 7.0) == {}
