"""Tells the demo's whole story: people, households, foods, and each dog's life, up to now."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

from allauth.account.models import EmailAddress
from django.contrib.auth.hashers import make_password
from django.db import transaction

from server.cli.story.cast import Cast, HouseholdSketch
from server.cli.story.life import Life
from server.cli.story.phone import Phone
from server.households import actions
from server.households.models import Person
from server.ledger import jobs
from server.worker import bell, run, weekly


def tell(cast: Cast, *, password: str, now: datetime) -> None:
    """Put the whole demo into the database: all of it, or nothing where anything fails."""
    # Bells ring on commit, so they must be silent until after it.
    with bell.silent(), transaction.atomic():
        hashed = make_password(password)
        phones = {
            sketch.key: Phone(_person(sketch.name, sketch.email, sketch.tz, hashed))
            for sketch in cast.people
        }
        for household in cast.households:
            _household(household, phones, now)
        weekly.ask(now=now)
        for job_id in list(jobs.waiting(now=now).values_list("pk", flat=True)):
            run.run(job_id, clock=lambda: now)


def _person(name: str, email: str, tz: str, hashed: str) -> Person:
    person = Person.objects.create(name=name, email=email, tz=tz, password=hashed)
    EmailAddress.objects.create(user=person, email=email, verified=True, primary=True)
    return person


def _household(sketch: HouseholdSketch, phones: dict[str, Phone], now: datetime) -> None:
    opened = now - timedelta(weeks=sketch.open_weeks)
    lead = phones[sketch.lead]
    household = actions.open_household(
        name=sketch.name, kind=sketch.kind, lead=lead.person, now=opened
    )
    for key, role in sketch.others.items():
        person = phones[key].person
        actions.admit(household=household, person=person, role=role, now=opened)
    foods: dict[str, uuid.UUID] = {}
    for food in sketch.foods:
        facts = {**food, "household_id": str(household.pk)}
        foods[food["name"]] = lead.send("food.add", facts, at=opened)
    for dog in sketch.dogs:
        Life(dog, household=household.pk, lead=lead, phones=phones, foods=foods, now=now).tell()
