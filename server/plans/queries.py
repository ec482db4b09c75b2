"""Plans and reviews as phones see them, and the doors to them."""

from __future__ import annotations

import uuid
from datetime import date
from typing import Any

from server.errors import NotFound
from server.households.access import Door, Need, dog_for
from server.households.models import Dog, Person
from server.households.queries import by
from server.plans.models import Plan, PlanChange, WeeklyReview

IN_FORCE = (Plan.State.ACTIVE, Plan.State.SUSPENDED)
OPEN = (Plan.State.WAITING, Plan.State.PROPOSED)


def plan_for(person: Person, plan_id: uuid.UUID, *, need: Need) -> tuple[Plan, Door]:
    """A plan and the door to its dog. Raises NotFound, or NotAllowed below need."""
    plan = Plan.objects.filter(pk=plan_id).select_related("requested_by").first()
    if plan is None:
        raise NotFound("There is no such plan for you.", "entity_id")
    try:
        return plan, dog_for(person, plan.dog_id, need=need)
    except NotFound:
        raise NotFound("There is no such plan for you.", "entity_id") from None


def plan_in_force(dog: Dog) -> Plan | None:
    """The dog's one plan that is fed, or that rests."""
    return Plan.objects.filter(dog=dog, state__in=IN_FORCE).first()


def dog_to_review(dog_id: uuid.UUID) -> Dog | None:
    """The dog, if it has a plan in force and nobody asked for peace: not paused, not closed."""
    dogs = Dog.objects.filter(plans__state__in=IN_FORCE, paused__isnull=True, closed__isnull=True)
    return dogs.filter(pk=dog_id).first()


def newest_review(dog: Dog) -> WeeklyReview | None:
    """The review that still counts; only its proposal may be taken."""
    return WeeklyReview.objects.filter(dog=dog).order_by("-week").first()


def energy_on(plan: Plan, day: date) -> PlanChange | None:
    """The accepted energy that is fed on a day, None before the start."""
    accepted = plan.changes.filter(answer="accepted", on__lte=day)
    return accepted.order_by("on", "id").last()


def plan_row(plan: Plan) -> dict[str, Any]:
    """A plan as phones keep it."""
    return {
        "state": plan.state,
        "kind": plan.kind,
        "requested_at": plan.requested_at.isoformat(),
        "by": by(plan.requested_by),
        "local_date": plan.local_date.isoformat(),
        "request": plan.request,
        "result": plan.result,
        "problem": plan.problem or None,
        "computed_at": plan.computed_at.isoformat() if plan.computed_at else None,
        "start_kg": plan.start_kg,
        "target_kg": plan.target_kg,
        "first_goal_kg": plan.first_goal_kg,
        "changes": [
            {
                "on": change.on.isoformat(),
                "kcal_per_day": change.kcal_per_day,
                "answer": change.answer,
                "review_id": str(change.review_id) if change.review_id else None,
                "by": by(change.by),
                "reason": change.reason,
            }
            for change in plan.changes.select_related("by").order_by("on", "id")
        ],
        "kcal_per_day": plan.kcal_per_day,
        "ration": plan.ration,
        "treat_kcal_max": plan.treat_kcal_max,
        "accepted_on": plan.accepted_on.isoformat() if plan.accepted_on else None,
    }


def review_row(review: WeeklyReview) -> dict[str, Any]:
    """A weekly review as phones keep it."""
    return {
        "week": review.week,
        "as_of": review.as_of.isoformat(),
        "plan_id": str(review.plan_id),
        "computed_at": review.computed_at.isoformat(),
        "result": review.result,
        "proposal": review.proposal,
        "answer": review.answer,
    }
