"""The sweep rings for what is due and for nothing else."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from server.ledger import jobs
from server.ledger.models import Heartbeat
from server.worker import bell, files, sweeping

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
pytestmark = pytest.mark.django_db


@pytest.fixture
def rung(monkeypatch):
    rung: list[list[int]] = []
    monkeypatch.setattr(bell, "ring", lambda ids, expires_s=None: rung.append(list(ids)))
    return rung


def test_it_finds_lost_messages_expired_leases_and_failures_whose_wait_is_over(rung):
    lost = jobs.ask("test", "lost", now=NOW - timedelta(minutes=3))
    dead = jobs.ask("test", "dead", now=NOW - timedelta(minutes=5))
    assert jobs.claim(dead.pk, now=NOW - timedelta(minutes=4))
    failed = jobs.ask("test", "failed", now=NOW - timedelta(minutes=1))
    claimed = jobs.claim(failed.pk, now=NOW - timedelta(minutes=1))
    assert claimed
    jobs.fail(claimed, "x", now=NOW - timedelta(minutes=1))

    held = jobs.ask("test", "held", now=NOW - timedelta(minutes=1))
    assert jobs.claim(held.pk, now=NOW - timedelta(minutes=1))
    jobs.ask("test", "later", now=NOW, due_at=NOW + timedelta(hours=1))
    over = jobs.ask("test", "done", now=NOW - timedelta(minutes=9))
    running = jobs.claim(over.pk, now=NOW - timedelta(minutes=9))
    assert running
    jobs.finish(running, now=NOW)

    assert sweeping.offer(now=NOW) == 3
    assert {pk for ids in rung for pk in ids} == {lost.pk, dead.pk, failed.pk}


def test_a_heap_of_jobs_is_split_so_that_workers_can_share_it(rung):
    jobs.ask_many("test", [str(n) for n in range(250)], now=NOW)
    assert sweeping.offer(now=NOW) == 250
    assert [len(ids) for ids in rung] == [100, 100, 50]


def test_workers_long_gone_are_forgotten(tmp_path):
    files.make_folders(tmp_path)
    Heartbeat.objects.create(worker="old", beat_at=NOW - timedelta(days=2))
    Heartbeat.objects.create(worker="new", beat_at=NOW - timedelta(seconds=20))
    sweeping.tidy(queues=tmp_path, now=NOW)
    assert list(Heartbeat.objects.values_list("worker", flat=True)) == ["new"]
