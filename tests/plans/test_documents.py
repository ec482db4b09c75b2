"""What the science is asked: facts that stand, exact weights, nothing from after the day."""

from __future__ import annotations

import uuid
from datetime import date, timedelta

import pytest
from django.utils import timezone

from server.breed_facts import breed_facts
from server.errors import BadInput
from server.households.models import Dog
from server.plans.documents import plan_document, review_document
from server.plans.models import Plan
from server.science.cases import plan_case, review_case
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db
NOW = timezone.now()
TODAY = NOW.date()


@pytest.fixture
def given():
    cast = people.cast()
    return people.given(Phone(cast.lead), cast.home)


def review_of(given, on: date = TODAY) -> dict:
    return review_document(Dog.objects.get(pk=given.dog), on)


def seen(days: int) -> dict:
    return people.seen_at(NOW + timedelta(days=days))


def test_the_plan_document(given):
    plan = given.ask_plan(treat_kcal=0)
    document = plan_document(Plan.objects.get(pk=plan))
    assert document == {
        "as_of": TODAY.isoformat(),
        "dog": {
            "name": "Otto",
            "sex": "male",
            "neutered": True,
            "birth_date": "2019-06-10",
            "grown": None,
            "breed": None,
            "frame": "medium",
            "coat": "short",
            "reproduction": "none",
            "conditions": [],
            "lean_weight_kg": None,
            "adult_weight_kg": None,
        },
        "weight_kg": 15.2,
        "condition": {"on": TODAY.isoformat(), "score": 7, "muscle": "normal"},
        "intake": {"kcal_per_day": 820, "weighed": True, "weight_steady": True},
        "foods": [
            {
                "name": "Millstone dry adult",
                "role": "meal",
                "share": 1,
                "kcal_per_kg": 3600,
                "label": None,
                "grams_per_cup": 100,
                "purpose": "maintenance",
            }
        ],
        "treats": 0,
        "vet_word": [],
        "cup_ml": 236.6,
    }
    plan_case(document, breed_facts)


def test_a_dog_with_everything_told_is_read_by_the_science(
    given,
):
    phone, dog = given.phone, given.dog
    data = {
        "sex": "female",
        "birth_date": None,
        "grown": True,
        "breed": "Beagle",
        "conditions": ["diabetes", "vomiting"],
        "lean_weight_g": 11_999,
        "adult_weight_g": 14_001,
    }
    assert phone.send(phone.op("dog.edit", dog, dog=dog, data=data)) == ["applied"]
    document = plan_document(Plan.objects.get(pk=given.ask_plan()))
    assert (document["dog"]["lean_weight_kg"], document["dog"]["adult_weight_kg"]) == (
        11.999,
        14.001,
    )
    assert plan_case(document, breed_facts).dog.grown == "yes"


def test_a_review_needs_a_plan_in_force(given):
    with pytest.raises(BadInput, match="must be in force"):
        review_of(given)


def test_the_review_document(given):
    given.active()
    document = review_of(given)
    assert document["plan"] == {
        "kind": "reduce",
        "started_on": TODAY.isoformat(),
        "start_kg": 15.2,
        "target_kg": {"low": 12.8, "mid": 13.3, "high": 13.9},
        "first_goal_kg": 14.1,
        "kcal_per_day": 654,
        "changes": [],
    }
    assert document["weigh_ins"] == [{"on": TODAY.isoformat(), "kg": 15.2, "scale": "bathroom"}]
    assert document["feedings"] == []
    review_case(document, breed_facts)
    later = review_of(given, TODAY + timedelta(days=7))
    assert later["plan"]["changes"] == [
        {
            "on": (TODAY + timedelta(days=7)).isoformat(),
            "kcal_per_day": 488,
            "answer": "accepted",
        }
    ]
    review_case(later, breed_facts)


def test_only_what_stands_is_asked_about(given):
    given.active()
    phone, dog = given.phone, given.dog
    fine = people.add_weigh_in(phone, dog, data={"weight_g": 15_001}, **seen(-1))
    voided = people.add_weigh_in(phone, dog, **seen(-2))
    wrong = people.add_weigh_in(phone, dog, data={"weight_g": 33_100}, **seen(-3))
    unused = people.add_weigh_in(phone, dog, data={"weight_g": 9_000}, **seen(-4))
    vouched = people.add_weigh_in(phone, dog, data={"weight_g": 16_400}, **seen(-5))
    people.add_weigh_in(phone, dog, **seen(1))
    right = {**people.WEIGHT, "weight_g": 15_014, "replaces": wrong}
    assert (
        phone.send(
            phone.op("weigh_in.void", voided, dog=dog),
            phone.op("weigh_in.replace", dog=dog, data=right) | seen(-3),
            phone.op("weigh_in.use", unused, dog=dog, data={"use": False}),
            phone.op("weigh_in.use", vouched, dog=dog, data={"use": True}),
        )
        == ["applied"] * 4
    )
    assert fine
    assert [(item["kg"], item.get("use")) for item in review_of(given)["weigh_ins"]] == [
        (16.4, True),
        (15.014, None),
        (15.001, None),
        (15.2, None),
    ]


def test_the_latest_check_that_stands(given):
    given.active()
    phone, dog = given.phone, given.dog
    people.add_check(phone, dog, data={"score": 6}, **seen(-1))
    assert review_of(given)["condition"]["score"] == 7
    looks = {"ribs": "pressed", "waist": "straight", "tuck": "level", "muscle": "mild"}
    op = phone.op("check.add", dog=dog, data=looks)
    assert phone.send(op) == ["applied"]
    assert review_of(given)["condition"] == {"on": TODAY.isoformat(), **looks}
    for check in (op["entity_id"], given.check):
        assert phone.send(phone.op("check.void", check, dog=dog)) == ["applied"]
    assert review_of(given)["condition"]["score"] == 6


@pytest.mark.parametrize(
    ("on", "until", "ended", "told"),
    [
        (0, None, None, [(0, None)]),
        (-9, 5, None, [(-9, 5)]),
        (-9, -3, None, [(-9, -3)]),  # it ran out: the review says so
        (-9, 5, -2, [(-9, -3)]),
        (-9, None, 4, [(-9, 3)]),
        (-9, None, -9, []),  # it never held
        (1, None, None, []),
    ],
)
def test_a_vets_word_holds_until_its_end(given, on, until, ended, told):
    given.active()

    def day(shift: int | None) -> str | None:
        return None if shift is None else (TODAY + timedelta(days=shift)).isoformat()

    phone, dog = given.phone, given.dog
    data = {"on": day(on), "by": "Practice", "covers": "plan", "until": day(until)}
    op = phone.op("vet_word.add", dog=dog, data=data)
    assert phone.send(op) == ["applied"]
    if ended is not None:
        end = phone.op("vet_word.end", op["entity_id"], dog=dog, data={"on": day(ended)})
        assert phone.send(end) == ["applied"]
    words = review_of(given)["vet_word"]
    assert [(word["on"], word["until"]) for word in words] == [(day(a), day(b)) for a, b in told]
    review_case(review_of(given), breed_facts)


def test_documents_take_a_fixed_number_of_queries(given, django_assert_max_num_queries):
    given.active()
    for _ in range(10):
        people.add_weigh_in(given.phone, given.dog)
    dog = Dog.objects.get(pk=uuid.UUID(given.dog))
    with django_assert_max_num_queries(6):
        review_document(dog, TODAY)
