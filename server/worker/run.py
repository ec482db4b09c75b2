"""Runs one job: claim its row, do the work, close the row. A crash anywhere costs only time."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime, timedelta

from django.conf import settings

from server.ledger import jobs
from server.ledger.models import Job
from server.worker.work import GIVEN_UP, WORK

MOST_ROUNDS = 10  # a job that keeps being asked for while it runs lets others have a turn

log = logging.getLogger(__name__)


def run(job_id: int, *, clock: Callable[[], datetime]) -> int:
    """Run a job until nobody asks for it any more. Returns how often it ran, 0 without need.

    A wish that comes in during the work makes it run again, since the work may have missed it.
    """
    lease = timedelta(seconds=settings.LEASE_S)
    for done in range(MOST_ROUNDS):
        job = jobs.claim(job_id, now=clock(), lease=lease)
        if job is None:
            return done
        _do(job, clock)
    return MOST_ROUNDS


def _do(job: Job, clock: Callable[[], datetime]) -> None:
    try:
        WORK[job.kind](job.key, clock())
    except Exception as error:  # one failing job must not stop the others
        log.exception("Job %s %s failed, attempt %d", job.kind, job.key, job.attempts)
        if jobs.fail(job, f"{type(error).__name__}: {error}", now=clock()):
            GIVEN_UP.get(job.kind, _nobody)(job.key, clock())
        return
    jobs.finish(job, now=clock())


def _nobody(key: str, now: datetime) -> None:
    """A kind whose failure no person waits for: the row and the log tell of it."""
