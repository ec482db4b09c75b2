"""`tuckline review`, from outside."""

from __future__ import annotations

import json

from tests.cli.documents import REVIEW, changed, run

ACTIONS = {
    "stay", "feed_less", "feed_more", "step_up", "reached", "regaining", "weigh_again",
    "log_food", "see_vet", "suspended",
}  # fmt: skip


def test_the_shape_of_the_contract(capsys):
    outcome = run(capsys, "review", json.dumps(REVIEW))
    assert (outcome.status, outcome.err) == (0, "")
    answer = outcome.json
    # One point per day weighed; the reading in pounds is set aside in words.
    assert [point["on"] for point in answer["trend"]] == [
        weigh_in["on"] for weigh_in in REVIEW["weigh_ins"] if weigh_in["kg"] < 30
    ]
    for point in answer["trend"]:
        assert point["low"] < point["kg"] < point["high"]
    assert [(item["on"], item["kg"], item["reason"]) for item in answer["set_aside"]] == [
        ("2026-04-01", 32.4, "looks like pounds")
    ]
    rate = answer["rate_pct_per_week"]
    assert rate["low"] < rate["mid"] < rate["high"] < 0
    need = answer["need_kcal"]
    assert need["low"] < need["mid"] < need["high"]
    for key in ("first_goal_on", "target_on"):
        assert answer[key]["early"] <= answer[key]["mid"] <= answer[key]["late"]
    decision = answer["decision"]
    assert decision["action"] in ACTIONS
    assert (decision["action"], decision["kcal_per_day"]) == ("stay", 488)
    assert decision["reason"].startswith("On course: -1")
    assert isinstance(answer["cautions"], list)


def test_no_condition_no_weigh_ins(capsys):
    empty = changed(changed(REVIEW, "weigh_ins", []), "condition", None)
    answer = run(capsys, "review", json.dumps(empty)).json
    assert answer["decision"]["action"] == "weigh_again"
    assert answer["need_kcal"] is answer["rate_pct_per_week"] is None
    assert {caution["code"] for caution in answer["cautions"]} == {"score_missing"}


def test_a_gate_suspends_and_says_which(capsys):
    sick = changed(REVIEW, "dog.conditions", ["vomiting"])
    decision = run(capsys, "review", json.dumps(sick)).json["decision"]
    assert (decision["action"], decision["kcal_per_day"]) == ("suspended", None)
    assert "vomiting" in decision["reason"]


def test_the_same_input_gives_the_same_bytes_in_one_document_and_in_lines(capsys):
    text = json.dumps(REVIEW)
    first = run(capsys, "review", text)
    lines = run(capsys, "review", f"{text}\n{text}\n", "--lines")
    assert lines.status == 0
    assert lines.out == first.out * 2
