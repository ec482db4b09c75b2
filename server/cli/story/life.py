"""One dog's time in the demo, day by day: weighed, looked at, planned for, reviewed, fed."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from server.cli.story.body import Body
from server.cli.story.cast import DogSketch
from server.cli.story.phone import Phone
from server.households.models import Dog
from server.ledger import changes, jobs
from server.plans.models import Plan, WeeklyReview
from server.plans.queries import newest_review
from server.worker import run

MORNING, EVENING = time(7, 40), time(19, 10)
SUNDAY = 6
STARTS_AFTER_DAYS = 1  # the plan is asked for the day after the first weigh-in


class Life:
    """Lives through a sketch and tells the server what its people saw."""

    def __init__(
        self,
        sketch: DogSketch,
        *,
        household: uuid.UUID,
        lead: Phone,
        phones: Mapping[str, Phone],
        foods: Mapping[str, uuid.UUID],
        now: datetime,
    ) -> None:
        self.sketch = sketch
        self.household = household
        self.lead = lead
        self.phones = [phones[key] for key in sketch.by]
        self.foods = foods
        self.now = now
        self.zone = ZoneInfo(lead.person.tz)
        self.first = (now.astimezone(self.zone) - timedelta(days=sketch.days)).date()
        self.chance = Random(sketch.dog["name"])  # the same entries whenever it is told
        self.body = Body(sketch.start_kg, sketch.holds_at, self.chance)
        self.dog = uuid.UUID(int=0)
        self.check = uuid.UUID(int=0)
        self.weighed = 0
        self.taken = 0
        self.slipped = False
        self.judged = False  # a review was made this week

    def tell(self) -> None:
        """From the first day to now."""
        self._add_dog()
        for day in range(self.sketch.days + 1):
            if self._at(day, MORNING) > self.now:
                break
            self._live(day)
            if self._weighs_on(day):
                self._weigh(day)
            self._look_again(day)
            if self._at(day, EVENING) > self.now:
                break
            if day == STARTS_AFTER_DAYS and self.sketch.looks:
                self._plan(day)
            self._pause(day)
            if self._date(day).weekday() == SUNDAY and not self.judged:
                jobs.ask("review", str(self.dog), now=self._at(day, EVENING))
            if self._work(self._at(day, EVENING)):
                self.judged = True
                self._answer(day)
            self.judged = self.judged and self._date(day).weekday() != SUNDAY
        self._work(self.now)

    def _date(self, day: int) -> date:
        return self.first + timedelta(days=day)

    def _at(self, day: int, hour: time) -> datetime:
        return datetime.combine(self._date(day), hour, self.zone)

    def _add_dog(self) -> None:
        facts = dict(self.sketch.dog)
        age = facts.pop("age_days", None)
        if age is not None:
            facts["birth_date"] = (self.first - timedelta(days=age)).isoformat()
        facts["household_id"] = str(self.household)
        self.dog = self.lead.send("dog.add", facts, at=self._at(0, time(7, 20)))

    def _live(self, day: int) -> None:
        if day == 0:
            return
        plan = Plan.objects.filter(dog=self.dog, state="active").first()
        if plan is None or plan.kcal_per_day is None:
            self.body.live_a_day(self.body.holding_kcal())
            return
        part = [share for since, share in self.sketch.eats if since <= day][-1]
        self.body.live_a_day(plan.kcal_per_day * part * self.chance.gauss(1, 0.03))

    def _weighs_on(self, day: int) -> bool:
        if self._is_paused(day) or any(gone <= day <= back for gone, back in self.sketch.away):
            return False
        if self._date(day) == self.now.astimezone(self.zone).date():
            return False  # today is left to whoever tries the demo
        return day % self.sketch.every_days == 0

    def _weigh(self, day: int) -> None:
        near = self.sketch.in_pounds_near_day
        slip = near is not None and day >= near and not self.slipped
        self.slipped = self.slipped or slip
        phone = self.phones[self.weighed % len(self.phones)]
        self.weighed += 1
        reading = {
            "weight_g": self.body.reading_g(in_pounds=slip),
            "scale": self.sketch.scale,
            "method": self.sketch.method,
            "note": self.sketch.notes.get(str(day), ""),
        }
        self.weigh_in = phone.send("weigh_in.add", reading, at=self._at(day, MORNING), dog=self.dog)
        if day == 0 and self.sketch.looks:
            self._look(day, self.sketch.looks)

    def _look(self, day: int, looks: list[str]) -> None:
        seen = dict(zip(("ribs", "waist", "tuck"), looks, strict=True)) | {"muscle": "normal"}
        at = self._at(day, MORNING) + timedelta(minutes=4)
        self.check = self.phones[0].send("check.add", seen, at=at, dog=self.dog)

    def _look_again(self, day: int) -> None:
        for on, looks in self.sketch.looks_later:
            if on == day:
                self._look(day, looks)

    def _plan(self, day: int) -> None:
        wish = {
            "weigh_in_id": str(self.weigh_in),
            "check_id": str(self.check),
            "intake": self.sketch.intake,
            "foods": [
                {"food_id": str(self.foods[name]), "share": share}
                for name, share in self.sketch.foods.items()
            ],
            "treat_kcal": None,
            "cup_ml": 250,
        }
        at = self._at(day, EVENING)
        plan = self.phones[0].send("plan.request", wish, at=at, dog=self.dog)
        self._work(at)
        if not self.sketch.waits_for_yes:
            self._accept(plan, None, at + timedelta(minutes=6))

    def _accept(self, plan: uuid.UUID, review: uuid.UUID | None, at: datetime) -> None:
        self.lead.send(
            "plan.accept",
            {"review_id": str(review) if review else None},
            at=at,
            dog=self.dog,
            entity=plan,
            base=changes.stamp_of(plan).version,
        )

    def _answer(self, day: int) -> None:
        """Take what the newest review proposes, as often as this dog's people do."""
        review = newest_review(Dog.objects.get(pk=self.dog))
        if review is None or self.taken >= self.sketch.takes_changes or not _is_open(review):
            return
        self.taken += 1
        self._accept(review.plan_id, review.pk, self._at(day, EVENING) + timedelta(minutes=20))

    def _is_paused(self, day: int) -> bool:
        return bool(self.sketch.paused) and day > (self.sketch.paused or {})["day"]

    def _pause(self, day: int) -> None:
        paused: dict[str, Any] = self.sketch.paused or {}
        if paused.get("day") != day:
            return
        rest = {"reason": paused["reason"], "since": self._date(day).isoformat()}
        rest["note"] = paused["note"]
        at = self._at(day, EVENING)
        self.lead.send("dog.pause", {"paused": rest}, at=at, dog=self.dog, entity=self.dog)

    def _work(self, at: datetime) -> int:
        """What a worker would have done by then; how many jobs there were."""
        waiting = list(jobs.waiting(now=at).values_list("pk", flat=True))
        for job_id in waiting:
            run.run(job_id, clock=lambda: at)
        return len(waiting)


def _is_open(review: WeeklyReview) -> bool:
    return review.proposal is not None and review.answer is None
