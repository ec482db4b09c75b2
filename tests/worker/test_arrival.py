"""A worker that arrives ends dead workers' leases only where it is surely alone."""

from __future__ import annotations

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.utils import timezone

from server.ledger import jobs
from server.ledger.models import Job
from server.worker import arrival, bell, files, lock

pytestmark = pytest.mark.django_db


@pytest.fixture
def held(tmp_path, monkeypatch):
    """A job that some worker took and that is not done."""
    files.make_folders(tmp_path / "queue")
    monkeypatch.setattr(arrival, "LOCK", tmp_path / "worker.lock")
    monkeypatch.setattr(arrival, "QUEUES", tmp_path / "queue")
    monkeypatch.setattr(arrival, "EMBEDDED", True)
    monkeypatch.setattr(arrival, "connection", SimpleNamespace(vendor="sqlite"))
    rung: list[int] = []
    monkeypatch.setattr(bell, "ring", lambda ids, expires_s=None: rung.extend(ids))
    job = jobs.ask("review", "a dog", now=timezone.now())
    assert jobs.claim(job.pk, now=timezone.now(), lease=timedelta(hours=1))
    yield job, rung
    if arrival._held:
        arrival._held.close()
        arrival._held = None


def test_the_only_worker_of_a_folder_takes_over_at_once(held):
    job, rung = held
    arrival._arrive()
    assert Job.objects.get().lease_until is None
    assert rung == [job.pk]


def test_a_second_worker_leaves_the_leases_of_the_first(held, tmp_path):
    _, rung = held
    with lock.hold(tmp_path / "worker.lock"):
        arrival._arrive()
    assert Job.objects.get().lease_until is not None
    assert rung == []


@pytest.mark.parametrize(
    ("name", "value"),
    [("EMBEDDED", False), ("connection", SimpleNamespace(vendor="postgresql"))],
)
def test_where_other_machines_may_work_leases_run_out_by_themselves(held, monkeypatch, name, value):
    _, rung = held
    monkeypatch.setattr(arrival, name, value)
    arrival._arrive()
    assert Job.objects.get().lease_until is not None
    assert rung == []
