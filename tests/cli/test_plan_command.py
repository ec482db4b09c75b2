"""`tuckline plan`, from outside."""

from __future__ import annotations

import json
from datetime import date

import pytest

from server.breeds import breed_named
from server.science.dog import SIGHTHOUNDS
from tests.cli.documents import PLAN, changed, run

# What the contract prints for its example.
PRINTED = {
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


def test_the_example_of_the_contract(capsys):
    outcome = run(capsys, "plan", json.dumps(PLAN))
    assert (outcome.status, outcome.err) == (0, "")
    assert {key: outcome.json[key] for key in PRINTED} == PRINTED
    assert outcome.json["cautions"]
    for caution in outcome.json["cautions"]:
        assert caution["code"]
        assert caution["message"]
        assert caution["source"]


def test_a_file_and_a_dash_name_the_same(capsys, tmp_path):
    path = tmp_path / "juniper.json"
    path.write_text(json.dumps(PLAN), encoding="utf-8")
    from_file = run(capsys, "plan", "", str(path))
    from_dash = run(capsys, "plan", json.dumps(PLAN), "-")
    assert from_file.status == 0
    assert from_file.out == from_dash.out


def test_keys_that_may_be_left_out(capsys):
    document = {key: value for key, value in PLAN.items() if key not in ("treats", "vet_word")}
    document["dog"] = {
        key: value for key, value in PLAN["dog"].items() if value is not None and key != "frame"
    }
    document["condition"] = {"score": 7}
    assert (
        run(capsys, "plan", json.dumps(document)).json == run(capsys, "plan", json.dumps(PLAN)).json
    )


@pytest.mark.parametrize(
    ("path", "value", "code"),
    [
        ("dog.reproduction", "pregnant", "pregnant"),
        ("dog.reproduction", "nursing", "nursing"),
        ("dog.birth_date", "2026-01-01", "growing"),
        ("dog.conditions", ["heart_disease"], "vet_first"),
        ("condition.muscle", "mild", "vet_first"),
        ("condition.score", 9, "vet_first"),
        ("condition.score", 3, "underweight"),
        ("condition.score", 5, "not_overweight"),
        ("intake.kcal_per_day", 480, "already_low"),
        ("dog.lean_weight_kg", 9.0, "vet_first"),
    ],
)
def test_refusals_have_a_code_and_a_sentence_and_no_numbers(capsys, path, value, code):
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, path, value)))
    assert outcome.status == 0
    refused = outcome.json["refused"]
    assert refused["code"] == code
    assert refused["message"].endswith(".")
    nulls = ["target_kg", "first_goal_kg", "resting_kcal_at_target", "weeks", "cut_pct"]
    assert [outcome.json[key] for key in nulls] == [None] * len(nulls)
    holding = code == "not_overweight"
    assert bool(outcome.json["ration"]) == holding
    assert (outcome.json["kcal_per_day"] is not None) == holding


def test_age_may_be_unknown(capsys):
    unknown = changed(changed(PLAN, "dog.birth_date", None), "dog.grown", "unknown")
    refused = run(capsys, "plan", json.dumps(unknown)).json["refused"]
    assert refused["code"] == "growing"
    assert "ask a vet for its age" in refused["message"].lower()
    grown = changed(unknown, "dog.grown", True)
    assert run(capsys, "plan", json.dumps(grown)).json["refused"] is None


def test_looks_instead_of_a_score(capsys):
    looks = {"ribs": "pressed", "waist": "straight", "tuck": "level", "muscle": "normal"}
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, "condition", looks)))
    score = outcome.json["score"]
    assert score["low"] < score["mid"] == 7 < score["high"]
    target = outcome.json["target_kg"]
    assert target["low"] < 12.8
    assert target["high"] > 13.9


def test_a_breed_is_found_under_its_other_names_and_sizes_are_asked_for(capsys):
    assert run(capsys, "plan", json.dumps(changed(PLAN, "dog.breed", "beagle"))).status == 0
    poodle = run(capsys, "plan", json.dumps(changed(PLAN, "dog.breed", "Poodle")))
    assert poodle.status == 2
    assert "must name one breed" in poodle.err
    assert run(capsys, "plan", json.dumps(changed(PLAN, "dog.breed", None))).status == 0


def test_every_sighthound_is_a_breed_of_the_table():
    assert {breed_named(breed) for breed in SIGHTHOUNDS} == set(SIGHTHOUNDS)


def test_a_food_by_its_label_alone(capsys):
    label = {"protein_pct": 27, "fat_pct": 14, "fibre_pct": 2, "moisture_pct": 10, "form": "dry"}
    food = {"name": "by label", "role": "meal", "share": 1, "label": label}
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, "foods", [food])))
    # FEDIAF predictive equation, WX24d: 3784 kcal/kg; 439 kcal are 116 g.
    assert outcome.json["ration"][0]["grams"] == 116
    assert "energy_from_label_parts" in [c["code"] for c in outcome.json["cautions"]]


def test_lines_answer_in_order_and_say_which_was_bad(capsys):
    bad = changed(PLAN, "weight_kg", -1)
    heavy = changed(PLAN, "weight_kg", 30)
    text = "\n".join([json.dumps(PLAN), json.dumps(bad), "{", "", json.dumps(heavy)]) + "\n"
    outcome = run(capsys, "plan", text, "--lines")
    assert (outcome.status, outcome.err) == (1, "")
    answers = [json.loads(line) for line in outcome.out.splitlines()]
    assert len(answers) == 5
    assert answers[0]["target_kg"]["mid"] == 13.3
    assert answers[1]["error"]["field"] == "weight_kg"
    assert "0.3 to 120 kg" in answers[1]["error"]["message"]
    assert answers[2]["error"]["field"] == answers[3]["error"]["field"] == "document"
    assert answers[4]["target_kg"]["mid"] > 20
    good = run(capsys, "plan", json.dumps(PLAN) + "\n" + json.dumps(heavy), "--lines")
    assert good.status == 0


def test_no_lines_no_answers(capsys):
    outcome = run(capsys, "plan", "", "--lines")
    assert (outcome.status, outcome.out) == (0, "")


def test_steps_are_a_week_apart(capsys):
    steps = run(capsys, "plan", json.dumps(PLAN)).json["steps"]
    first, second = (date.fromisoformat(step["on"]) for step in steps)
    assert (second - first).days == 7
