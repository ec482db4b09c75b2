"""The cast: people, households and a dog, made the way the app makes them, and their phones.

All names are invented.
"""

from __future__ import annotations

import itertools
import json
import uuid
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any

from django.test import Client
from django.utils import timezone

from server.households import actions
from server.households.ids import uuid7
from server.households.models import Household, Membership, Person, Role
from server.ledger import changes
from server.sync import apply, feed
from server.sync.hlc import written
from server.worker.work import review_dog, work_out_plan

PASSWORD = "seven grey stones"
ZONE = "Europe/Lisbon"


def new_id() -> str:
    """An id as phones make them."""
    return str(uuid7(timezone.now()))


def person(name: str) -> Person:
    """Someone who can sign in, with no household."""
    email = f"{name.split()[0].lower()}@example.org"
    return Person.objects.create_user(email, PASSWORD, name=name, tz=ZONE)


class Cast:
    """A home with all three roles, a rescue, someone from elsewhere, and one who was removed.

    Everybody comes when first asked for.
    """

    def __init__(self, now: datetime | None = None) -> None:
        self.now = now or timezone.now()

    @cached_property
    def home(self) -> Household:
        """Mill Lane."""
        return self._household("Mill Lane", "home", self.lead)

    @cached_property
    def rescue(self) -> Household:
        """A rescue of other people."""
        return self._household("Longwater Rescue", "rescue", self.coordinator)

    @cached_property
    def elsewhere(self) -> Household:
        """A stranger's home."""
        return self._household("Tess's dogs", "home", self.stranger)

    @cached_property
    def lead(self) -> Person:
        """Leads Mill Lane."""
        return person("Mara Lindqvist")

    @cached_property
    def carer(self) -> Person:
        """A carer of Mill Lane."""
        return self._member("Jonas Reuter", Role.CARER)

    @cached_property
    def viewer(self) -> Person:
        """May look at Mill Lane."""
        return self._member("Noor Haddad", Role.VIEWER)

    @cached_property
    def removed(self) -> Person:
        """Led Mill Lane once."""
        removed = self._member("Pavel Dorn", Role.LEAD)
        actions.remove(membership=Membership.objects.get(household=self.home, person=removed))
        return removed

    @cached_property
    def coordinator(self) -> Person:
        """Leads the rescue."""
        return person("Ira Novak")

    @cached_property
    def stranger(self) -> Person:
        """Has a home elsewhere."""
        return person("Tess Oduya")

    def roles(self) -> dict[str, Person]:
        """Everybody by their part."""
        names = ("lead", "carer", "viewer", "coordinator", "stranger", "removed")
        everybody = {name: getattr(self, name) for name in names}
        assert len({self.home.pk, self.rescue.pk, self.elsewhere.pk}) == 3
        return everybody

    def _household(self, name: str, kind: str, lead: Person) -> Household:
        return actions.open_household(name=name, kind=kind, lead=lead, now=self.now)

    def _member(self, name: str, role: Role) -> Person:
        member = person(name)
        actions.admit(household=self.home, person=member, role=role, now=self.now)
        return member


def cast(now: datetime | None = None) -> Cast:
    """The people of a test."""
    return Cast(now)


def in_a_word(result: dict[str, Any]) -> str:
    """What became of an operation."""
    return str(result["code"] if result["status"] == "rejected" else result["status"])


_nodes = itertools.count(1)


@dataclass
class Phone:
    """One person's phone: makes operations as the app does, and talks to the real addresses.

    ahead: how far its clock is ahead of ours.
    """

    owner: Person
    ahead: timedelta = timedelta()
    device_id: str = field(default_factory=lambda: uuid.uuid4().hex)

    def __post_init__(self) -> None:
        self.node = f"{next(_nodes):08x}"
        self._counter = itertools.count()

    @cached_property
    def client(self) -> Client:
        """The signed-in browser."""
        client = Client()
        client.force_login(self.owner)
        return client

    def hlc(self, at: datetime | None = None) -> str:
        """A reading of the phone's clock, later than any it gave before within a millisecond."""
        at = (at or timezone.now()) + self.ahead
        return written(int(at.timestamp() * 1000), next(self._counter) % 10_000, self.node)

    def op(
        self,
        kind: str,
        entity_id: Any = None,
        *,
        dog: Any = None,
        data: dict[str, Any] | None = None,
        **more: Any,
    ) -> dict[str, Any]:
        """An operation. Facts get the moment it is now on this phone, unless told otherwise."""
        op = {
            "op_id": new_id(),
            "kind": kind,
            "entity_id": str(entity_id or new_id()),
            "dog_id": str(dog) if dog else None,
            "hlc": self.hlc(),
            "data": data or {},
        }
        if kind in SEEN:
            op |= seen_at(timezone.now() + self.ahead)
        if kind == "plan.request":
            op |= {"local_date": timezone.now().date().isoformat(), "tz": ZONE}
        return op | more

    def push(self, *ops: dict[str, Any], **envelope: Any) -> Any:
        """Send operations; the whole answer."""
        body = {
            "protocol": 1,
            "device_id": self.device_id,
            "epoch": self.epoch(),
            "pending": len(ops),
            "ops": list(ops),
            **envelope,
        }
        return self.post(json.dumps(body))

    def post(self, body: str | bytes, content_type: str = "application/json") -> Any:
        """Send a body as it is."""
        return self.client.post("/api/v1/sync/push", body, content_type=content_type)

    def results(self, *ops: dict[str, Any]) -> list[dict[str, Any]]:
        """Send operations over HTTP; one result each."""
        answer = self.push(*ops)
        assert answer.status_code == 200, answer.content
        results: list[dict[str, Any]] = answer.json()["results"]
        assert [result["op_id"] for result in results] == [op["op_id"] for op in ops]
        return results

    def send(self, *ops: dict[str, Any], now: datetime | None = None) -> list[str]:
        """Hand operations straight to the sync; one status each, with the code of a rejection.

        now: when they arrive.
        """
        results = apply.push(ops=ops, person=self.owner, now=now or timezone.now())
        assert [result["op_id"] for result in results] == [op["op_id"] for op in ops]
        return [in_a_word(result) for result in results]

    def sees(self, id: str) -> int:
        """The version of a thing on this phone, which has pulled everything."""
        return changes.stamp_of(uuid.UUID(id)).version

    def one(self, op: dict[str, Any], now: datetime | None = None) -> dict[str, Any]:
        """The whole result of one operation, handed straight to the sync."""
        return apply.push(ops=[op], person=self.owner, now=now or timezone.now())[0]

    def epoch(self) -> str:
        """The database's age, as the session says."""
        return str(self.client.get("/api/v1/session").json()["epoch"])

    def pull(self, cursor: Any = 0, **params: Any) -> dict[str, Any]:
        """One page of changes."""
        answer = self.client.get("/api/v1/sync/pull", {"cursor": cursor, **params})
        assert answer.status_code == 200, answer.content
        page: dict[str, Any] = answer.json()
        return page

    def rows(self, cursor: int = 0) -> dict[str, dict[str, Any]]:
        """All that changed after a cursor, by id, as the sync hands it out."""
        rows, more = {}, True
        while more:
            page = feed.pull(self.owner, cursor=cursor)
            assert page.cursor > cursor or not page.more  # else this would never end
            rows |= {row["id"]: row for row in map(json.loads, page.rows)}
            cursor, more = page.cursor, page.more
        return rows


SEEN = ("weigh_in.add", "weigh_in.replace", "check.add", "check.replace")


def seen_at(instant: datetime) -> dict[str, str]:
    """When a fact was seen, as a phone in Lisbon in winter says it."""
    utc = instant.astimezone(UTC)
    return {
        "measured_at": utc.isoformat().replace("+00:00", "Z"),
        "local_date": utc.date().isoformat(),
        "tz": "UTC",
    }


OTTO: dict[str, Any] = {
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
    "lean_weight_g": None,
    "adult_weight_g": None,
}
WEIGHT: dict[str, Any] = {"weight_g": 15_200, "scale": "bathroom"}
CHECK: dict[str, Any] = {"score": 7, "muscle": "normal"}
DRY: dict[str, Any] = {
    "name": "Millstone dry adult",
    "role": "meal",
    "kcal_per_kg": 3600,
    "label": None,
    "grams_per_cup": 100,
    "purpose": "maintenance",
}


def add_dog(phone: Phone, household: Household, **fields: Any) -> str:
    """A dog of a household; its id."""
    dog = new_id()
    data = {"household_id": str(household.pk), **OTTO, **fields}
    assert phone.send(phone.op("dog.add", dog, dog=dog, data=data)) == ["applied"]
    return dog


def add_weigh_in(phone: Phone, dog: str, **more: Any) -> str:
    """A weigh-in; its id."""
    weigh_in = new_id()
    data = {**WEIGHT, **more.pop("data", {})}
    op = phone.op("weigh_in.add", weigh_in, dog=dog, data=data, **more)
    assert phone.send(op) == ["applied"]
    return weigh_in


def add_check(phone: Phone, dog: str, **more: Any) -> str:
    """A condition check; its id."""
    check = new_id()
    data = {**CHECK, **more.pop("data", {})}
    assert phone.send(phone.op("check.add", check, dog=dog, data=data, **more)) == ["applied"]
    return check


def add_food(phone: Phone, household: Household, **fields: Any) -> str:
    """A food; its id."""
    food = new_id()
    data = {"household_id": str(household.pk), **DRY, **fields}
    assert phone.send(phone.op("food.add", food, data=data)) == ["applied"]
    return food


def ask_plan(phone: Phone, dog: str, *, weigh_in: str, check: str, food: str, **more: Any) -> str:
    """A request for a plan; its id."""
    plan = new_id()
    data = {
        "weigh_in_id": weigh_in,
        "check_id": check,
        "intake": {"kcal_per_day": 820, "weighed": True, "weight_steady": True},
        "foods": [{"food_id": food, "share": 1.0}],
        "treat_kcal": None,
        "cup_ml": 236.6,
        **more,
    }
    assert phone.send(phone.op("plan.request", plan, dog=dog, data=data)) == ["applied"]
    return plan


def propose(plan: str) -> None:
    """Let the worker answer a request."""
    work_out_plan(plan, timezone.now())


def review(dog: str) -> None:
    """Let the worker review a dog."""
    review_dog(dog, timezone.now())


def accept(phone: Phone, dog: str, plan: str, review_id: str | None = None) -> list[str]:
    """Say yes to what the plan or the review proposes, as it stands now."""
    return phone.send(answer(phone, "plan.accept", dog, plan, review_id=review_id))


def answer(phone: Phone, kind: str, dog: str, plan: str, **data: Any) -> dict[str, Any]:
    """An answer to the plan as it stands now."""
    return phone.op(kind, plan, dog=dog, base={"state": phone.sees(plan)}, data=data)


@dataclass
class Given:
    """A dog with everything a plan needs."""

    phone: Phone
    household: Household
    dog: str
    weigh_in: str
    check: str
    food: str

    def ask_plan(self, **more: Any) -> str:
        """Ask for a plan; its id."""
        return ask_plan(
            self.phone,
            self.dog,
            weigh_in=self.weigh_in,
            check=self.check,
            food=self.food,
            **more,
        )

    def proposed(self) -> str:
        """A plan that waits for a person's answer; its id."""
        plan = self.ask_plan()
        propose(plan)
        return plan

    def active(self) -> str:
        """A plan that is fed; its id."""
        plan = self.proposed()
        assert accept(self.phone, self.dog, plan) == ["applied"]
        return plan


def given(phone: Phone, household: Household, **dog: Any) -> Given:
    """A dog that is too heavy, weighed and checked, and a food."""
    id = add_dog(phone, household, **dog)
    return Given(
        phone,
        household,
        id,
        add_weigh_in(phone, id),
        add_check(phone, id),
        add_food(phone, household),
    )
