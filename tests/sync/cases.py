"""One well-formed operation of every kind, each with whatever it needs to be applied."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import datetime
from typing import Any

from server.households.models import Household, Person
from tests import people
from tests.people import Cast, Given, Phone

Op = dict[str, Any]


class Paper(Phone):
    """A phone that sends nothing: for operations that are only looked at."""

    def send(self, *ops: Op, now: datetime | None = None) -> list[str]:
        return ["applied"] * len(ops)

    def sees(self, id: str) -> int:
        return 1


class OnPaper(Given):
    """A dog that is in no database."""

    def proposed(self) -> str:
        return self.ask_plan()


def on_paper() -> Cases:
    """Makes operations that are well formed and about nothing."""
    person = Person(name="Mara Lindqvist")
    cast = Cast()
    cast.home = Household(id=uuid.UUID(people.new_id()))
    cases = Cases(cast, lead=Paper(person))
    cases.given = OnPaper(**vars(cases.given))
    return cases


class Cases:
    """Makes operations for a home. What they need is made first, by its lead.

    Each call makes things of its own, so that every operation may be the first of its kind.
    """

    def __init__(self, cast: Cast, *, lead: Phone | None = None) -> None:
        self.cast = cast
        self.lead = lead or Phone(cast.lead)
        self.home = str(cast.home.pk)
        self.given: Given = people.given(self.lead, cast.home, sex="female")
        self.dog = self.given.dog

    def op(self, kind: str, phone: Phone) -> Op:
        """An operation of this kind, made on this phone."""
        make: Callable[[Phone], Op] = getattr(self, kind.replace(".", "_"))
        return make(phone)

    def dog_add(self, phone: Phone) -> Op:
        dog = people.new_id()
        data = {"household_id": self.home, **people.OTTO}
        return phone.op("dog.add", dog, dog=dog, data=data)

    def dog_edit(self, phone: Phone) -> Op:
        data = {
            "name": "Otto the Second",
            "sex": "female",
            "neutered": False,
            "birth_date": "2018-04-01",
            "grown": None,
            "breed": "Beagle",
            "frame": "large",
            "coat": "long",
            "reproduction": "none",
            "conditions": ["diabetes"],
            "lean_weight_g": 12_000,
            "adult_weight_g": 13_000,
            "carer_may_accept": False,
        }
        return phone.op("dog.edit", self.dog, dog=self.dog, data=data)

    def dog_pause(self, phone: Phone) -> Op:
        paused = {"reason": "boarding", "since": "2026-03-01", "note": "a week at the sea"}
        dog = people.add_dog(self.lead, self.cast.home)
        return phone.op("dog.pause", dog, dog=dog, data={"paused": paused})

    def dog_archive(self, phone: Phone) -> Op:
        closed = {"reason": "rehomed", "on": "2026-03-01", "note": "to Ira's sister"}
        dog = people.add_dog(self.lead, self.cast.home)
        return phone.op("dog.archive", dog, dog=dog, data={"closed": closed})

    def weigh_in_add(self, phone: Phone) -> Op:
        data = {**people.WEIGHT, "note": "after a walk", "method": "held"}
        return phone.op("weigh_in.add", dog=self.dog, data=data)

    def weigh_in_replace(self, phone: Phone) -> Op:
        old = people.add_weigh_in(self.lead, self.dog)
        data = {**people.WEIGHT, "weight_g": 14_900, "replaces": old, "note": "", "method": "held"}
        return phone.op("weigh_in.replace", dog=self.dog, data=data)

    def weigh_in_void(self, phone: Phone) -> Op:
        old = people.add_weigh_in(self.lead, self.dog)
        return phone.op(
            "weigh_in.void", old, dog=self.dog, data={"void": True, "reason": "wrong dog"}
        )

    def weigh_in_use(self, phone: Phone) -> Op:
        old = people.add_weigh_in(self.lead, self.dog)
        return phone.op("weigh_in.use", old, dog=self.dog, data={"use": True})

    def check_add(self, phone: Phone) -> Op:
        looks = {"ribs": "pressed", "waist": "straight", "tuck": "level"}
        data = {**looks, "muscle": "normal", "note": "wriggled"}
        return phone.op("check.add", dog=self.dog, data=data)

    def check_replace(self, phone: Phone) -> Op:
        old = people.add_check(self.lead, self.dog)
        data = {"score": 6, "muscle": "mild", "note": "", "replaces": old}
        return phone.op("check.replace", dog=self.dog, data=data)

    def check_void(self, phone: Phone) -> Op:
        old = people.add_check(self.lead, self.dog)
        return phone.op("check.void", old, dog=self.dog, data={"void": True, "reason": ""})

    def food_add(self, phone: Phone) -> Op:
        return phone.op("food.add", data=self._food())

    def food_version(self, phone: Phone) -> Op:
        old = people.add_food(self.lead, self.cast.home)
        return phone.op("food.version", data={**self._food(), "replaces": old})

    def food_retire(self, phone: Phone) -> Op:
        old = people.add_food(self.lead, self.cast.home)
        return phone.op("food.retire", old, data={"retired": True})

    def plan_request(self, phone: Phone) -> Op:
        data = {
            "weigh_in_id": self.given.weigh_in,
            "check_id": self.given.check,
            "intake": {"kcal_per_day": 820, "weighed": True, "weight_steady": True},
            "foods": [{"food_id": self.given.food, "share": 1}],
            "treat_kcal": 20,
            "cup_ml": 250,
        }
        return phone.op("plan.request", dog=self.dog, data=data)

    def plan_accept(self, phone: Phone) -> Op:
        plan = self.given.proposed()
        return people.answer(phone, "plan.accept", self.dog, plan, review_id=None)

    def plan_decline(self, phone: Phone) -> Op:
        plan = self.given.proposed()
        return people.answer(
            phone, "plan.decline", self.dog, plan, review_id=None, reason="after the holiday"
        )

    def plan_end(self, phone: Phone) -> Op:
        plan = self.given.proposed()
        return phone.op("plan.end", plan, dog=self.dog)

    def vet_word_add(self, phone: Phone) -> Op:
        data = {
            "on": "2026-03-01",
            "by": "Practice at the mill",
            "covers": "condition:diabetes",
            "until": "2026-09-01",
        }
        return phone.op("vet_word.add", dog=self.dog, data=data)

    def vet_word_end(self, phone: Phone) -> Op:
        word = self.vet_word_add(self.lead)
        assert self.lead.send(word) == ["applied"]
        return phone.op("vet_word.end", word["entity_id"], dog=self.dog, data={"on": "2026-04-01"})

    def _food(self) -> dict[str, Any]:
        label = {
            "protein_pct": 28,
            "fat_pct": 9,
            "fibre_pct": 11,
            "moisture_pct": 9,
            "ash_pct": None,
            "form": "dry",
        }
        return {**people.DRY, "household_id": self.home, "label": label}
