"""No plan for a dog that must not get one, and a vet's word that lifts only what it names."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from server.science.condition import Looks, Score
from server.science.foods import FoodFacts
from server.science.plan import make_plan
from server.science.plan_case import Intake, PlanCase
from server.science.vet_first import CONDITIONS
from server.science.vet_words import VetWord
from tests.science.cast import CASE, DRY, JUNIPER, TODAY

PUP = replace(JUNIPER, birth_date=TODAY - timedelta(days=200))


def word(covers: str, *, until: date | None = None, on: date = TODAY) -> VetWord:
    return VetWord(on, "Dr Amadi", covers, until)


ALL_WORDS = tuple(
    word(covers)
    for covers in (
        "plan",
        "floor_0_7",
        "target_below_70pct",
        *(f"condition:{item.word}" for item in CONDITIONS),
    )
)


def refused(case: PlanCase) -> str | None:
    result = make_plan(case)
    if result.refused is None:
        return None
    if result.refused.code != "not_overweight":
        assert result.kcal_per_day is None
        assert result.ration == ()
    assert result.reduction is None
    return result.refused.code


def test_juniper_gets_a_plan():
    assert refused(CASE) is None


@pytest.mark.parametrize(
    ("case", "code"),
    [
        (replace(CASE, dog=replace(JUNIPER, reproduction="pregnant")), "pregnant"),
        (replace(CASE, dog=replace(JUNIPER, reproduction="nursing")), "nursing"),
        (replace(CASE, dog=PUP), "growing"),
        (replace(CASE, dog=replace(JUNIPER, birth_date=None, grown="no")), "growing"),
        (replace(CASE, dog=replace(JUNIPER, birth_date=None, grown="unknown")), "growing"),
        (replace(CASE, condition=Score(3)), "underweight"),
        (replace(CASE, condition=Score(1)), "underweight"),
        (replace(CASE, condition=Score(4)), "not_overweight"),
        (replace(CASE, condition=Score(5)), "not_overweight"),
        (replace(CASE, condition=Looks("thin_cover", "clear", "rising")), "not_overweight"),
        (replace(CASE, condition=Looks("bony", "hollow", "steep")), "underweight"),
    ],
)
def test_no_word_of_a_vet_lifts_these(case: PlanCase, code: str):
    assert refused(case) == code
    assert refused(replace(case, vet_words=ALL_WORDS)) == code


def test_a_grown_dog_of_unknown_birthday_gets_a_plan():
    assert refused(replace(CASE, dog=replace(JUNIPER, birth_date=None, grown="yes"))) is None


@pytest.mark.parametrize(
    ("changes", "weight_kg", "months"),
    [
        ({"adult_weight_kg": 10.0}, 50, 12),
        ({"adult_weight_kg": 30.0}, 12, 18),
        ({"breed_grown_kg": 60.0}, 12, 24),
        ({}, 12, 12),
        ({}, 30, 18),
    ],
)
def test_the_age_limit_takes_the_recorded_weight_then_the_breed_then_today(
    changes: dict[str, float], weight_kg: float, months: int
):
    birth = date(2024, 3, 2)
    dog = replace(JUNIPER, birth_date=birth, **changes)
    case = replace(CASE, dog=dog, weight_kg=weight_kg, intake=None)
    years, month = divmod(birth.month - 1 + months, 12)
    grown = date(birth.year + years, month + 1, birth.day)
    assert refused(replace(case, as_of=grown - timedelta(days=1))) == "growing"
    assert refused(replace(case, as_of=grown)) is None


@pytest.mark.parametrize("item", CONDITIONS, ids=lambda item: item.word)
def test_each_condition_needs_its_own_word(item):
    case = replace(CASE, dog=replace(JUNIPER, conditions=(item.word,)))
    assert refused(case) == "vet_first"
    others = tuple(w for w in ALL_WORDS if w.covers != f"condition:{item.word}")
    assert refused(replace(case, vet_words=others)) == "vet_first"
    assert refused(replace(case, vet_words=(word(f"condition:{item.word}"),))) is None


@pytest.mark.parametrize(
    "changes", [{"condition": Score(9)}, {"muscle": "mild"}, {"muscle": "severe"}]
)
def test_score_nine_and_lost_muscle_need_a_word_for_the_plan(changes):
    case = replace(CASE, **changes)
    assert refused(case) == "vet_first"
    others = tuple(w for w in ALL_WORDS if w.covers != "plan")
    assert refused(replace(case, vet_words=others)) == "vet_first"
    allowed = make_plan(replace(case, vet_words=(word("plan"),)))
    assert allowed.refused is None
    assert "vet_word_used" in [caution.code for caution in allowed.cautions]


@pytest.mark.parametrize("ribs", ["bony", "sharp"])
@pytest.mark.parametrize(("waist", "tuck"), [("bulging", "hanging"), ("straight", "hanging")])
def test_a_big_belly_over_ribs_that_are_seen_goes_to_a_vet(ribs, waist, tuck):
    case = replace(CASE, condition=Looks(ribs, waist, tuck))
    assert refused(case) == "vet_first"
    # With a vet's word it is judged by its score: still no dog to take food from.
    assert refused(replace(case, vet_words=ALL_WORDS)) in ("underweight", "not_overweight")


def test_lost_muscle_comes_before_a_right_weight():
    assert refused(replace(CASE, condition=Score(5), muscle="moderate")) == "vet_first"


def test_a_word_holds_to_its_last_day_and_not_before_its_first():
    case = replace(CASE, condition=Score(9))
    until = word("plan", until=TODAY + timedelta(days=30))
    assert refused(replace(case, vet_words=(until,))) is None
    last = replace(case, as_of=TODAY + timedelta(days=30), vet_words=(until,))
    assert refused(last) is None
    assert refused(replace(last, as_of=TODAY + timedelta(days=31))) == "vet_first"
    assert (
        refused(replace(case, as_of=TODAY - timedelta(days=1), vet_words=(until,))) == "vet_first"
    )


def test_holding_weight_on_resting_energy_is_already_low():
    # Resting energy at Juniper's target is 488 kcal.
    for kcal, code in ((487, "already_low"), (390, "already_low"), (489, None)):
        assert refused(replace(CASE, intake=Intake(kcal, True, True))) == code


def test_unweighed_or_unsteady_food_is_no_measurement():
    assert refused(replace(CASE, intake=Intake(400, False, True))) is None
    result = make_plan(replace(CASE, intake=Intake(400, True, False)))
    assert result.refused is None
    assert {"intake_not_used", "intake_below_plan"} <= {c.code for c in result.cautions}


def test_a_vet_may_allow_a_plan_below_rest_but_never_below_the_floor():
    words = (word("plan"),)
    assert refused(replace(CASE, intake=Intake(450, True, True), vet_words=words)) is None
    plan = make_plan(replace(CASE, intake=Intake(450, True, True), vet_words=words))
    assert plan.kcal_per_day == 390
    assert refused(replace(CASE, intake=Intake(380, True, True), vet_words=words)) == "already_low"


def test_a_target_below_seventy_percent_needs_its_word():
    case = replace(CASE, dog=replace(JUNIPER, lean_weight_kg=10.0), intake=None)
    assert refused(case) == "vet_first"
    assert refused(replace(case, vet_words=(word("plan"),))) == "vet_first"
    allowed = make_plan(replace(case, vet_words=(word("target_below_70pct"),)))
    assert allowed.refused is None
    assert allowed.reduction is not None
    assert allowed.reduction.target.mid == 10.0


def test_the_middle_of_the_target_decides_about_seventy_percent():
    # 10.5 kg is 69%; its high end is above 70%.
    assert refused(replace(CASE, dog=replace(JUNIPER, lean_weight_kg=10.5))) == "vet_first"
    assert refused(replace(CASE, dog=replace(JUNIPER, lean_weight_kg=10.7))) is None


def test_the_low_end_of_a_target_stays_at_seventy_percent_too():
    # 10.7 kg less 3% is 68% of today.
    plan = make_plan(replace(CASE, dog=replace(JUNIPER, lean_weight_kg=10.7), intake=None))
    assert plan.reduction is not None
    assert plan.reduction.target.low == pytest.approx(0.7 * 15.2, abs=0.05)


def test_a_prescribed_food_counts_as_the_condition():
    prescribed = FoodFacts("renal diet", kcal_per_kg=3800, purpose="prescription")
    case = replace(CASE, foods=(prescribed,))
    assert refused(case) == "vet_first"
    allowed = make_plan(replace(case, vet_words=(word("condition:prescription_diet"),)))
    assert allowed.refused is None
    assert allowed.treat_kcal_max == 0
    assert sum(row.kcal for row in allowed.ration) == allowed.kcal_per_day
    codes = [caution.code for caution in allowed.cautions]
    by_condition = replace(CASE, dog=replace(JUNIPER, conditions=("prescription_diet",)))
    words = (word("condition:prescription_diet"),)
    assert make_plan(replace(by_condition, vet_words=words)).treat_kcal_max == 0
    assert "prescription_diet" in codes
    assert "food_for_loss" not in codes


def test_every_gate_that_was_hit_is_told():
    dog = replace(JUNIPER, reproduction="pregnant", conditions=("diabetes",))
    result = make_plan(replace(CASE, dog=dog, foods=(DRY,)))
    assert result.refused is not None
    assert result.refused.code == "pregnant"
    assert "vet_first" in [caution.code for caution in result.cautions]
