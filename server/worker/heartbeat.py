"""A worker's sign of life: a row written from a thread of its own, also while a job runs."""

from __future__ import annotations

import logging
import threading
from datetime import timedelta
from typing import Any

from celery.signals import worker_ready, worker_shutdown
from django.db import connection
from django.utils.timezone import now

from server.ledger.models import Heartbeat

EVERY = timedelta(seconds=10)  # a reader takes thirty seconds of silence for death

log = logging.getLogger(__name__)
_stop = threading.Event()


def beat(worker: str) -> None:
    """Write that this worker lives, now."""
    Heartbeat.objects.update_or_create(worker=worker[:100], defaults={"beat_at": now()})


def _keep_beating(worker: str) -> None:
    while not _stop.is_set():
        try:
            beat(worker)
        except Exception:  # a database that is away for a while must not end the beating
            log.exception("No heartbeat written")
        finally:
            connection.close()  # this thread's own; ten seconds are long for an idle one
        _stop.wait(EVERY.total_seconds())


@worker_ready.connect
def _start(sender: Any = None, **_: Any) -> None:
    """Begin to beat."""
    _stop.clear()
    name = str(getattr(sender, "hostname", "worker"))
    threading.Thread(target=_keep_beating, args=[name], name="heartbeat", daemon=True).start()


@worker_shutdown.connect
def _end(**_: Any) -> None:
    _stop.set()
