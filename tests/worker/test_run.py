"""One job: claimed once, done once, tried again after a failure, given up in the end."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from server.ledger import jobs
from server.ledger.models import Job
from server.worker import run

START = datetime(2026, 3, 2, 8, tzinfo=UTC)
pytestmark = pytest.mark.django_db


class Clock:
    """A clock that moves only when told."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def forward(self, **by: float) -> None:
        self.now += timedelta(**by)


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def done(monkeypatch):
    done: list[str] = []
    monkeypatch.setitem(run.WORK, "test", lambda key, now: done.append(key))
    return done


def test_it_is_done_once_however_often_the_bell_rings(done, clock):
    job = jobs.ask("test", "a", now=START)
    assert [run.run(job.pk, clock=clock) for _ in range(3)] == [1, 0, 0]
    assert done == ["a"]


def test_job_twice(monkeypatch, clock):
    # The same message delivered to a second worker while the first one works.
    second = []

    def work(key, now):
        second.append(run.run(job.pk, clock=clock))

    monkeypatch.setitem(run.WORK, "test", work)
    job = jobs.ask("test", "a", now=START)
    assert run.run(job.pk, clock=clock) == 1
    assert second == [0]


def test_a_wish_that_came_while_it_ran_is_done_too(monkeypatch, clock):
    runs = []

    def work(key, now):
        runs.append(key)
        if len(runs) == 1:
            jobs.ask("test", "a", now=clock.now)

    monkeypatch.setitem(run.WORK, "test", work)
    job = jobs.ask("test", "a", now=START)
    assert run.run(job.pk, clock=clock) == 2
    assert runs == ["a", "a"]
    assert not jobs.waiting(now=clock.now).exists()


def test_a_job_that_asks_for_itself_does_not_hold_the_worker_for_ever(monkeypatch, clock):
    monkeypatch.setitem(run.WORK, "test", lambda key, now: jobs.ask("test", key, now=now))
    job = jobs.ask("test", "a", now=START)
    assert run.run(job.pk, clock=clock) == run.MOST_ROUNDS


def test_a_worker_that_died_costs_only_its_lease(done, clock, settings):
    settings.LEASE_S = 30
    job = jobs.ask("test", "a", now=START)
    assert jobs.claim(job.pk, now=START, lease=timedelta(seconds=30))  # and dies here
    clock.forward(seconds=29)
    assert run.run(job.pk, clock=clock) == 0
    assert done == []
    clock.forward(seconds=2)
    assert run.run(job.pk, clock=clock) == 1
    assert done == ["a"]


def test_a_failure_is_tried_again_after_a_wait_that_doubles(monkeypatch, clock):
    tries = []

    def work(key, now):
        tries.append((now - START).total_seconds())
        if len(tries) < 4:
            raise OSError("disk full")

    monkeypatch.setitem(run.WORK, "test", work)
    job = jobs.ask("test", "a", now=START)
    for _ in range(60):
        run.run(job.pk, clock=clock)
        clock.forward(seconds=1)
    assert tries == [0, 5, 15, 35]
    job.refresh_from_db()
    assert (job.answered, job.last_error, job.attempts) == (1, "", 0)


def test_one_failing_job_leaves_its_reason_and_the_others_alone(monkeypatch, done, clock):
    def work(key, now):
        raise ValueError("no such food")

    monkeypatch.setitem(run.WORK, "bad", work)
    bad, good = jobs.ask("bad", "a", now=START), jobs.ask("test", "b", now=START)
    for job in (bad, good):
        run.run(job.pk, clock=clock)
    bad.refresh_from_db()
    assert bad.last_error == "ValueError: no such food"
    assert done == ["b"]


def test_it_is_given_up_in_the_end_and_a_person_is_told(monkeypatch, clock):
    told = []

    def work(key, now):
        raise ValueError("no")

    monkeypatch.setitem(run.WORK, "test", work)
    monkeypatch.setitem(run.GIVEN_UP, "test", lambda key, now: told.append(key))
    job = jobs.ask("test", "a", now=START)
    for _ in range(jobs.MOST_ATTEMPTS):
        assert told == []
        assert run.run(job.pk, clock=clock) == 1
        clock.forward(hours=2)
    assert told == ["a"]
    assert run.run(job.pk, clock=clock) == 0
    assert Job.objects.get().given_up_at is not None


def test_a_kind_of_a_newer_release_waits_with_its_reason(clock):
    job = jobs.ask("of tomorrow", "a", now=START)
    assert run.run(job.pk, clock=clock) == 1
    job.refresh_from_db()
    assert job.answered == 0
    assert job.last_error.startswith("KeyError")
