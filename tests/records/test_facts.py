"""Facts are added, taken back or corrected by a new row; what was said stays."""

from __future__ import annotations

import pytest

from server.ledger.models import Job
from server.records.models import ConditionCheck, VetWord, WeighIn
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


@pytest.fixture
def dog(mara, cast):
    return people.add_dog(mara, cast.home)


def replace(phone: Phone, dog: str, old: str, **data: object) -> dict:
    return phone.op("weigh_in.replace", dog=dog, data={**people.WEIGHT, "replaces": old, **data})


def test_a_correction_is_a_new_row_and_both_say_so(mara, dog):
    old = people.add_weigh_in(mara, dog, data={"weight_g": 33_100})
    op = replace(mara, dog, old, weight_g=15_000)
    assert mara.send(op) == ["applied"]
    rows = mara.rows()
    assert rows[old]["data"]["replaced_by"] == op["entity_id"]
    assert rows[old]["data"]["weight_g"] == 33_100
    assert rows[op["entity_id"]]["data"]["replaces"] == old
    assert rows[op["entity_id"]]["data"]["replaced_by"] is None


def test_only_one_correction_stands(mara, cast, dog):
    old = people.add_weigh_in(mara, dog)
    assert mara.send(replace(mara, dog, old)) == ["applied"]
    result = mara.one(replace(mara, dog, old, weight_g=14_000))
    assert (result["code"], result["field"]) == ("gone", "replaces")


def test_an_entry_that_was_taken_back_is_not_corrected(mara, dog):
    old = people.add_weigh_in(mara, dog)
    void = mara.op("weigh_in.void", old, dog=dog)
    assert mara.send(void, replace(mara, dog, old)) == ["applied", "gone"]


def test_a_check_is_corrected_in_the_same_way(mara, dog):
    old = people.add_check(mara, dog)
    looks = {"ribs": "pressed", "waist": "slight", "tuck": "level", "replaces": old}
    op = mara.op("check.replace", dog=dog, data=looks)
    assert mara.send(op) == ["applied"]
    rows = mara.rows()
    assert rows[old]["data"]["replaced_by"] == op["entity_id"]
    new = rows[op["entity_id"]]["data"]
    assert (new["ribs"], new["score"], new["muscle"]) == ("pressed", None, "normal")
    assert ConditionCheck.objects.count() == 2


def test_a_weigh_in_does_not_replace_a_check(mara, dog):
    check = people.add_check(mara, dog)
    assert mara.send(replace(mara, dog, check)) == ["not_found"]


@pytest.mark.parametrize("kind", ["weigh_in", "check"])
def test_taking_back_and_giving_again(mara, dog, kind):
    add = {"weigh_in": people.add_weigh_in, "check": people.add_check}[kind]
    entry = add(mara, dog)
    steps = [
        mara.op(f"{kind}.void", entry, dog=dog, data={"reason": "wrong dog"}),
        mara.op(f"{kind}.void", entry, dog=dog, data={"void": False}),
    ]
    assert mara.send(steps[0]) == ["applied"]
    row = mara.rows()[entry]["data"]
    assert (row["voided"], row["void_reason"]) == (True, "wrong dog")
    assert mara.send(steps[1]) == ["applied"]
    row = mara.rows()[entry]["data"]
    assert (row["voided"], row["void_reason"]) == (False, "")


def test_of_two_words_on_one_entry_the_later_stands(mara, dog):
    entry = people.add_weigh_in(mara, dog)
    early = mara.op("weigh_in.void", entry, dog=dog)
    late = mara.op("weigh_in.void", entry, dog=dog, data={"void": False})
    assert mara.send(late) == ["applied"]
    result = mara.one(early)
    assert (result["status"], result["winner"]["voided"]) == ("superseded", False)
    assert WeighIn.objects.get(pk=entry).voided_at is None


def test_a_persons_word_on_a_reading_that_was_set_aside(mara, dog):
    entry = people.add_weigh_in(mara, dog)
    early = mara.op("weigh_in.use", entry, dog=dog, data={"use": False})
    late = mara.op("weigh_in.use", entry, dog=dog, data={"use": True})
    assert mara.rows()[entry]["data"]["use"] is None
    assert mara.send(late, early) == ["applied", "superseded"]
    assert mara.rows()[entry]["data"]["use"] is True


def test_a_vets_word_and_its_end(mara, dog):
    data = {"on": "2026-03-01", "by": "Practice at the mill", "covers": "plan", "until": None}
    op = mara.op("vet_word.add", dog=dog, data=data)
    word = op["entity_id"]
    assert mara.send(op) == ["applied"]
    row = mara.rows()[word]["data"]
    assert {name: row[name] for name in data} == data
    assert row["ended_on"] is None
    assert row["recorded_by"]["name"] == "Mara Lindqvist"
    # Of two ends the earlier stands, in whatever order they arrive.
    for day in ("2026-05-01", "2026-04-01", "2026-06-01"):
        end = mara.op("vet_word.end", word, dog=dog, data={"on": day})
        assert mara.send(end) == ["applied"]
    assert str(VetWord.objects.get(pk=word).ended_on) == "2026-04-01"


def test_facts_ask_for_a_review_only_where_a_plan_is_in_force(mara, cast, dog):
    people.add_weigh_in(mara, dog)
    people.add_check(mara, dog)
    assert not Job.objects.exists()
    given = people.given(mara, cast.home)
    given.active()

    def asked() -> int:
        return Job.objects.get(kind="review", key=given.dog).asked

    entry = given.weigh_in
    for op in (
        mara.op("weigh_in.add", dog=given.dog, data=people.WEIGHT),
        mara.op("check.add", dog=given.dog, data=people.CHECK),
        mara.op("weigh_in.use", entry, dog=given.dog, data={"use": True}),
        replace(mara, given.dog, entry),
        mara.op("check.void", given.check, dog=given.dog),
    ):
        before = asked()
        assert mara.send(op) == ["applied"], op["kind"]
        assert asked() == before + 1, op["kind"]
        assert mara.send(op) == ["duplicate"]
        assert asked() == before + 1, op["kind"]
