"""A bell that cannot ring costs a request nothing but the attempt."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from kombu.exceptions import OperationalError

from server.ledger import jobs
from server.ledger.models import Job
from server.worker import bell

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)


class Broker:
    """Stands in for Celery's app; fails while `down`."""

    def __init__(self) -> None:
        self.down = False
        self.sent: list[list[int]] = []
        self.tried = 0

    def send_task(self, name, args, **options):
        self.tried += 1
        if self.down:
            raise OperationalError("no broker")
        assert name == "server.worker.tasks.run_jobs"
        assert options["retry"] is False
        self.sent.append(args[0])


@pytest.fixture
def broker(monkeypatch):
    broker = Broker()
    monkeypatch.setattr(bell, "app", broker)
    monkeypatch.setattr(bell, "_quiet_until", 0.0)
    return broker


def test_a_job_that_is_asked_for_rings_once_it_is_on_disk(
    broker, db, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        job = jobs.ask("plan", "p1", now=NOW)
        assert broker.sent == []
    assert broker.sent == [[job.pk]]


def test_a_dead_broker_never_fails_the_request(broker, db, django_capture_on_commit_callbacks):
    broker.down = True
    with django_capture_on_commit_callbacks(execute=True):
        for number in range(50):
            jobs.ask("review", f"dog {number}", now=NOW)
    assert Job.objects.count() == 50
    assert broker.tried == 1  # then it is left alone for a while


def test_it_rings_again_after_the_quiet(broker, monkeypatch):
    broker.down = True
    assert bell.ring([1]) is False
    broker.down = False
    assert bell.ring([2]) is False
    start = bell.time.monotonic()
    monkeypatch.setattr(bell.time, "monotonic", lambda: start + bell.QUIET_S + 1)
    assert bell.ring([3]) is True
    assert broker.sent == [[3]]


def test_nothing_is_rung_for_nothing(broker):
    assert bell.ring([]) is False
    assert broker.tried == 0


def test_who_does_the_work_itself_rings_nobody(broker):
    with bell.silent():
        assert bell.ring([1]) is False
    assert broker.tried == 0
    assert bell.ring([2]) is True
