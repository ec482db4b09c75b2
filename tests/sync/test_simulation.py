"""Phones with bad networks and wrong clocks: whatever happens between, in the end all agree.

Each seed plays one history of saves, pushes, pulls, lost requests, lost answers and repeated
deliveries, then lets the network heal.
"""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

import pytest

from server.households.models import Dog, DogFieldWrite
from server.records.models import WeighIn
from server.sync import feed
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db

STEPS = 60
FIELDS = {
    "name": ["Otto", "Ottoline", "Otto II"],
    "coat": ["short", "medium", "long"],
    "frame": ["small", "medium", "large", None],
    "lean_weight_g": [None, 12_000, 13_000],
}


class Sim:
    """A phone with an outbox and what it has pulled."""

    def __init__(self, phone: Phone, dog: str, dice: random.Random) -> None:
        self.phone, self.dog, self.dice = phone, dog, dice
        self.outbox: list[dict[str, Any]] = []
        self.made: list[dict[str, Any]] = []
        self.results: dict[str, str] = {}
        self.cursor = 0
        self.rows: dict[str, str] = {}

    def save(self) -> None:
        """Write something down, with or without signal."""
        entries = [op["entity_id"] for op in self.made if op["kind"] == "weigh_in.add"]
        what = self.dice.choice(["weigh", "weigh", "edit", "void", "poison"])
        if what == "edit":
            names = self.dice.sample(sorted(FIELDS), self.dice.randint(1, 3))
            data = {name: self.dice.choice(FIELDS[name]) for name in names}
            op = self.phone.op("dog.edit", self.dog, dog=self.dog, data=data)
        elif what == "void" and entries:
            data = {"void": self.dice.random() < 0.7}
            op = self.phone.op("weigh_in.void", self.dice.choice(entries), dog=self.dog, data=data)
        else:
            grams = -1 if what == "poison" else self.dice.randint(9_000, 16_000)
            data = {**people.WEIGHT, "weight_g": grams}
            op = self.phone.op("weigh_in.add", dog=self.dog, data=data)
        self.made.append(op)
        self.outbox.append(op)

    def push(self, *, request_lost: float = 0.3, answer_lost: float = 0.3) -> None:
        """Send some of what waits; the network may lose or repeat it."""
        batch = self.outbox[: self.dice.randint(1, 7)]
        if not batch or self.dice.random() < request_lost:
            return
        words = self.phone.send(*batch)
        if self.dice.random() < 0.2:
            self.phone.send(*batch)
        if self.dice.random() < answer_lost:
            return
        for op, word in zip(batch, words, strict=True):
            self.results[op["op_id"]] = word
            self.outbox.remove(op)

    def pull(self, *, lost: float = 0.3) -> None:
        """Ask for a page and keep it, or lose it."""
        page = feed.pull(self.phone.owner, cursor=self.cursor, limit=self.dice.randint(1, 9))
        if self.dice.random() >= lost:
            self.keep(page)

    def keep(self, page: feed.Page) -> None:
        for row in page.rows:
            self.rows[row.split('"id": "')[1][:36]] = row
        self.cursor = page.cursor

    def drain(self) -> None:
        """The network has healed."""
        while self.outbox:
            self.push(request_lost=0, answer_lost=0)

    def catch_up(self) -> None:
        more = True
        while more:
            page = feed.pull(self.phone.owner, cursor=self.cursor)
            self.keep(page)
            more = page.more


def play(seed: int) -> None:
    dice = random.Random(seed)
    cast = people.cast()
    lead = Phone(cast.lead)
    dog = people.add_dog(lead, cast.home)
    clocks = [timedelta(), timedelta(days=-3), timedelta(minutes=4)]
    phones = [Sim(Phone(cast.lead, ahead=ahead), dog, dice) for ahead in clocks]
    for _ in range(STEPS):
        sim = dice.choice(phones)
        dice.choice([sim.save, sim.save, sim.push, sim.pull])()
    for sim in phones:
        sim.drain()
    for sim in phones:
        sim.catch_up()
    check(phones, dog)


def check(phones: list[Sim], dog: str) -> None:
    made = [op for sim in phones for op in sim.made]
    words = {op_id: word for sim in phones for op_id, word in sim.results.items()}
    assert set(words) == {op["op_id"] for op in made}

    # Nothing acknowledged is missing, nothing is there twice, nothing refused got in.
    poison = {op["op_id"] for op in made if op["data"].get("weight_g") == -1}
    assert {op_id for op_id, word in words.items() if word == "bad_value"} == poison
    weighed = {
        op["entity_id"] for op in made if op["kind"] == "weigh_in.add" and op["op_id"] not in poison
    }
    assert {str(pk) for pk in WeighIn.objects.values_list("pk", flat=True)} == weighed

    # Each field of each edit was written down once, and the latest stands.
    edits = [op for op in made if op["kind"] == "dog.edit"]
    writes = sorted((op["hlc"], name) for op in edits for name in op["data"])
    kept = DogFieldWrite.objects.filter(dog=dog, hlc__in=[op["hlc"] for op in edits])
    assert sorted(kept.values_list("hlc", "field")) == writes
    stored = Dog.objects.get(pk=dog)
    added = stored.field_writes.order_by("id").first()
    assert added is not None
    for name in FIELDS:
        latest = max(
            (op for op in edits if name in op["data"] and op["hlc"] > added.hlc),
            key=lambda op: op["hlc"],
            default=None,
        )
        assert getattr(stored, name) == (latest["data"][name] if latest else people.OTTO[name])

    # Of the words on one entry the latest stands.
    for entry in weighed:
        words_on = [op for op in made if op["entity_id"] == entry and op["kind"].endswith("void")]
        last = max(words_on, key=lambda op: op["hlc"], default=None)
        voided = WeighIn.objects.get(pk=entry).voided_at is not None
        assert voided == bool(last and last["data"]["void"])

    # Every phone sees the same as one that starts afresh.
    fresh = {
        row.split('"id": "')[1][:36]: row for row in feed.pull(phones[0].phone.owner, cursor=0).rows
    }
    for sim in phones:
        assert sim.rows == fresh


@pytest.mark.parametrize("seed", range(10))
def test_all_phones_agree_in_the_end(seed):
    play(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10, 400))
def test_all_phones_agree_in_many_histories(seed):
    play(seed)
