"""Every plan in force is reviewed once per ISO week, whether anybody sends anything or not."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from server.households.models import Dog
from server.ledger import jobs
from server.ledger.models import Job
from server.plans.models import WeeklyReview
from server.plans.reviews import iso_week
from server.worker import bell, run, weekly
from tests import people

pytestmark = pytest.mark.django_db


@pytest.fixture
def rung(monkeypatch):
    rung: list[int] = []
    monkeypatch.setattr(bell, "ring", lambda ids, expires_s=None: rung.extend(ids))
    return rung


@pytest.fixture
def dog(rung):
    """A dog with a plan in force whose jobs are all done."""
    cast = people.cast()
    given = people.given(people.Phone(cast.lead), cast.home)
    people.accept(given.phone, given.dog, given.proposed())
    Job.objects.all().delete()
    rung.clear()
    return given.dog


def test_it_is_asked_for_once_and_again_next_week(dog, rung):
    now = timezone.now()
    assert weekly.ask(now=now) == 1
    job = Job.objects.get()
    assert (job.kind, job.key, rung) == ("review", dog, [job.pk])
    assert weekly.ask(now=now) == 0  # it waits already
    run.run(job.pk, clock=lambda: now)
    assert WeeklyReview.objects.get().week == iso_week(now.date())
    assert weekly.ask(now=now) == 0  # it is done
    assert weekly.ask(now=now + timedelta(weeks=1)) == 1


def test_the_week_begins_where_the_dog_is(dog):
    sunday = datetime(2026, 3, 8, 23, 0, tzinfo=UTC)  # Monday in Auckland since noon
    Dog.objects.get(pk=dog).weighins.update(tz="Pacific/Auckland")
    WeeklyReview.objects.create(
        id=people.new_id(),
        dog_id=dog,
        plan=Dog.objects.get(pk=dog).plans.get(),
        week="2026-W10",
        as_of=sunday.date(),
        computed_at=sunday,
        result={},
    )
    assert weekly.ask(now=sunday) == 1
    Job.objects.all().delete()
    Dog.objects.get(pk=dog).weighins.update(tz="Pacific/Honolulu")
    assert weekly.ask(now=sunday) == 0


@pytest.mark.parametrize("field", ["paused", "closed"])
def test_a_dog_that_rests_or_left_is_not_asked_for(dog, field):
    Dog.objects.filter(pk=dog).update(**{field: {"reason": "other"}})
    assert weekly.ask(now=timezone.now()) == 0


def test_a_review_that_failed_for_good_waits_for_the_next_week(dog):
    now = timezone.now()
    weekly.ask(now=now)
    Job.objects.update(given_up_at=now)
    assert weekly.ask(now=now + timedelta(minutes=20)) == 0
    assert weekly.ask(now=now + timedelta(weeks=1)) == 1
    assert Job.objects.get().given_up_at is None


def test_all_dogs_are_reached_chunk_by_chunk(dog, rung, monkeypatch):
    monkeypatch.setattr(weekly, "CHUNK", 2)
    first = Dog.objects.get(pk=dog)
    plan = first.plans.get()
    for _ in range(4):
        first.pk = plan.dog_id = people.new_id()
        first.save(force_insert=True)
        plan.pk = people.new_id()
        plan.save(force_insert=True)
    assert weekly.ask(now=timezone.now()) == 5
    assert Job.objects.filter(kind="review").count() == len(rung) == 5
    assert jobs.waiting(now=timezone.now()).count() == 5
