"""What a worker does first: look for what was left undone while there was none."""

from __future__ import annotations

from typing import Any

from celery.signals import worker_ready
from django.conf import settings
from django.db import connection
from django.utils.timezone import now

from server.worker import lock, sweeping
from server.worker.app import EMBEDDED, QUEUES

LOCK = settings.DATA / "worker.lock"
_held: lock.Handle | None = None


@worker_ready.connect
def _arrive(**_: Any) -> None:
    if EMBEDDED and connection.vendor == "sqlite" and _alone():
        # Whoever held a lease here is dead; its jobs need not wait for the lease to end.
        sweeping.release_all()
    sweeping.offer(now=now())
    sweeping.tidy(queues=QUEUES, now=now())


def _alone() -> bool:
    """True where this is the only worker of the data folder, and then it stays so."""
    global _held
    try:
        _held = lock.hold(LOCK)
    except lock.Held:
        return False
    return True
