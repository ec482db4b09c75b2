"""Tells phones how plans and reviews stand."""

from __future__ import annotations

from server.households.actions import publish_about
from server.households.models import Dog
from server.ledger.changes import Stamp
from server.plans import queries
from server.plans.models import Plan, WeeklyReview


def publish_plan(plan: Plan, dog: Dog) -> Stamp:
    """Tell how a plan stands, with its changes."""
    return publish_about(dog, kind="plan", entity_id=plan.pk, data=queries.plan_row(plan))


def publish_review(review: WeeklyReview, dog: Dog) -> Stamp:
    """Tell how a review stands."""
    return publish_about(dog, kind="review", entity_id=review.pk, data=queries.review_row(review))
