"""A reader never steps over a change that commits late (PostgreSQL: writers run side by side)."""

from __future__ import annotations

import threading

import pytest
from django.db import connection, connections, transaction

from server.ledger import changes
from tests import people
from tests.needs import need
from tests.people import Phone

pytestmark = [pytest.mark.service, pytest.mark.django_db(transaction=True)]


def test_late_commit():
    # juicedata/juicefs#7521, windmill-labs/windmill#10894,
    # NEventStore/NEventStore.Persistence.SQL#21: with numbers from a sequence the second writer
    # would commit first, the reader would move on past it, and never see the first.
    need(connection.vendor == "postgresql", "two writers at once need PostgreSQL")
    cast = people.cast()
    home = cast.home.pk
    reader = Phone(cast.lead)
    start = reader.pull()["cursor"]
    taken, go, second_done = threading.Event(), threading.Event(), threading.Event()
    slow, quick = people.new_id(), people.new_id()

    def publish(id: str) -> None:
        data = {"name": "Carrot"}
        changes.publish(kind="food", entity_id=id, household_id=home, data=data)

    def first() -> None:
        with transaction.atomic():
            publish(slow)
            taken.set()
            go.wait(20)
        connections.close_all()

    def second() -> None:
        taken.wait(20)
        with transaction.atomic():
            publish(quick)
        second_done.set()
        connections.close_all()

    writers = [threading.Thread(target=work) for work in (first, second)]
    for writer in writers:
        writer.start()
    assert taken.wait(20)
    assert not second_done.wait(0.5)  # it waits for the counter, so it cannot overtake
    between = reader.pull(start)
    assert between["changes"] == []
    go.set()
    for writer in writers:
        writer.join(20)
    rows = reader.pull(between["cursor"])["changes"]
    assert [row["id"] for row in rows] == [slow, quick]


def test_one_operation_pushed_twice_at_once():
    need(connection.vendor == "postgresql", "two writers at once need PostgreSQL")
    cast = people.cast()
    mara = Phone(cast.lead)
    dog = people.add_dog(mara, cast.home)
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    barrier, answers = threading.Barrier(4), []

    def push() -> None:
        barrier.wait(20)
        answers.extend(mara.send(op))
        connections.close_all()

    phones = [threading.Thread(target=push) for _ in range(4)]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join(20)
    assert sorted(answers) == ["applied", "duplicate", "duplicate", "duplicate"]
