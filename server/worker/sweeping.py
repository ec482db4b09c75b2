"""The sweep: finds what a lost message, a dead worker or a broker's silence left undone."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from server.ledger import jobs
from server.ledger.models import Heartbeat, Job
from server.worker import bell, files
from server.worker.app import SWEEP_S

MOST = 20_000  # a sweep; more wait for the next one
A_MESSAGE = 100  # jobs, so that several workers share a heap of them
SILENT_FOR = timedelta(days=1)


def offer(*, now: datetime) -> int:
    """Ring again for every due job that no live worker holds. Returns how many there are."""
    due = list(jobs.waiting(now=now).values_list("pk", flat=True)[:MOST])
    for start in range(0, len(due), A_MESSAGE):
        # The next sweep rings again, so a bell nobody heard by then is worth nothing.
        bell.ring(due[start : start + A_MESSAGE], expires_s=SWEEP_S)
    return len(due)


def release_all() -> int:
    """End every lease: right only where no other worker can be alive. Returns how many."""
    return Job.objects.filter(lease_until__isnull=False).update(lease_until=None)


def tidy(*, queues: Path, now: datetime) -> None:
    """Remove old message files and workers long gone."""
    files.reap(queues, now_s=now.timestamp())
    Heartbeat.objects.filter(beat_at__lt=now - SILENT_FOR).delete()
