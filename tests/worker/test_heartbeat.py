"""A worker's sign of life is written from a thread of its own and ends with the worker."""

from __future__ import annotations

import threading

import pytest
from django.db import DatabaseError
from django.utils import timezone

from server.ledger.models import Heartbeat
from server.worker import heartbeat


@pytest.fixture
def beats(monkeypatch):
    """Beats noted instead of written, and no wait between them."""
    beats: list[tuple[str, str]] = []
    monkeypatch.setattr(heartbeat, "EVERY", heartbeat.timedelta(0))
    monkeypatch.setattr(heartbeat.connection, "close", lambda: None)
    enough = threading.Event()

    def note(worker):
        beats.append((worker, threading.current_thread().name))
        if len(beats) > 3:
            enough.set()
        if len(beats) == 2:
            raise DatabaseError("away")

    monkeypatch.setattr(heartbeat, "beat", note)
    return beats, enough


@pytest.mark.django_db
def test_it_beats_on_while_the_worker_is_busy_and_the_database_away(beats):
    noted, enough = beats
    heart = heartbeat.Heart()
    heart.start("worker@here")
    assert enough.wait(10)  # this thread, the worker's own, does nothing but wait
    heart.stop()
    assert set(noted) == {("worker@here", "heartbeat")}
    assert "heartbeat" not in [thread.name for thread in threading.enumerate()]


@pytest.mark.django_db
def test_one_row_tells_the_last_beat():
    heartbeat.beat("worker@here")
    first = Heartbeat.objects.get().beat_at
    heartbeat.beat("worker@here")
    row = Heartbeat.objects.get()
    assert first < row.beat_at <= timezone.now()


@pytest.mark.django_db
def test_a_worker_that_stops_is_not_taken_for_a_living_one(beats):
    heart = heartbeat.Heart()
    Heartbeat.objects.create(worker="worker@here", beat_at=timezone.now())
    Heartbeat.objects.create(worker="worker@there", beat_at=timezone.now())
    heart.start("worker@here")
    heart.stop()
    assert Heartbeat.objects.get().worker == "worker@there"
