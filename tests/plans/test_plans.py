"""Plans are asked for, worked out, and answered; an answer counts only for what was seen."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.utils import timezone

from server.breed_facts import breed_facts
from server.ledger.models import Job
from server.plans.actions import keep_plan_problem, keep_plan_result
from server.plans.answers import take_step
from server.plans.documents import plan_document
from server.plans.models import Plan
from server.science.cases import plan_case
from server.science.plan import make_plan
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db
TODAY = timezone.now().date()


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


@pytest.fixture
def given(mara, cast):
    return people.given(mara, cast.home)


def row(phone: Phone, id: str) -> dict:
    return phone.rows()[id]["data"]


def wish(given: people.Given, **more: object) -> dict:
    data = {
        "weigh_in_id": given.weigh_in,
        "check_id": given.check,
        "intake": None,
        "foods": [{"food_id": given.food, "share": 1}],
        **more,
    }
    return given.phone.one(given.phone.op("plan.request", dog=given.dog, data=data))


# -- asking ----------------------------------------------------------------------------------------


def test_a_wish_waits_for_a_worker(given):
    plan = given.ask_plan()
    shown = row(given.phone, plan)
    assert (shown["state"], shown["result"], shown["problem"]) == ("waiting", None, None)
    assert shown["request"]["weigh_in_id"] == given.weigh_in
    assert (shown["start_kg"], shown["kcal_per_day"]) == (15.2, None)
    assert Job.objects.get(kind="plan").key == plan


def test_what_a_plan_may_be_made_from(given, cast):
    phone, home = given.phone, cast.home
    other = people.given(phone, home)
    carrot = people.add_food(phone, home, name="Carrot, raw", role="extra", kcal_per_kg=410)
    twin = people.add_food(phone, home)
    gone = people.add_food(phone, home, name="Old dry")
    assert phone.send(phone.op("food.retire", gone, data={"retired": True})) == ["applied"]
    half = {"food_id": given.food, "share": 0.5}
    cases = [
        ({"weigh_in_id": other.weigh_in}, "bad_value", "weigh_in_id"),
        ({"check_id": given.weigh_in}, "bad_value", "check_id"),
        ({"foods": [{"food_id": people.new_id(), "share": 1}]}, "bad_value", "foods[0].food_id"),
        ({"foods": [half, {"food_id": twin, "share": 0.5}]}, "bad_value", "foods"),
        ({"foods": [half, {"food_id": carrot, "share": 0.5}]}, "bad_value", "foods[1].share"),
        ({"foods": [{"food_id": gone, "share": 1}]}, "gone", "foods[0]"),
        ({"foods": [half, half]}, "bad_value", "foods"),
    ]
    for more, code, field in cases:
        result = wish(given, **more)
        assert (result.get("code"), result.get("field")) == (code, field), more
    assert not Plan.objects.exists()
    fine = [{"food_id": given.food, "share": 1}, {"food_id": carrot, "share": 0}]
    assert wish(given, foods=fine)["status"] == "applied"


def test_printed_and_computed_energy_are_not_mixed(given, cast):
    label = {
        "protein_pct": 28,
        "fat_pct": 9,
        "fibre_pct": 11,
        "moisture_pct": 9,
        "ash_pct": 7,
        "form": "dry",
    }
    home_made = people.add_food(
        given.phone, cast.home, name="Home-made", kcal_per_kg=None, label=label
    )
    foods = [{"food_id": given.food, "share": 0.5}, {"food_id": home_made, "share": 0.5}]
    result = wish(given, foods=foods)
    assert (result["code"], "never mixed" in result["text"]) == ("bad_value", True)


def test_a_food_of_another_household_is_no_food(given, cast):
    tess = Phone(cast.stranger)
    theirs = people.add_food(tess, cast.elsewhere)
    assert wish(given, foods=[{"food_id": theirs, "share": 1}])["field"] == "foods[0].food_id"


def test_entries_that_no_longer_stand(given):
    phone = given.phone
    phone.send(phone.op("weigh_in.void", given.weigh_in, dog=given.dog))
    assert wish(given)["code"] == "gone"


def test_an_entry_from_after_the_plans_day(given):
    yesterday = (TODAY - timedelta(days=1)).isoformat()
    op = given.phone.op(
        "plan.request",
        dog=given.dog,
        data={"weigh_in_id": given.weigh_in, "check_id": given.check, "foods": []},
        local_date=yesterday,
    )
    result = given.phone.one(op)
    assert (result["code"], result["field"]) == ("bad_value", "weigh_in_id")


def test_a_paused_or_closed_dog_gets_no_plan(given):
    phone, dog = given.phone, given.dog
    pause = {"paused": {"reason": "surgery", "since": TODAY.isoformat()}}
    phone.send(phone.op("dog.pause", dog, dog=dog, data=pause))
    assert wish(given)["code"] == "gone"


# -- the worker's answer ---------------------------------------------------------------------------


def test_a_proposal_names_our_foods(given):
    shown = row(given.phone, given.proposed())
    assert (shown["state"], shown["kind"]) == ("proposed", "reduce")
    # contracts.md prints this very plan: 15.2 kg, score 7, 820 kcal weighed.
    assert shown["result"]["kcal_per_day"] == 488
    assert shown["ration"] == [
        {
            "food_id": given.food,
            "food": "Millstone dry adult",
            "kcal": 439,
            "grams": 122,
            "cups": 1.22,
            "cups_label": "1¼ cups, level",
        }
    ]
    assert (shown["target_kg"], shown["first_goal_kg"]) == (
        {"low": 12.8, "mid": 13.3, "high": 13.9},
        14.1,
    )


def test_a_refusal_says_why(mara, cast):
    puppy = people.given(mara, cast.home, birth_date=(TODAY - timedelta(days=100)).isoformat())
    shown = row(mara, puppy.proposed())
    assert (shown["state"], shown["result"]["refused"]["code"]) == ("refused", "growing")
    assert shown["ration"] == []


def test_an_age_that_nobody_told_is_refused_as_growing(mara, cast):
    dog = people.given(mara, cast.home, birth_date=None, grown=None)
    assert row(mara, dog.proposed())["result"]["refused"]["code"] == "growing"


def test_working_it_out_twice_changes_nothing(given):
    plan = given.proposed()
    before = given.phone.sees(plan)
    people.propose(plan)
    assert given.phone.sees(plan) == before


def test_a_fact_that_changes_has_a_proposal_worked_out_anew(given):
    phone, dog = given.phone, given.dog
    plan = given.proposed()
    seen = people.answer(phone, "plan.accept", dog, plan, review_id=None)
    edit = phone.op("dog.edit", dog, dog=dog, data={"sex": "female", "reproduction": "pregnant"})
    assert phone.send(edit) == ["applied"]
    assert row(phone, plan)["state"] == "waiting"
    assert phone.send(seen) == ["stale"]
    people.propose(plan)
    assert row(phone, plan)["result"]["refused"]["code"] == "pregnant"


def test_an_answer_about_facts_that_have_changed_meanwhile_is_thrown_away(given):
    plan = Plan.objects.select_related("dog").get(pk=given.ask_plan())
    document = plan_document(plan)
    result = make_plan(plan_case(document, breed_facts)).as_json()
    phone, dog = given.phone, given.dog
    edit = phone.op("dog.edit", dog, dog=dog, data={"sex": "female", "reproduction": "pregnant"})
    assert phone.send(edit) == ["applied"]
    asked = Job.objects.get(kind="plan").asked
    keep_plan_result(plan.pk, result, timezone.now(), document=document)
    assert row(phone, str(plan.pk))["state"] == "waiting"
    assert Job.objects.get(kind="plan").asked == asked + 1
    people.propose(str(plan.pk))
    assert row(phone, str(plan.pk))["result"]["refused"]["code"] == "pregnant"


def test_a_problem_is_told_and_forgotten_once_it_is_mended(given):
    plan = given.ask_plan()
    keep_plan_problem(Plan.objects.get(pk=plan).pk, "dog.coat must be given", timezone.now())
    shown = row(given.phone, plan)
    assert (shown["state"], shown["problem"]) == ("waiting", "dog.coat must be given")
    asked = Job.objects.get(kind="plan").asked
    phone, dog = given.phone, given.dog
    assert phone.send(phone.op("dog.edit", dog, dog=dog, data={"coat": "long"})) == ["applied"]
    assert Job.objects.get(kind="plan").asked == asked + 1
    people.propose(plan)
    shown = row(given.phone, plan)
    assert (shown["state"], shown["problem"]) == ("proposed", None)


@pytest.mark.parametrize("kind", ["weigh_in", "check"])
def test_a_proposal_ends_with_the_entry_it_was_made_from(given, kind):
    plan = given.proposed()
    entry = {"weigh_in": given.weigh_in, "check": given.check}[kind]
    phone = given.phone
    assert phone.send(phone.op(f"{kind}.void", entry, dog=given.dog)) == ["applied"]
    shown = row(phone, plan)
    assert shown["state"] == "ended"
    assert "taken back" in shown["problem"]


# -- answering -------------------------------------------------------------------------------------


def test_a_start_in_two_steps(given):
    plan = given.active()
    shown = row(given.phone, plan)
    assert (shown["state"], shown["accepted_on"]) == ("active", TODAY.isoformat())
    later = TODAY + timedelta(days=7)
    assert [(c["on"], c["kcal_per_day"], c["answer"]) for c in shown["changes"]] == [
        (TODAY.isoformat(), 654, "accepted"),
        (later.isoformat(), 488, "accepted"),
    ]
    assert (shown["kcal_per_day"], sum(r["kcal"] for r in shown["ration"])) == (654, 654 - 65)
    step = Job.objects.get(kind="step")
    assert (step.key, step.due_at) == (plan, datetime.combine(later, time(), UTC))


def test_the_second_step_is_fed_on_its_day_and_only_then(given):
    plan = given.active()
    stored = Plan.objects.get(pk=plan)
    for days, kcal in ((0, 654), (6, 654), (7, 488), (7, 488)):
        take_step(stored.pk, datetime.combine(TODAY + timedelta(days=days), time(), UTC))
        shown = row(given.phone, plan)
        assert shown["kcal_per_day"] == kcal
    assert sum(r["kcal"] for r in shown["ration"]) + shown["treat_kcal_max"] == 488


def test_a_step_of_a_plan_that_is_over_is_not_fed(given):
    plan = given.active()
    assert given.phone.send(given.phone.op("plan.end", plan, dog=given.dog)) == ["applied"]
    take_step(Plan.objects.get(pk=plan).pk, timezone.now() + timedelta(days=8))
    assert row(given.phone, plan)["kcal_per_day"] == 654


def test_the_steps_start_on_the_day_of_the_yes(given):
    plan = given.proposed()
    late = TODAY + timedelta(days=1)
    op = people.answer(given.phone, "plan.accept", given.dog, plan, review_id=None)
    assert given.phone.send({**op, "local_date": late.isoformat()}) == ["applied"]
    shown = row(given.phone, plan)
    assert shown["accepted_on"] == late.isoformat()
    assert [c["on"] for c in shown["changes"]] == [
        late.isoformat(),
        (late + timedelta(days=7)).isoformat(),
    ]


@pytest.mark.parametrize("said", [date(2000, 1, 1), date(2090, 1, 1)])
def test_a_phone_whose_calendar_is_off_starts_no_plan_in_another_century(given, said):
    plan = given.proposed()
    op = people.answer(given.phone, "plan.accept", given.dog, plan, review_id=None)
    assert given.phone.send({**op, "local_date": said.isoformat()}) == ["applied"]
    on = date.fromisoformat(row(given.phone, plan)["accepted_on"])
    assert TODAY <= on <= TODAY + timedelta(days=1)


def test_an_answer_to_what_has_changed_since_is_stale(given):
    plan = given.proposed()
    op = people.answer(given.phone, "plan.accept", given.dog, plan, review_id=None)
    op["base"] = {"state": op["base"]["state"] - 1}
    result = given.phone.one(op)
    assert (result["code"], result["winner"]["state"]) == ("stale", "proposed")
    assert result["winner"]["version"] == given.phone.sees(plan)
    assert row(given.phone, plan)["state"] == "proposed"


def test_an_answer_says_what_it_saw(given):
    plan = given.proposed()
    op = people.answer(given.phone, "plan.accept", given.dog, plan, review_id=None)
    result = given.phone.one({**op, "base": {}})
    assert (result["code"], result["field"]) == ("bad_op", "base.state")


def test_two_leads_say_yes_at_once(given, cast):
    plan = given.proposed()
    tablet = Phone(cast.lead)
    ops = [
        people.answer(phone, "plan.accept", given.dog, plan, review_id=None)
        for phone in (given.phone, tablet)
    ]
    assert given.phone.send(ops[0]) == ["applied"]
    result = tablet.one(ops[1])
    assert (result["code"], result["winner"]["state"]) == ("stale", "active")
    assert Plan.objects.get(pk=plan).changes.count() == 2


def test_a_waiting_plan_is_not_accepted(given):
    plan = given.ask_plan()
    assert people.accept(given.phone, given.dog, plan) == ["stale"]


def test_a_plan_is_declined_with_its_reason_and_that_is_that(given):
    plan = given.proposed()
    phone = given.phone
    no = people.answer(phone, "plan.decline", given.dog, plan, review_id=None, reason="not now")
    assert phone.send(no) == ["applied"]
    assert row(phone, plan)["state"] == "declined"
    assert people.accept(phone, given.dog, plan) == ["gone"]


def test_one_plan_at_a_time(given):
    first = given.active()
    waiting, second = given.ask_plan(), given.proposed()
    assert row(given.phone, first)["state"] == "active"
    assert people.accept(given.phone, given.dog, second) == ["applied"]
    states = {id: row(given.phone, id)["state"] for id in (first, waiting, second)}
    assert states == {first: "ended", waiting: "ended", second: "active"}


def test_a_plan_that_is_over_cannot_end_again(given):
    plan = given.active()
    end = [given.phone.op("plan.end", plan, dog=given.dog) for _ in range(2)]
    assert given.phone.send(*end) == ["applied", "gone"]


def test_an_answer_asks_for_a_review(given):
    given.active()
    assert Job.objects.get(kind="review").key == given.dog
