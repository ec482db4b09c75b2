"""What `tuckline plan` says beside its numbers, in words and keys, from outside."""

from __future__ import annotations

import json
from typing import Any

import pytest

from server.cli.plan import answer
from tests.cli.documents import PLAN, changed, run

OLD = {"name": "old food", "kcal_per_kg": 4000}
RICH_LABEL = {
    "protein_pct": 27,
    "fat_pct": 14,
    "fibre_pct": 2,
    "moisture_pct": 10,
    "ash_pct": 6,
    "form": "dry",
}
PUPPY = changed(changed(PLAN, "dog.birth_date", "2025-10-01"), "dog.adult_weight_kg", 20)
LONG = changed(
    changed(PLAN, "dog.coat", "long"),
    "condition",
    {"ribs": "pressed", "waist": "straight", "tuck": "level"},
)
SCRAP = {"name": "scraps", "role": "extra", "kcal_per_kg": 2000, "grams_per_day": 40}
SCRAPS = {**PLAN, "foods": [PLAN["foods"][0], SCRAP]}


def weights(*kgs: float) -> list[dict[str, Any]]:
    return [{"on": f"2026-02-{9 + 7 * n:02d}", "kg": kg} for n, kg in enumerate(kgs)]


@pytest.mark.parametrize(
    ("code", "document", "words"),
    [
        ("unsafe_food", changed(PLAN, "foods[0].name", "lamb with onion"), "poison line now"),
        ("cup_differs", changed(PLAN, "foods[0].cup_weighed_g", 80), "weighs 80 g"),
        (
            "energy_above_parts",
            changed(changed(PLAN, "foods[0].label", RICH_LABEL), "foods[0].kcal_per_kg", 4200),
            "at most 3980",
        ),
        ("extras_over_budget", SCRAPS, "come to 80 kcal a day; 49 kcal is the most"),
        ("deep_cut_in_steps", PLAN, "2 steps, 7 days apart"),
        ("coat_hides_waist", LONG, "come together at the loin"),
        ("owners_score_low", LONG, "64% were wrong"),
        ("food_for_loss", PLAN, "79 kcal per kg^0.75"),
        ("needs_more", changed(PLAN, "dog.reproduction", "pregnant"), "late in pregnancy"),
        ("needs_more", changed(PLAN, "dog.reproduction", "nursing"), "large litter"),
        ("growth_energy", PUPPY, "for an adult weight of 20"),
        (
            "growth_adult_unknown",
            changed(changed(PUPPY, "dog.adult_weight_kg", None), "dog.breed", None),
            "adult weight to expect",
        ),
        ("growth_above_adult", changed(PUPPY, "dog.adult_weight_kg", 14), "14.0 kg"),
        ("growth_loses", changed(PUPPY, "earlier_weights", weights(15.5, 16.0)), "% a week"),
        (
            "growth_speeds_up",
            changed(PUPPY, "earlier_weights", weights(13.3, 13.5)),
            "grows or grows fat",
        ),
    ],
)
def test_every_caution_is_worded_from_a_real_plan(code: str, document: dict, words: str):
    cautions = {caution["code"]: caution for caution in answer(document)["cautions"]}
    assert words in cautions[code]["message"]
    assert "{" not in cautions[code]["message"]
    assert cautions[code]["source"]


def test_the_new_keys_stand_beside_the_printed_example(capsys):
    document = changed(changed(PLAN, "changing_from", OLD), "what_if_kcal", 450)
    shown = run(capsys, "plan", json.dumps(document)).json
    plain = run(capsys, "plan", json.dumps(PLAN)).json
    assert set(shown) == set(plain)
    assert [row["kcal_per_day"] for row in shown["what_if"] if row["asked"]] == [450]
    assert [day["new_pct"] for day in shown["food_change"]] == list(range(10, 101, 10))
    beside = {"what_if", "food_change"}
    assert {key: shown[key] for key in shown if key not in beside} == {
        key: plain[key] for key in plain if key not in beside
    }
    # 1.9 kg of 13.3: 14.3%; on a person of 80 kg 11.4 (ratio of weights, common practice).
    assert plain["human_terms"] == {
        "excess_kg": 1.9,
        "excess_pct": 14.3,
        "person_kg": 80.0,
        "person_excess_kg": 11.4,
    }
    assert plain["cut"]["grams_less"] == 92
    assert plain["rounding"] == [
        {"food": "dry food A", "grams_error_pct": 0.0, "cups_error_pct": 2.5}
    ]


def test_a_score_may_show_its_scatter(capsys):
    scattered = run(capsys, "plan", json.dumps(changed(PLAN, "condition.scatter", True))).json
    assert scattered["score"] == {"low": 6, "mid": 7, "high": 8}
    assert scattered["target_kg"]["mid"] == 13.3
    plain = run(capsys, "plan", json.dumps(changed(PLAN, "condition.scatter", False))).json
    assert plain["score"] == {"low": 7, "mid": 7, "high": 7}


def test_the_lists_of_the_conditions_command(capsys):
    lists = run(capsys, "conditions", "").json
    assert {"carrot_raw", "cheddar"} <= {item["word"] for item in lists["common_extras"]}
    assert all(item["source"] for item in lists["energy_levels"])
    xylitol = next(item for item in lists["unsafe_foods"] if item["word"] == "xylitol")
    assert {"e967", "birch sugar", "birkenzucker"} <= set(xylitol["names"])
    assert xylitol["reported_doses"]["liver_g_per_kg"] == 0.5
