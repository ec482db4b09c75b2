"""Jobs: rows with a lease. Actions ask, a worker claims, does and finishes."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.dispatch import Signal

from server.ledger.models import Job

LEASE = timedelta(minutes=2)  # longer than any job; a dead worker's job is free again after it
FIRST_WAIT = timedelta(seconds=5)  # before a failed job is tried again, doubling
LONGEST_WAIT = timedelta(hours=1)
MOST_ATTEMPTS = 8

asked = Signal()  # sent with job_id once the row is on disk; the worker's package rings a bell


def ask(kind: str, key: str, *, now: datetime, due_at: datetime | None = None) -> Job:
    """Ask for work. Asking again for the same kind and key before it ran changes nothing more."""
    with transaction.atomic():
        job, new = Job.objects.get_or_create(kind=kind, key=key, defaults={"due_at": due_at or now})
        if not new:
            Job.objects.filter(pk=job.pk).update(
                asked=F("asked") + 1, due_at=due_at or now, attempts=0, given_up_at=None
            )
    if due_at is None or due_at <= now:
        transaction.on_commit(partial(asked.send, sender=Job, job_id=job.pk))
    return job


def ask_many(kind: str, keys: list[str], *, now: datetime) -> list[int]:
    """Ask for the same work on many things at once; the caller tells a worker of the rows."""
    with transaction.atomic():
        rows = Job.objects.filter(kind=kind, key__in=keys)
        rows.update(asked=F("asked") + 1, due_at=now, attempts=0, given_up_at=None)
        Job.objects.bulk_create(
            [Job(kind=kind, key=key, due_at=now) for key in keys], ignore_conflicts=True
        )
        return list(rows.order_by("pk").values_list("pk", flat=True))


def waiting(*, now: datetime) -> QuerySet[Job]:
    """Jobs that are due and that no live worker holds, longest due first."""
    return Job.objects.filter(_free(now), due_at__lte=now).order_by("due_at")


def _free(now: datetime) -> Q:
    unheld = Q(lease_until=None) | Q(lease_until__lt=now)
    return unheld & Q(answered__lt=F("asked"), given_up_at=None)


def claim(job_id: int, *, now: datetime, lease: timedelta = LEASE) -> Job | None:
    """Take a job for a lease. None: it is done, not yet due, or another worker holds it."""
    taken = Job.objects.filter(_free(now), pk=job_id, due_at__lte=now).update(
        lease_until=now + lease, attempts=F("attempts") + 1
    )
    return Job.objects.get(pk=job_id) if taken else None


def finish(job: Job, *, now: datetime) -> bool:
    """Close what was asked for when `job` was claimed. False: the lease was lost meanwhile.

    Wishes that came in since stay open and are due at once.
    """
    return bool(
        Job.objects.filter(pk=job.pk, lease_until=job.lease_until).update(
            answered=job.asked, lease_until=None, attempts=0, last_error="", finished_at=now
        )
    )


def fail(job: Job, error: str, *, now: datetime) -> bool:
    """Note a failure and wait before the next try; give up after MOST_ATTEMPTS.

    True: given up, a person has to be told.
    """
    given_up = job.attempts >= MOST_ATTEMPTS
    wait = min(FIRST_WAIT * 2 ** (job.attempts - 1), LONGEST_WAIT)
    Job.objects.filter(pk=job.pk, lease_until=job.lease_until).update(
        last_error=error[:2000],
        lease_until=None,
        due_at=now + wait,
        given_up_at=now if given_up else None,
    )
    return given_up
