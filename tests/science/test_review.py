"""Whole reviews of simulated dogs."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest

from server.science.condition import Score
from server.science.review import review_week
from server.science.review_case import Change, ReviewCase, WeighIn
from server.science.vet_words import VetWord
from tests.science.simulated import START, life

LB = 1 / 0.45359237


def action(case: ReviewCase) -> str:
    return review_week(case).decision.action


def actions(**dogs: float) -> Counter[str]:
    return Counter(action(life(seed=seed, **dogs).case) for seed in range(40))  # type: ignore[arg-type]


def test_dogs_on_course_are_left_alone():
    # 1% a week for five weeks: nine in ten stay; with 1% noise a few look too slow or too fast.
    assert actions(rate=-1.0, weeks=5)["stay"] >= 36


def test_dogs_that_do_not_lose_are_fed_less():
    assert actions(rate=0.0, weeks=8)["feed_less"] >= 32


def test_dogs_without_a_food_log_are_asked_for_one_first():
    told = actions(rate=0.0, weeks=8, logged=0.4)
    assert told["feed_less"] == 0
    assert told["log_food"] >= 32


def test_no_ration_changes_before_four_weigh_ins_over_three_weeks():
    for weeks in (1, 2):
        told = actions(rate=0.5, weeks=weeks)
        assert set(told) == {"weigh_again"}


def test_dogs_that_lose_far_too_fast_are_protected_within_three_weeks():
    # 5% a week: by the third weekly reading nearly all are seen (two readings, 2% SD a week).
    told = actions(rate=-5.0, weeks=2)
    assert told["see_vet"] + told["weigh_again"] == 40
    assert (
        sum(
            review_week(life(seed=seed, rate=-5.0, weeks=2).case).decision.reason.code.startswith(
                "fast_loss"
            )
            for seed in range(40)
        )
        >= 38
    )


def test_ordinary_dogs_are_seldom_called_too_fast():
    # 1.5% a week: a false alarm needs a chance of one in ten at most.
    told = [
        review_week(life(seed=seed, rate=-1.5, weeks=4, start_kg=18).case).decision
        for seed in range(40)
    ]
    assert sum(decision.reason.code.startswith("fast_loss") for decision in told) <= 4


def test_a_confirmed_fast_loss_returns_to_the_ration_before():
    day = START + timedelta(days=14)
    dog = life(seed=1, rate=-4.0, weeks=5, changes=(Change(day, 450, "accepted"),))
    decision = review_week(dog.case).decision
    assert (decision.action, decision.kcal_per_day) == ("feed_more", 488)


def test_a_pound_reading_is_set_aside_and_changes_nothing():
    case = life(seed=2).case
    slip = replace(case.weigh_ins[4], kg=round(case.weigh_ins[4].kg * LB, 1))
    slipped = replace(case, weigh_ins=(*case.weigh_ins[:4], slip, *case.weigh_ins[5:]))
    without = replace(case, weigh_ins=(*case.weigh_ins[:4], *case.weigh_ins[5:]))
    result, expected = review_week(slipped), review_week(without)
    assert [(item.weigh_in, item.reason) for item in result.set_aside] == [
        (slip, "looks_like_pounds")
    ]
    assert result.trend == expected.trend
    assert result.decision == expected.decision


def test_a_sudden_fall_is_weighed_again_and_then_believed():
    case = life(seed=2).case
    fall = WeighIn(case.as_of + timedelta(days=1), 12.2, "home")
    next_day = replace(case, as_of=fall.on, weigh_ins=(*case.weigh_ins, fall))
    first = review_week(next_day)
    assert (first.decision.action, first.decision.reason.code) == ("weigh_again", "sudden_fall")
    again = WeighIn(fall.on + timedelta(days=1), 12.3, "home")
    confirmed = replace(next_day, as_of=again.on, weigh_ins=(*next_day.weigh_ins, again))
    second = review_week(confirmed)
    assert second.set_aside == ()
    assert second.trend.days[-1].kg < 13.3


def test_the_target_is_reached():
    result = review_week(life(seed=6, rate=-1.2, weeks=13).case)
    assert result.decision.action == "reached"
    assert result.decision.kcal_per_day == 537
    assert result.target_on is not None
    assert result.target_on.early == result.target_on.late


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"reproduction": "pregnant"}, "pregnant"),
        ({"conditions": ("refusing_food_over_a_day",)}, "vet_first"),
        ({"birth_date": START - timedelta(days=100)}, "growing"),
    ],
)
def test_every_gate_suspends_the_plan_that_day(changes, code: str):
    case = life(seed=2).case
    decision = review_week(replace(case, dog=replace(case.dog, **changes))).decision
    assert (decision.action, decision.kcal_per_day) == ("suspended", None)
    assert decision.reason.code == code


def test_a_target_below_seventy_percent_of_today_needs_its_word():
    case = life(seed=2, weeks=4, target=(9.7, 10.0, 10.3)).case
    assert review_week(case).decision.reason.code == "vet_first"
    word = VetWord(START, "Dr Amadi", "target_below_70pct")
    assert action(replace(case, vet_words=(word,))) == "stay"
    holding = replace(case, plan=replace(case.plan, kind="hold"))
    assert action(holding) != "suspended"


def test_lost_muscle_and_the_latest_score_suspend_too():
    case = life(seed=2).case
    assert review_week(replace(case, muscle="mild")).decision.reason.code == "vet_first"
    assert review_week(replace(case, condition=Score(3))).decision.reason.code == "underweight"
    assert review_week(replace(case, condition=Score(9))).decision.reason.code == "vet_first"


def test_a_vets_word_carries_the_plan_until_it_ends_and_is_then_asked_for():
    case = replace(life(seed=2).case, condition=Score(9))
    word = VetWord(START, "Dr Amadi", "plan", case.as_of)
    allowed = replace(case, vet_words=(word,))
    assert action(allowed) == "stay"
    later = review_week(replace(allowed, as_of=case.as_of + timedelta(days=1)))
    assert later.decision.action == "suspended"
    assert "vet_word_ended" in [caution.code for caution in later.cautions]


def test_the_floor_word_that_ends_raises_the_ration():
    case = life(seed=2, kcal=350).case
    word = VetWord(START, "Dr Amadi", "floor_0_7", case.as_of)
    assert action(replace(case, vet_words=(word,))) == "stay"
    after = replace(case, vet_words=(word,), as_of=case.as_of + timedelta(days=1))
    decision = review_week(after).decision
    assert (decision.action, decision.kcal_per_day) == ("feed_more", 390)


def test_a_right_weight_by_hand_ends_the_reduction():
    case = replace(life(seed=2, weeks=4).case, condition=Score(5))
    assert action(case) == "reached"


def test_the_first_goal_asks_for_a_new_score_until_there_is_one():
    case = life(seed=6, rate=-1.2, weeks=8).case
    codes = [caution.code for caution in review_week(case).cautions]
    assert "score_again" in codes
    scored = replace(case, condition_on=case.as_of)
    assert "score_again" not in [caution.code for caution in review_week(scored).cautions]


def test_an_empty_diary_asks_for_a_weigh_in():
    case = replace(life(seed=2).case, weigh_ins=(), feedings=(), condition=None)
    result = review_week(case).as_json()
    assert result["trend"] == []
    nulls = ("rate_pct_per_week", "need_kcal", "first_goal_on", "target_on")
    assert [result[key] for key in nulls] == [None] * 4
    assert result["decision"]["action"] == "weigh_again"
    assert "score_missing" in [caution["code"] for caution in result["cautions"]]


def test_the_answer_is_the_same_to_the_last_digit():
    case = life(seed=9, every=3).case
    first, second = (json.dumps(review_week(case).as_json()) for _ in range(2))
    assert first == second


def test_step_up_and_regain():
    lost = {"start_kg": 13.2, "kind": "step_up", "kcal": 537, "weeks": 8}
    assert action(life(seed=1, rate=-0.8, **lost).case) == "step_up"
    assert action(life(seed=1, rate=0.0, **lost).case) == "stay"
    regained = life(seed=1, rate=1.0, **lost)
    assert action(regained.case) == "regaining"
    assert review_week(regained.case).target_on is None
