"""A worker's sign of life: a row written from a thread of its own, also while a job runs."""

from __future__ import annotations

import logging
import threading
from datetime import timedelta
from typing import Any

from celery.signals import worker_ready, worker_shutdown
from django.db import DatabaseError, connection
from django.utils.timezone import now

from server.ledger.models import Heartbeat

EVERY = timedelta(seconds=10)  # a reader takes thirty seconds of silence for death
PATIENCE_S = 2.0  # for a last beat that is being written
NAME_LENGTH = 100

log = logging.getLogger(__name__)


class Heart:
    """Beats for one worker from `start` to `stop`."""

    def __init__(self) -> None:
        self._over = threading.Event()
        self._thread: threading.Thread | None = None
        self._worker = ""

    def start(self, worker: str) -> None:
        """Begin. worker: its name."""
        self._over.clear()
        self._worker = worker[:NAME_LENGTH]
        self._thread = threading.Thread(target=self._beat_on, name="heartbeat", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End, and take the row away: who looks must not take this worker for a living one."""
        self._over.set()
        if self._thread is None:
            return
        self._thread.join(timeout=PATIENCE_S)
        try:
            Heartbeat.objects.filter(worker=self._worker).delete()
        except DatabaseError:
            log.exception("The last heartbeat stays; it is taken for life for half a minute")

    def _beat_on(self) -> None:
        while not self._over.is_set():
            try:
                beat(self._worker)
            except Exception:  # a database that is away for a while must not end the beating
                log.exception("No heartbeat written")
            finally:
                connection.close()  # this thread's own; ten seconds are long for an idle one
            self._over.wait(EVERY.total_seconds())


heart = Heart()


def beat(worker: str) -> None:
    """Write that this worker lives, now."""
    Heartbeat.objects.update_or_create(worker=worker, defaults={"beat_at": now()})


@worker_ready.connect
def _start(sender: Any = None, **_: Any) -> None:
    heart.start(str(getattr(sender, "hostname", "worker")))


@worker_shutdown.connect
def _stop(**_: Any) -> None:
    heart.stop()
