"""One review per dog and week; a proposal is taken at most once, and only the newest."""

from __future__ import annotations

import uuid
from datetime import date, timedelta

import pytest
from django.utils import timezone

from server.plans.models import Plan, WeeklyReview
from server.plans.reviews import iso_week, keep_review
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db
TODAY = timezone.now().date()


@pytest.fixture
def given():
    cast = people.cast()
    return people.given(Phone(cast.lead), cast.home)


@pytest.fixture
def plan(given):
    return given.active()


def result(action: str, kcal: float | None, **more: object) -> dict:
    decision = {"action": action, "kcal_per_day": kcal, "reason": {"code": "too_slow"}}
    return {"trend": [], "decision": decision, **more}


def proposal(kcal: float, food: str) -> dict:
    ration = [{"food_id": food, "food": "Millstone dry adult", "kcal": kcal, "grams": 120}]
    return {"kcal_per_day": kcal, "ration": ration, "treat_kcal_max": 40}


def keep(given, kcal: float | None = None, action: str = "stay", on: date = TODAY, **more):
    asked = proposal(kcal, given.food) if kcal else None
    review = keep_review(
        uuid.UUID(given.dog), on, result(action, kcal, **more), asked, timezone.now()
    )
    return str(review.pk) if review else None


def row(given, id: str) -> dict:
    return given.phone.rows()[id]["data"]


def test_the_worker_keeps_what_the_science_says(given, plan):
    people.review(given.dog)
    (review,) = [r for r in given.phone.rows().values() if r["type"] == "review"]
    assert review["data"]["plan_id"] == plan
    assert review["data"]["week"] == iso_week(TODAY)
    assert review["data"]["result"]["decision"]["action"] == "weigh_again"
    assert (review["data"]["proposal"], review["data"]["answer"]) == (None, None)


def test_within_a_week_there_is_one_review(given, plan):
    monday = TODAY - timedelta(days=TODAY.weekday())
    ids = {keep(given, on=monday + timedelta(days=day)) for day in (0, 3, 6)}
    assert len(ids) == 1
    assert keep(given, on=monday + timedelta(days=7)) not in ids
    assert WeeklyReview.objects.count() == 2


@pytest.mark.parametrize(
    ("day", "week"),
    [("2026-03-02", "2026-W10"), ("2027-01-03", "2026-W53"), ("2024-12-30", "2025-W01")],
)
def test_weeks_are_those_of_iso_8601(day, week):
    # ISO 8601: a week belongs to the year of its Thursday.
    assert iso_week(date.fromisoformat(day)) == week


def test_nothing_is_told_where_nothing_changed(given, plan):
    review = keep(given, 460, "feed_less")
    before = (given.phone.sees(review), given.phone.sees(plan))
    assert keep(given, 460, "feed_less") == review
    assert (given.phone.sees(review), given.phone.sees(plan)) == before


def test_taking_what_a_review_proposes(given, plan):
    review = keep(given, 460, "feed_less")
    assert people.accept(given.phone, given.dog, plan, review) == ["applied"]
    shown = row(given, plan)
    assert (shown["kcal_per_day"], shown["treat_kcal_max"]) == (460, 40)
    assert shown["ration"][0]["kcal"] == 460
    assert shown["changes"][-1]["review_id"] == review
    assert shown["changes"][-1]["answer"] == "accepted"
    assert row(given, review)["answer"] == "accepted"
    # The second step of the start is overtaken: it must not raise or lower the ration later.
    assert [c["kcal_per_day"] for c in shown["changes"]] == [654, 460]


def test_declining_it_keeps_the_ration(given, plan):
    review = keep(given, 460, "feed_less")
    no = people.answer(
        given.phone, "plan.decline", given.dog, plan, review_id=review, reason="he begs"
    )
    assert given.phone.send(no) == ["applied"]
    shown = row(given, plan)
    assert (shown["state"], shown["kcal_per_day"]) == ("active", 654)
    declined = [c for c in shown["changes"] if c["answer"] == "declined"]
    assert [(c["kcal_per_day"], c["reason"]) for c in declined] == [(460, "he begs")]
    assert row(given, review)["answer"] == "declined"


def test_a_proposal_is_answered_once(given, plan):
    review = keep(given, 460, "feed_less")
    assert people.accept(given.phone, given.dog, plan, review) == ["applied"]
    assert people.accept(given.phone, given.dog, plan, review) == ["gone"]


def test_an_answer_to_an_older_proposal_is_stale(given, plan):
    review = keep(given, 460, "feed_less")
    seen = people.answer(given.phone, "plan.accept", given.dog, plan, review_id=review)
    assert keep(given, 440, "feed_less") == review
    answer = given.phone.one(seen)
    assert answer["code"] == "stale"
    assert row(given, plan)["kcal_per_day"] == 654


def test_an_answer_outlives_a_refresh_that_proposes_the_same_or_nothing(given, plan):
    review = keep(given, 460, "feed_less")
    people.accept(given.phone, given.dog, plan, review)
    keep(given, None, "stay", note="a new weigh-in")
    shown = row(given, review)
    assert (shown["answer"], shown["proposal"]["kcal_per_day"]) == ("accepted", 460)
    assert shown["result"]["note"] == "a new weigh-in"


def test_another_energy_asks_again(given, plan):
    review = keep(given, 460, "feed_less")
    no = people.answer(given.phone, "plan.decline", given.dog, plan, review_id=review)
    assert given.phone.send(no) == ["applied"]
    keep(given, 460, "feed_less", note="again the same")
    assert row(given, review)["answer"] == "declined"
    keep(given, 440, "feed_less")
    shown = row(given, review)
    assert (shown["answer"], shown["proposal"]["kcal_per_day"]) == (None, 440)


def test_only_the_newest_review_is_taken(given, plan):
    old = keep(given, 460, "feed_less", on=TODAY - timedelta(days=7))
    keep(given, None, "stay")
    assert people.accept(given.phone, given.dog, plan, old) == ["gone"]


def test_a_review_of_another_plan_is_not_taken(given, plan):
    review = keep(given, 460, "feed_less")
    second = given.active()
    assert people.accept(given.phone, given.dog, second, review) == ["gone"]
    assert people.accept(given.phone, given.dog, plan, review) == ["gone"]


def test_a_new_plan_takes_the_week_over(given, plan):
    review = keep(given, 460, "feed_less")
    people.accept(given.phone, given.dog, plan, review)
    second = given.active()
    assert keep(given, 500, "feed_more") == review
    shown = row(given, review)
    assert (shown["plan_id"], shown["answer"]) == (second, None)


def test_a_shut_gate_lets_the_plan_rest_and_its_opening_wakes_it(given, plan):
    keep(given, None, "suspended")
    assert row(given, plan)["state"] == "suspended"
    review = keep(given, 460, "feed_less")
    assert row(given, plan)["state"] == "active"
    keep(given, None, "suspended", on=TODAY)
    assert people.accept(given.phone, given.dog, plan, review) == ["gone"]


def test_a_real_gate_suspends_the_plan(given, plan):
    phone, dog = given.phone, given.dog
    edit = phone.op("dog.edit", dog, dog=dog, data={"conditions": ["diabetes"]})
    assert phone.send(edit) == ["applied"]
    people.review(dog)
    assert row(given, plan)["state"] == "suspended"
    word = {"on": TODAY.isoformat(), "by": "Practice at the mill", "until": None}
    word["covers"] = "condition:diabetes"
    assert phone.send(phone.op("vet_word.add", dog=dog, data=word)) == ["applied"]
    people.review(dog)
    assert row(given, plan)["state"] == "active"


def test_a_step_that_was_accepted_needs_no_second_yes(given, plan):
    # On the day of the second step the science may count with it before its job ran.
    review = keep(given, 488, "stay", on=TODAY + timedelta(days=7))
    assert row(given, review)["proposal"] is None


def test_stepping_up_changes_the_kind_of_plan(given, plan):
    review = keep(given, 540, "reached")
    assert people.accept(given.phone, given.dog, plan, review) == ["applied"]
    assert row(given, plan)["kind"] == "step_up"


@pytest.mark.parametrize("end", ["plan.end", "dog.archive"])
def test_a_dog_that_is_left_in_peace_gets_no_review(given, plan, end):
    phone, dog = given.phone, given.dog
    closed = {"closed": {"reason": "died", "on": TODAY.isoformat()}}
    entity, data = (plan, {}) if end == "plan.end" else (dog, closed)
    assert phone.send(phone.op(end, entity, dog=dog, data=data)) == ["applied"]
    assert keep(given, 460, "feed_less") is None
    assert not WeeklyReview.objects.exists()


def test_one_plan_in_force_is_also_the_databases_rule(given, plan):
    from django.db import IntegrityError, transaction

    other = given.proposed()
    with pytest.raises(IntegrityError), transaction.atomic():
        Plan.objects.filter(pk=other).update(state="active")
