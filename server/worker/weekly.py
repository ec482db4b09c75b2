"""Asks, once per dog and ISO week, for the weekly review of every plan in force."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import datetime, timedelta

from django.db.models import OuterRef, Subquery

from server.households.models import Dog
from server.households.zones import day_in
from server.ledger import jobs
from server.ledger.models import Job
from server.plans.models import WeeklyReview
from server.plans.queries import IN_FORCE
from server.plans.reviews import iso_week
from server.records.models import WeighIn
from server.worker import bell

CHUNK = 1_000  # dogs per transaction and pass, so that no writer waits long
A_MESSAGE = 100  # jobs


def ask(*, now: datetime) -> int:
    """Ask for every review that this week lacks. Returns how many were asked for.

    Which week it is depends on where the dog is, hence more than once a week. A dog that is
    paused or whose record is closed is left in peace. One whose review failed for good this
    week is not asked for again before the next.
    """
    asked = 0
    for dogs in _chunks():
        lacking = _lacking(dogs, now=now)
        if not lacking:
            continue
        ids = jobs.ask_many("review", [str(dog) for dog in lacking], now=now)
        for start in range(0, len(ids), A_MESSAGE):
            bell.ring(ids[start : start + A_MESSAGE])
        asked += len(ids)
    return asked


def _chunks() -> Iterator[list[tuple[uuid.UUID, str]]]:
    """Dogs with a plan in force and the zone of their last weigh-in, a chunk at a time."""
    newest = WeighIn.objects.filter(dog=OuterRef("pk"), voided_at=None, replaced_by=None)
    newest = newest.order_by("-measured_at", "-id")  # the one that `work.its_day` goes by
    rows = Dog.objects.filter(plans__state__in=IN_FORCE, paused__isnull=True, closed__isnull=True)
    rows = rows.annotate(zone=Subquery(newest.values("tz")[:1])).order_by("pk")
    last: uuid.UUID | None = None
    while True:
        page = rows.filter(pk__gt=last) if last else rows
        found = [(pk, zone or "UTC") for pk, zone in page.values_list("pk", "zone")[:CHUNK]]
        if not found:
            return
        yield found
        last = found[-1][0]


def _lacking(dogs: list[tuple[uuid.UUID, str]], *, now: datetime) -> list[uuid.UUID]:
    ids = [dog for dog, _ in dogs]
    reviews = WeeklyReview.objects.filter(dog__in=ids, as_of__gte=(now - timedelta(days=9)).date())
    done = set(reviews.values_list("dog", "week"))
    keys = [str(dog) for dog in ids]
    known = {job.key: job for job in Job.objects.filter(kind="review", key__in=keys)}
    return [
        dog
        for dog, zone in dogs
        if (dog, iso_week(day_in(zone, now))) not in done
        and not _settled(known.get(str(dog)), week=iso_week(day_in(zone, now)), zone=zone)
    ]


def _settled(job: Job | None, *, week: str, zone: str) -> bool:
    """True where asking again is wrong: it waits already, or failed for good this week."""
    if job is None:
        return False
    if job.given_up_at is not None:
        return iso_week(day_in(zone, job.given_up_at)) == week
    return job.answered < job.asked
