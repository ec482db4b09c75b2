"""What must hold beside every plan, and that units never change a plan."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from server.science.cases import plan_case
from server.science.condition import Score
from server.science.food_energy import Label, check_printed_energy, label_kcal_per_kg
from server.science.foods import FoodFacts
from server.science.plan import make_plan
from server.science.plan_case import Intake, PlanCase
from server.science.units import KG_PER_LB, KJ_PER_KCAL
from tests.science.cast import CASE, DRY, JUNIPER

DOCUMENT: dict[str, Any] = {
    "as_of": "2026-03-02",
    "dog": {
        "name": "Juniper",
        "sex": "female",
        "neutered": True,
        "birth_date": "2019-06-10",
        "coat": "short",
        "reproduction": "none",
        "conditions": [],
    },
    "weight_kg": 15.2,
    "condition": {"score": 7},
    "foods": [],
}

treats = st.one_of(
    st.builds(FoodFacts, st.just("biscuit"), st.just("treat"), kcal_per_piece=st.floats(0.1, 300)),
    st.builds(
        FoodFacts,
        st.just("chew"),
        st.just("extra"),
        kcal_per_kg=st.floats(50, 9500),
        grams_per_piece=st.floats(0.1, 100),
    ),
)
ready = st.builds(
    PlanCase,
    as_of=st.just(CASE.as_of),
    dog=st.just(JUNIPER),
    weight_kg=st.floats(2, 80),
    condition=st.builds(Score, st.integers(5, 8), st.booleans()),
    intake=st.one_of(
        st.none(), st.builds(Intake, st.floats(300, 4000), st.booleans(), st.booleans())
    ),
    foods=st.tuples(st.just(DRY), treats),
    what_if_kcal=st.one_of(st.none(), st.floats(10, 5000)),
    changing_from=st.one_of(st.none(), st.just(FoodFacts("old", kcal_per_kg=4000))),
)


def food_document(**energy: float) -> dict[str, Any]:
    return DOCUMENT | {"foods": [{"name": "food", "role": "meal", "share": 1, **energy}]}


@given(case=ready)
def test_what_stands_beside_a_plan_keeps_the_rules(case: PlanCase):
    shown: dict[str, Any] = make_plan(case).as_json()
    json.dumps(shown, allow_nan=False)
    for row in shown["ration"]:
        assert row["kcal"] >= 0
        assert row["grams"] >= 0
    for limit in shown["treats"]:
        assert 0 <= limit["kcal_max"] <= shown["kcal_per_day"] / 10 + 0.5
        assert limit["grams_max"] is None or limit["grams_max"] >= 0
        assert limit["pieces_max"] >= 0
    for day in shown["food_change"]:
        assert day["old"]["grams"] >= 0
        assert all(new["grams"] >= 0 for new in day["new"])
    if shown["refused"]:
        assert shown["what_if"] == []
        return
    low, high = shown["kcal_band"]
    steps = [row["pct_of_resting"] for row in shown["what_if"] if not row["asked"]]
    assert all(more - less <= 5 for more, less in pairwise(steps) if case.what_if_kcal is None)
    for more, less in pairwise(shown["what_if"]):
        assert more["kcal_per_day"] > less["kcal_per_day"]
        if less["loss_pct_per_week"] is None:
            continue
        for end in ("low", "mid", "high"):
            assert less["loss_pct_per_week"][end] >= more["loss_pct_per_week"][end] >= 0
            slower, faster = more["weeks"][end], less["weeks"][end]
            assert slower is None or (faster is not None and faster <= slower)
    for row in shown["what_if"]:
        assert row["allowed"] == (low <= row["kcal_per_day"] <= high)
        assert row["allowed"] or row["asked"]
        if row["kcal_per_day"] < low:
            assert row["weeks"] is None
    assert shown["human_terms"]["excess_kg"] >= 0
    after = shown["after_target_kcal"]
    assert 0 < after["low"] < after["mid"] < after["high"]


@given(weight=st.floats(2, 100), neutered=st.booleans())
def test_a_fatter_dog_of_one_weight_gets_a_lower_target_and_no_more_food(
    weight: float, neutered: bool
):
    plans = [
        make_plan(
            replace(
                CASE,
                dog=replace(JUNIPER, neutered=neutered),
                weight_kg=weight,
                condition=Score(score),
                intake=None,
            )
        )
        for score in (6, 7, 8)
    ]
    targets = [plan.reduction.target.mid for plan in plans if plan.reduction]
    energies = [plan.kcal_per_day for plan in plans if plan.kcal_per_day is not None]
    assert len(targets) == len(energies) == 3
    assert targets == sorted(targets, reverse=True)
    assert energies == sorted(energies, reverse=True)


@settings(max_examples=40)  # four whole plans each
@given(kcal=st.integers(600, 9000))
def test_kilojoules_and_kilocalories_give_the_same_ration(kcal: int):
    rations = [
        make_plan(plan_case(food_document(**energy), lambda name, sex: None)).ration[0]
        for energy in (
            {"kcal_per_kg": kcal},
            {"kj_per_kg": kcal * KJ_PER_KCAL},
            {"kcal_per_100g": kcal / 10},
            {"kj_per_100g": kcal * KJ_PER_KCAL / 10},
        )
    ]
    assert len({row.kcal for row in rations}) == 1
    # Equal to the last bit or so; one gram where the exact amount ends on a half.
    assert max(row.grams for row in rations) - min(row.grams for row in rations) <= 1


@settings(max_examples=60)
@given(weight_lb=st.floats(5, 200), score=st.integers(6, 8))
def test_pounds_and_back_give_the_same_plan(weight_lb: float, score: int):
    weight_kg = weight_lb * KG_PER_LB
    there_and_back = weight_kg / KG_PER_LB * KG_PER_LB
    first, second = (
        make_plan(replace(CASE, weight_kg=kg, condition=Score(score), intake=None))
        for kg in (weight_kg, there_and_back)
    )
    assert first.kcal_per_day is not None
    assert second.kcal_per_day is not None
    assert abs(first.kcal_per_day - second.kcal_per_day) <= 1
    assert first.reduction
    assert second.reduction
    assert first.reduction.target.mid == pytest.approx(second.reduction.target.mid, abs=0.11)


@given(
    protein=st.floats(0, 60),
    fat=st.floats(0, 60),
    fibre=st.floats(0, 30),
    moisture=st.floats(0, 85),
    ash=st.floats(0, 12),
)
def test_a_label_that_can_be_has_an_energy_that_passes_its_own_check(
    protein: float, fat: float, fibre: float, moisture: float, ash: float
):
    assume(protein + fat + fibre + moisture + ash <= 100)
    # More fibre than this in dry matter leaves nothing digestible (91.2 / 1.43, FEDIAF step 2).
    assume(fibre < 0.5 * (100 - moisture))
    label = Label(protein, fat, fibre, moisture, ash)
    assume(protein + fat + (100 - moisture - ash) > 5)
    energy = label_kcal_per_kg(label)
    assert 0 < energy < 9400
    check_printed_energy(energy, label)
