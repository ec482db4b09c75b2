"""The plan's numbers: the printed example, the starting rules, the steps, the holding ration."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from server.science import decision, gates, loss_rate, plan, plan_result
from server.science.condition import Looks, Score
from server.science.food_energy import Label
from server.science.foods import FoodFacts
from server.science.need import KCAL_PER_KG
from server.science.plan import make_plan, weeks_to_lose
from server.science.plan_case import Intake
from server.science.vet_words import VetWord
from tests.science.cast import CASE, DRY, JUNIPER, TODAY
from tests.science.published import rows

ROWS = rows("planning")


def codes(result: plan_result.PlanResult) -> list[str]:
    return [caution.code for caution in result.cautions]


def test_policy_rests_on_the_published_numbers():
    # AAHA 2014; Small Animal Clinical Nutrition p. 522 and Box 27-12, Table 27-15; WL25 from
    # memory; WL26: a veterinary hospital's programme, 2013.
    assert ROWS["WL01"].close_to(plan.START_OF_INTAKE)
    assert ROWS["WL02"].close_to(gates.BAND_LOW)
    assert ROWS["WL03"].close_to(gates.BAND_LOW * 70)
    assert ROWS["WL04"].close_to(loss_rate.LOSS_HIGH_PCT)
    assert ROWS["WL05"].close_to(loss_rate.LOSS_LOW_PCT)
    assert ROWS["WL25"].close_to(100 * decision.SMALL_STEP, 100 * decision.LARGE_STEP)
    assert ROWS["WL26"].close_to(100 * decision.LARGE_STEP)
    assert rows("weighing")["WL07"].close_to(KCAL_PER_KG)


def test_the_floor_is_above_what_supervised_dogs_got_least():
    # German et al. 2015: 44 kcal per kg^0.75 under supervision.
    lowest = ROWS["WL14"].numbers[0]
    assert lowest < gates.FLOOR_WITH_VET * 70


def test_the_time_a_loss_takes():
    # Small Animal Clinical Nutrition, Box 27-12.
    assert ROWS["WX07"].close_to(weeks_to_lose(6, 36, loss_rate.LOSS_HIGH_PCT))
    assert ROWS["WX08"].close_to(weeks_to_lose(6, 36, loss_rate.LOSS_LOW_PCT))
    assert ROWS["WX10"].close_to(
        1 / weeks_to_lose(1, 36, loss_rate.LOSS_LOW_PCT),
        1 / weeks_to_lose(1, 36, loss_rate.LOSS_HIGH_PCT),
    )


def test_the_band_of_a_dog_of_30_kg_with_a_lean_weight_of_25():
    # AAHA 2014 (0.8 x) and, from memory, 1.0 x; the band is in whole kcal, hence 0.5.
    dog = replace(JUNIPER, lean_weight_kg=25)
    result = make_plan(replace(CASE, dog=dog, weight_kg=30, intake=None))
    assert result.kcal_band == (
        pytest.approx(ROWS["WX04"].numbers[0], abs=0.5),
        pytest.approx(ROWS["WX05"].numbers[0], abs=0.5),
    )


def test_the_printed_example():
    # contracts: right by the rules of the design, the score taken as exactly 7.
    result = make_plan(CASE).as_json()
    expected = {
        "refused": None,
        "score": {"low": 7, "mid": 7, "high": 7},
        "target_kg": {"low": 12.8, "mid": 13.3, "high": 13.9},
        "first_goal_kg": 14.1,
        "resting_kcal_at_target": 488,
        "kcal_per_day": 488,
        "kcal_band": [390, 488],
        "steps": [
            {"on": "2026-03-02", "kcal_per_day": 654},
            {"on": "2026-03-09", "kcal_per_day": 488},
        ],
        "loss_pct_per_week": {"low": 0.5, "high": 2.0},
        "weeks": {"low": 7, "high": 25},
        "treat_kcal_max": 49,
        "ration": [
            {
                "food": "dry food A",
                "kcal": 439,
                "grams": 122,
                "cups": 1.22,
                "cups_label": "1¼ cups, level",
            }
        ],
        "cut_pct": 40.5,
        "nutrient_basis": "design",
        "shortfalls": [],
    }
    assert {key: result[key] for key in expected} == expected


@pytest.mark.parametrize(
    ("intake", "kcal"),
    [
        (None, 439),  # the middle of 390 to 488
        (Intake(820, False, True), 439),
        (Intake(820, True, False), 439),
        (Intake(500, True, True), 400),  # 80%
        (Intake(560, True, True), 448),
        (Intake(2000, True, True), 488),  # held at the top of the band
    ],
)
def test_the_start(intake: Intake | None, kcal: int):
    assert make_plan(replace(CASE, intake=intake)).kcal_per_day == kcal


def test_a_cut_up_to_thirty_percent_is_one_step():
    result = make_plan(replace(CASE, intake=Intake(600, True, True)))
    assert result.reduction is not None
    assert [step.as_json() for step in result.reduction.steps] == [
        {"on": TODAY.isoformat(), "kcal_per_day": 480}
    ]
    assert result.reduction.cut_pct == 20.0


def test_a_larger_cut_takes_two_steps_a_week_apart():
    result = make_plan(replace(CASE, intake=Intake(750, True, True)))
    assert result.reduction is not None
    first, second = result.reduction.steps
    assert second.on - first.on == timedelta(days=7)
    assert (first.kcal_per_day, second.kcal_per_day) == (619, 488)
    # Each step in grams: with its own treat budget of a tenth it makes the whole of its energy.
    at_first, then = result.step_rations
    assert sum(row.kcal for row in at_first) == 619 - 62
    assert then == result.ration


def test_a_vets_word_lowers_the_floor_and_not_the_usual_start():
    words = (VetWord(TODAY, "Dr Amadi", "floor_0_7", TODAY + timedelta(days=60)),)
    low = make_plan(replace(CASE, intake=None, vet_words=words))
    assert low.kcal_band == (341, 488)
    assert low.kcal_per_day == 439
    assert "floor_lowered" in codes(low)


def test_a_right_weight_gets_its_holding_ration():
    # NRC 2006 (95) and Am J Vet Res 2011 (65 to 120): kcal per kg^0.75.
    result = make_plan(replace(CASE, condition=Score(5)))
    shown = result.as_json()
    assert result.refused is not None
    assert result.refused.code == "not_overweight"
    assert shown["kcal_per_day"] == round(95 * 15.2**0.75)
    assert shown["kcal_band"] == [round(65 * 15.2**0.75), round(120 * 15.2**0.75)]
    assert sum(row["kcal"] for row in shown["ration"]) + shown["treat_kcal_max"] == 731
    assert [shown[key] for key in ("target_kg", "first_goal_kg", "weeks", "cut_pct")] == [None] * 4
    assert shown["steps"] == []
    assert "measured_intake_holds" in codes(result)


def test_small_dogs_are_told_in_hundredths():
    result = make_plan(replace(CASE, weight_kg=3.4, intake=None))
    assert result.reduction is not None
    assert result.reduction.target.mid == pytest.approx(3.4 * 70 / 80, abs=0.005)
    assert result.reduction.target.mid != round(result.reduction.target.mid, 1)


def test_without_nutrients_one_sentence_tells_the_share_of_the_design():
    # Meals of 439 kcal for 13.3 kg: 63 kcal per kg^0.75 of 95 to 110 (FEDIAF).
    caution = next(c for c in make_plan(CASE).cautions if c.code == "below_design")
    assert caution.values == {"fed_per_metabolic_kg": 63, "low_pct": 57, "high_pct": 66}


def test_with_a_labels_nutrients_shortfalls_are_named():
    # 439 kcal of 3600 kcal/kg is 122 g; need for 13.3 kg: protein 22.8 g, zinc 13.9 mg (NRC 2006,
    # from memory).
    food = replace(DRY, nutrients_per_kg={"protein": 250.0, "zinc": 60.0})
    result = make_plan(replace(CASE, foods=(food,))).as_json()
    assert result["nutrient_basis"] == "label"
    assert result["shortfalls"] == [{"nutrient": "zinc", "share_of_allowance": 0.53}]
    told = {caution["code"] for caution in result["cautions"]}
    assert {"nutrients_short", "nutrients_not_named"} <= told
    assert "below_design" not in told


def test_a_maintenance_food_is_advised_against_and_a_food_for_loss_is_not():
    assert "food_for_loss" in codes(make_plan(CASE))
    lean = replace(DRY, purpose="weight_loss")
    assert "food_for_loss" not in codes(make_plan(replace(CASE, foods=(lean,))))


def test_every_caution_has_a_source():
    looks = Looks("pressed", "bulging", "rising")
    dog = replace(JUNIPER, breed="Whippet", sighthound=True, breed_min_kg=20, breed_max_kg=21)
    label = Label(protein_pct=30, fat_pct=9, fibre_pct=12, moisture_pct=9, ash_pct=7)
    foods = (FoodFacts("fibrous", label=label, grams_per_cup=90),)
    result = make_plan(replace(CASE, dog=dog, condition=looks, foods=foods, treat_kcal=300))
    told = codes(result)
    expected = {
        "outside_breed_range",
        "owners_score_low",
        "looks_disagree",
        "sighthound_ribs",
        "energy_from_label_parts",
        "treats_capped",
        "weigh_grams",
    }
    assert expected <= set(told)
    assert all(caution.source for caution in result.cautions)
    assert len(told) == len(set(told))


def test_an_unlikely_cup_is_questioned():
    assert "cup_energy_odd" not in codes(make_plan(CASE))
    heavy = replace(DRY, grams_per_cup=250)
    assert "cup_energy_odd" in codes(make_plan(replace(CASE, foods=(heavy,))))


def test_a_long_coat_sends_the_owner_to_hands():
    looks = Looks("pressed", "straight", "level")
    short, long = (
        codes(make_plan(replace(CASE, dog=replace(JUNIPER, coat=coat), condition=looks)))
        for coat in ("short", "long")
    )
    assert "coat_hides_waist" in long
    assert "coat_hides_waist" not in short
    assert "coat_hides_waist" not in codes(
        make_plan(replace(CASE, dog=replace(JUNIPER, coat="long")))
    )


def test_a_deep_cut_says_why_it_goes_in_steps():
    assert "deep_cut_in_steps" in codes(make_plan(CASE))
    assert "deep_cut_in_steps" not in codes(
        make_plan(replace(CASE, intake=Intake(600, True, True)))
    )


def test_the_scatter_widens_the_target_and_not_the_example():
    plain, scattered = (
        make_plan(replace(CASE, condition=Score(7, scattered=asked))).reduction
        for asked in (False, True)
    )
    assert plain
    assert scattered
    assert scattered.target.mid == plain.target.mid == 13.3
    assert scattered.target.low < plain.target.low
    assert scattered.target.high > plain.target.high
