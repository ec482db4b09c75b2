"""Dogs: facts that go together, rests and closings."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from server.ledger.models import Job
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
def dog(mara, cast):
    return people.add_dog(mara, cast.home)


def edit(phone: Phone, dog: str, **fields: object) -> dict:
    return phone.one(phone.op("dog.edit", dog, dog=dog, data=fields))


def close(phone: Phone, dog: str, on: str) -> list[str]:
    closed = {"reason": "rehomed", "on": on}
    return phone.send(phone.op("dog.archive", dog, dog=dog, data={"closed": closed}))


def reopen(phone: Phone, dog: str) -> list[str]:
    return phone.send(phone.op("dog.archive", dog, dog=dog, data={"closed": None}))


def test_a_dog_as_phones_see_it(mara, dog, cast):
    row = mara.rows()[dog]["data"]
    assert {name: row[name] for name in people.OTTO} == people.OTTO
    assert row["household_id"] == str(cast.home.pk)
    assert (row["carer_may_accept"], row["paused"], row["closed"]) == (False, None, None)


@pytest.mark.parametrize("grown", [True, False, "unknown", None])
def test_a_dog_without_a_birth_date(mara, cast, grown):
    dog = people.add_dog(mara, cast.home, birth_date=None, grown=grown)
    assert mara.rows()[dog]["data"]["grown"] is grown or grown == "unknown"


@pytest.mark.parametrize(
    ("days", "fine"), [(0, True), (1, True), (2, False), (-40 * 365, True), (-40 * 365 - 1, False)]
)
def test_a_birth_date_that_can_be(mara, dog, days, fine):
    result = edit(mara, dog, birth_date=(TODAY + timedelta(days=days)).isoformat())
    assert (result["status"] == "applied") == fine
    if not fine:
        assert result["field"] == "birth_date"
        assert f"to {TODAY + timedelta(days=1)}" in result["text"]


def test_a_male_dog_is_not_pregnant(mara, cast, dog):
    result = edit(mara, dog, reproduction="pregnant")
    assert (result["code"], result["field"]) == ("bad_value", "reproduction")
    assert edit(mara, dog, sex="female", reproduction="nursing")["status"] == "applied"
    assert edit(mara, dog, sex="male")["field"] == "reproduction"


def test_a_closed_record_takes_nothing_new_but_its_reopening(mara, dog):
    yesterday = (TODAY - timedelta(days=1)).isoformat()
    entry = people.add_weigh_in(mara, dog)
    assert close(mara, dog, yesterday) == ["applied"]
    word = {"on": yesterday, "by": "Practice at the mill", "covers": "plan", "until": None}
    pause = {"paused": {"reason": "heat", "since": yesterday}}
    for op in (
        mara.op("weigh_in.add", dog=dog, data=people.WEIGHT),
        mara.op("check.add", dog=dog, data=people.CHECK),
        mara.op("weigh_in.replace", dog=dog, data={**people.WEIGHT, "replaces": entry}),
        mara.op("dog.edit", dog, dog=dog, data={"name": "Pim"}),
        mara.op("dog.pause", dog, dog=dog, data=pause),
        mara.op("vet_word.add", dog=dog, data=word),
    ):
        result = mara.one(op)
        assert result.get("code") == "gone", op["kind"]
        assert "Otto's record is closed" in result["text"]
    assert reopen(mara, dog) == ["applied"]
    people.add_weigh_in(mara, dog)


def test_a_record_is_not_closed_for_a_day_to_come(mara, dog):
    closed = {"reason": "rehomed", "on": (TODAY + timedelta(days=2)).isoformat()}
    result = mara.one(mara.op("dog.archive", dog, dog=dog, data={"closed": closed}))
    assert (result["code"], result["field"]) == ("bad_value", "closed.on")


def test_what_was_seen_before_the_closing_still_arrives(mara, cast, dog):
    jonas = Phone(cast.carer)
    two_days_ago = timezone.now() - timedelta(days=2)
    late = jonas.op("weigh_in.add", dog=dog, data=people.WEIGHT) | people.seen_at(two_days_ago)
    check = jonas.op("check.add", dog=dog, data=people.CHECK) | people.seen_at(two_days_ago)
    assert close(mara, dog, two_days_ago.date().isoformat()) == ["applied"]
    assert jonas.send(late, check) == ["applied", "applied"]


def test_a_mistake_can_be_taken_back_after_the_closing(mara, dog):
    entry = people.add_weigh_in(mara, dog)
    close(mara, dog, TODAY.isoformat())
    assert mara.send(mara.op("weigh_in.void", entry, dog=dog)) == ["applied"]


def test_closing_or_pausing_lets_the_plan_rest_and_the_end_of_it_asks_for_a_review(mara, cast):
    given = people.given(mara, cast.home)
    plan = given.active()
    pause = {"reason": "boarding", "since": TODAY.isoformat(), "note": ""}
    stop = mara.op("dog.pause", given.dog, dog=given.dog, data={"paused": pause})
    assert mara.send(stop) == ["applied"]
    assert mara.rows()[plan]["data"]["state"] == "suspended"
    assert mara.rows()[given.dog]["data"]["paused"] == pause
    people.review(given.dog)
    assert mara.rows()[plan]["data"]["state"] == "suspended"  # a paused dog is left in peace
    asked = Job.objects.get(kind="review").asked
    go_on = mara.op("dog.pause", given.dog, dog=given.dog, data={"paused": None})
    assert mara.send(go_on) == ["applied"]
    assert Job.objects.get(kind="review").asked == asked + 1
    people.review(given.dog)
    assert mara.rows()[plan]["data"]["state"] == "active"


@pytest.mark.parametrize(
    ("fields", "asks"),
    [
        ({"reproduction": "none"}, True),
        ({"conditions": ["diabetes"]}, True),
        ({"birth_date": "2020-01-01"}, True),
        ({"lean_weight_g": 12_000}, True),
        ({"name": "Ottoline"}, False),
        ({"carer_may_accept": True}, False),
    ],
)
def test_which_facts_ask_for_a_review(mara, cast, fields, asks):
    given = people.given(mara, cast.home)
    given.active()
    before = Job.objects.get(kind="review").asked
    assert edit(mara, given.dog, **fields)["status"] == "applied"
    assert Job.objects.get(kind="review").asked == before + asks
