"""The kinds of work: read the facts, ask the science, keep its answer. Each may run twice.

The documents are those of the command line, so a vet who runs it gets the worker's numbers.
"""

from __future__ import annotations

import logging
import uuid
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from server.breed_facts import breed_facts
from server.errors import BadInput
from server.households.models import Dog
from server.households.zones import day_in
from server.plans.actions import keep_plan_problem, keep_plan_result
from server.plans.answers import take_step
from server.plans.documents import plan_document, review_document
from server.plans.models import Plan
from server.plans.queries import dog_to_review, plan_in_force
from server.plans.rations import proposal_for
from server.plans.reviews import keep_review
from server.records.models import WeighIn
from server.records.queries import standing
from server.science.cases import plan_case, review_case
from server.science.plan import make_plan
from server.science.review import review_week

Work = Callable[[str, datetime], None]

OUR_FAULT = (
    "No plan could be worked out because of a fault on our side; "
    "the server's log says more. Ask for the plan again later."
)

log = logging.getLogger(__name__)


def work_out_plan(key: str, now: datetime) -> None:
    """Answer one request for a plan. key: the plan's id."""
    plan = Plan.objects.select_related("dog").filter(pk=uuid.UUID(key)).first()
    if plan is None or plan.state != Plan.State.WAITING:
        return
    document = plan_document(plan)
    try:
        case = plan_case(document, breed_facts)
        result = make_plan(case).as_json()
    except BadInput as error:
        # What was entered does not go together; trying again would not help.
        log.warning("Plan %s cannot be worked out: %s", key, error)
        keep_plan_problem(plan.pk, f"{error.field} {error.message}", now)
        return
    keep_plan_result(plan.pk, result, now, document=document)


def review_dog(key: str, now: datetime) -> None:
    """Judge a dog's week as of its own day. key: the dog's id."""
    dog = dog_to_review(uuid.UUID(key))
    if dog is None:
        return
    as_of = its_day(dog, now)
    result = review_week(review_case(review_document(dog, as_of), breed_facts)).as_json()
    keep_review(dog.pk, as_of, result, _proposal(dog, result), now)


def its_day(dog: Dog, now: datetime) -> date:
    """The day it is where the dog was last weighed."""
    last = standing(WeighIn, dog).last()
    return day_in(last.tz if last else "UTC", now)


def _proposal(dog: Dog, result: dict[str, Any]) -> dict[str, Any] | None:
    """The ration for another energy than the one in force, where the review asks for one."""
    plan, kcal = plan_in_force(dog), result["decision"]["kcal_per_day"]
    if plan is None or kcal is None or kcal == plan.kcal_per_day:
        return None
    return proposal_for(plan, kcal)


def take_due_step(key: str, now: datetime) -> None:
    """Feed the second step of a start that goes down in two. key: the plan's id."""
    take_step(uuid.UUID(key), now)


def _tell_of_failed_plan(key: str, now: datetime) -> None:
    keep_plan_problem(uuid.UUID(key), OUR_FAULT, now)


WORK: dict[str, Work] = {"plan": work_out_plan, "review": review_dog, "step": take_due_step}
# Who waits for an answer is told when there will be none; a review is asked for again next week.
GIVEN_UP: dict[str, Work] = {"plan": _tell_of_failed_plan}
