"""Weekly reviews: one per dog and ISO week, refreshed by new facts within the week."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from typing import Any

from server.households.ids import uuid7
from server.households.models import Dog
from server.ledger import changes
from server.ledger.turns import together
from server.plans import queries
from server.plans.actions import suspend
from server.plans.models import Plan, WeeklyReview
from server.plans.publishing import publish_plan, publish_review


def iso_week(day: date) -> str:
    """The ISO 8601 week a day belongs to, as 2026-W10."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


@together
def keep_review(
    dog_id: uuid.UUID,
    as_of: date,
    result: dict[str, Any],
    proposal: dict[str, Any] | None,
    now: datetime,
) -> WeeklyReview | None:
    """Keep the judgement of a dog's week. None: there is no plan in force, or the dog rests.

    result: the science's answer. proposal: kcal_per_day, ration and treat_kcal_max of the change
    it asks a person for, or None.
    Within a week there is one row. It is left alone where nothing changed, and a proposal that
    was answered keeps its answer unless another energy is proposed.
    """
    changes.hold()
    dog = queries.dog_to_review(dog_id)
    plan = queries.plan_in_force(dog) if dog else None
    if dog is None or plan is None:
        return None
    _rest_or_wake(plan, dog, rests=result["decision"]["action"] == "suspended")
    if proposal and _accepted_already(plan, as_of, proposal):
        proposal = None
    review = WeeklyReview.objects.filter(dog=dog, week=iso_week(as_of)).first()
    if review is None or review.plan_id != plan.pk:
        return _keep_new(review, plan, dog, as_of, result, proposal, now)
    if review.answer is not None and not _another(review.proposal, proposal):
        proposal = review.proposal
    if (review.as_of, review.result, review.proposal) == (as_of, result, proposal):
        return review
    if _another(review.proposal, proposal):
        review.answer = None
        _bump(plan, dog)
    review.as_of, review.result, review.proposal = as_of, result, proposal
    review.computed_at = now
    review.save()
    publish_review(review, dog)
    return review


def _keep_new(
    of_another_plan: WeeklyReview | None,
    plan: Plan,
    dog: Dog,
    as_of: date,
    result: dict[str, Any],
    proposal: dict[str, Any] | None,
    now: datetime,
) -> WeeklyReview:
    # A plan that started this week takes the week over: two reviews would be two proposals.
    review = of_another_plan or WeeklyReview(id=uuid7(now), dog=dog, week=iso_week(as_of))
    review.plan, review.as_of, review.computed_at = plan, as_of, now
    review.result, review.proposal, review.answer = result, proposal, None
    review.save()
    publish_review(review, dog)
    if proposal:
        _bump(plan, dog)
    return review


def _accepted_already(plan: Plan, as_of: date, proposal: dict[str, Any]) -> bool:
    # The second step of a start begins on the dog's day, which may come before the step's job.
    fed = queries.energy_on(plan, as_of)
    return fed is not None and fed.kcal_per_day == proposal["kcal_per_day"]


def _another(standing: dict[str, Any] | None, proposed: dict[str, Any] | None) -> bool:
    """Whether a person is asked for another energy than before."""
    if proposed is None:
        return False
    return standing is None or standing["kcal_per_day"] != proposed["kcal_per_day"]


def _bump(plan: Plan, dog: Dog) -> None:
    """Give the plan a new version: a yes to what was proposed before is no yes to this."""
    publish_plan(plan, dog)


def _rest_or_wake(plan: Plan, dog: Dog, *, rests: bool) -> None:
    if rests:
        suspend(plan, dog)
    elif plan.state == Plan.State.SUSPENDED:
        plan.state = Plan.State.ACTIVE
        plan.save(update_fields=["state"])
        publish_plan(plan, dog)
