"""A person's answers to what is proposed: a plan, or a change of its ration."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from server.errors import Rejected
from server.households.models import Dog, Person
from server.ledger import changes, jobs
from server.ledger.changes import Stamp
from server.ledger.turns import together
from server.plans import queries
from server.plans.actions import ask_review, end_others, require_awake
from server.plans.models import Plan, PlanChange, WeeklyReview
from server.plans.publishing import publish_plan, publish_review
from server.plans.rations import proposal_for
from server.records.actions import require_open

STEPPING_UP = ("reached", "step_up")  # actions of a review after which the reduction is over


class Stale(Rejected):
    """The answer was given to something that has changed since. winner: how it stands now."""

    def __init__(self, text: str, winner: dict[str, Any]) -> None:
        super().__init__("stale", text)
        self.winner = winner


@together
def accept(
    *,
    plan: Plan,
    dog: Dog,
    review_id: uuid.UUID | None,
    base: int,
    on: date,
    by: Person,
    now: datetime,
) -> Stamp:
    """Start a proposed plan or, with a review, take the ration change that it proposes.

    base: version of the plan that the person saw. on: the day they said yes.
    Raises Stale where the plan has changed since, Rejected "gone" where it is over or rests.
    """
    require_open(dog)
    require_awake(dog)
    _require_current(plan, base)
    if review_id is None:
        stamp = _start(plan, dog, on, by, now)
    else:
        review, proposal = _proposing(plan, dog, review_id)
        stamp = _take(review, proposal, plan, dog, on, by, now)
    ask_review(dog, now=now)
    return stamp


@together
def decline(
    *,
    plan: Plan,
    dog: Dog,
    review_id: uuid.UUID | None,
    base: int | None,
    on: date,
    reason: str,
    by: Person,
    now: datetime,
) -> Stamp:
    """Say no to a plan, or to the ration change that a review proposes. Raises as `accept`."""
    require_open(dog)
    if base is not None:
        _require_current(plan, base)
    if review_id is None:
        _require_proposed(plan)
        plan.state = Plan.State.DECLINED
        plan.save(update_fields=["state"])
        return publish_plan(plan, dog)
    review, proposal = _proposing(plan, dog, review_id)
    _answer(review, dog, "declined")
    PlanChange.objects.create(
        plan=plan,
        on=on,
        kcal_per_day=proposal["kcal_per_day"],
        answer="declined",
        review=review,
        by=by,
        reason=reason,
        answered_at=now,
    )
    ask_review(dog, now=now)
    return publish_plan(plan, dog)


def _require_current(plan: Plan, base: int) -> None:
    if changes.stamp_of(plan.pk).version != base:
        raise Stale(
            "This plan has changed since you saw it. Look at it again, then decide.",
            changes.as_published(plan.pk),
        )


def _require_proposed(plan: Plan) -> None:
    if plan.state == Plan.State.WAITING:
        raise Stale("This plan is being worked out.", changes.as_published(plan.pk))
    if plan.state != Plan.State.PROPOSED:
        raise Rejected("gone", "This plan is no longer proposed.")


def _proposing(plan: Plan, dog: Dog, review_id: uuid.UUID) -> tuple[WeeklyReview, dict[str, Any]]:
    review = queries.newest_review(dog)
    if review is None or (review.pk, review.plan_id) != (review_id, plan.pk):
        raise Rejected("gone", "This review is not the newest one of the plan.", "review_id")
    if plan.state != Plan.State.ACTIVE:
        raise Rejected("gone", "This plan rests or is over, so its ration stays as it is.")
    if review.proposal is None or review.answer is not None:
        raise Rejected("gone", "This review proposes no change that is still open.", "review_id")
    return review, review.proposal


def _start(plan: Plan, dog: Dog, on: date, by: Person, now: datetime) -> Stamp:
    _require_proposed(plan)
    end_others(plan, dog)
    plan.state = Plan.State.ACTIVE
    plan.accepted_on = on
    result = plan.result or {}
    steps = result["steps"] or [
        {"on": plan.local_date.isoformat(), "kcal_per_day": result["kcal_per_day"]}
    ]
    # The steps were counted from the day of the request; the dog starts on the day of the yes.
    late = on - date.fromisoformat(steps[0]["on"])
    for step in steps:
        day = date.fromisoformat(step["on"]) + late
        _accepted(plan, day, step["kcal_per_day"], None, by, now)
        if day > on:
            due_at = datetime.combine(day, time(), UTC)
            jobs.ask("step", str(plan.pk), now=now, due_at=due_at)
    _feed(plan, proposal_for(plan, steps[0]["kcal_per_day"]))
    return publish_plan(plan, dog)


def _take(
    review: WeeklyReview,
    proposal: dict[str, Any],
    plan: Plan,
    dog: Dog,
    on: date,
    by: Person,
    now: datetime,
) -> Stamp:
    _answer(review, dog, "accepted")
    # What was to follow by itself follows no more: the review has judged since.
    plan.changes.filter(answer="accepted", on__gt=on).delete()
    _accepted(plan, on, proposal["kcal_per_day"], review, by, now)
    if review.result["decision"]["action"] in STEPPING_UP:
        plan.kind = "step_up"
    _feed(plan, proposal)
    return publish_plan(plan, dog)


def _answer(review: WeeklyReview, dog: Dog, answer: str) -> None:
    review.answer = answer
    review.save(update_fields=["answer"])
    publish_review(review, dog)


def _accepted(
    plan: Plan, on: date, kcal: float, review: WeeklyReview | None, by: Person, now: datetime
) -> None:
    PlanChange.objects.create(
        plan=plan,
        on=on,
        kcal_per_day=kcal,
        answer="accepted",
        review=review,
        by=by,
        answered_at=now,
    )


def _feed(plan: Plan, proposal: dict[str, Any]) -> None:
    plan.kcal_per_day = proposal["kcal_per_day"]
    plan.ration = proposal["ration"]
    plan.treat_kcal_max = proposal["treat_kcal_max"]
    plan.save()


@together
def take_step(plan_id: uuid.UUID, now: datetime) -> None:
    """Feed what was accepted for today: the second step of a start that goes down in two.

    May run twice or late. The dog's day may begin before or after ours, so a step that is due
    within a day counts.
    """
    changes.hold()
    plan = Plan.objects.select_related("dog", "requested_by").get(pk=plan_id)
    if plan.state not in queries.IN_FORCE:
        return
    change = queries.energy_on(plan, (now + timedelta(hours=12)).date())
    if change and change.kcal_per_day != plan.kcal_per_day:
        _feed(plan, proposal_for(plan, change.kcal_per_day))
        publish_plan(plan, plan.dog)
