"""Operations on plans. An answer counts only for what the person saw: its version is checked."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, timedelta
from typing import Any

from server.errors import NotAllowed, Rejected
from server.households.access import Door, dog_for
from server.households.zones import day_in
from server.ledger import changes
from server.plans import actions, answers
from server.plans.models import Plan
from server.plans.queries import plan_for
from server.sync.ops import Op, Outcome, Who, applied
from server.sync.plan_data import Nothing, PlanAnswer, PlanDecline, PlanRequest

SEEN = "state"  # the key of `base` that holds the plan's version


def request(op: Op[PlanRequest], who: Who) -> Outcome:
    """A wish for a plan."""
    dog = dog_for(who.person, op.dog_id, need="log").dog
    assert op.on is not None  # the kind requires local_date
    plan, stamp = actions.request_plan(
        id=op.entity_id,
        dog=dog,
        request=op.data.model_dump(mode="json"),
        local_date=op.on,
        by=who.person,
        now=who.now,
    )
    if stamp is None:
        return Outcome("duplicate", changes.stamp_of(plan.pk).seq)
    return applied(stamp)


def accept(op: Op[PlanAnswer], who: Who) -> Outcome:
    """A yes to a plan, or to the change that a review proposes."""
    plan, door = _answerable(op, who)
    if SEEN not in op.base:
        raise Rejected("bad_op", "base.state must be given: the version you saw", "base.state")
    stamp = answers.accept(
        plan=plan,
        dog=door.dog,
        review_id=op.data.review_id,
        base=op.base[SEEN],
        on=_day(op, who, plan),
        by=who.person,
        now=who.now,
    )
    return applied(stamp)


def decline(op: Op[PlanDecline], who: Who) -> Outcome:
    """A no."""
    plan, door = _answerable(op, who)
    stamp = answers.decline(
        plan=plan,
        dog=door.dog,
        review_id=op.data.review_id,
        base=op.base.get(SEEN),
        on=_day(op, who, plan),
        reason=op.data.reason,
        by=who.person,
        now=who.now,
    )
    return applied(stamp)


def end(op: Op[Nothing], who: Who) -> Outcome:
    """The end of a plan."""
    plan, door = plan_for(who.person, op.entity_id, need="lead")
    _require_dog(op, door.dog.pk)
    return applied(actions.end_plan(plan=plan, dog=door.dog))


def _answerable(op: Op[Any], who: Who) -> tuple[Plan, Door]:
    plan, door = plan_for(who.person, op.entity_id, need="log")
    if not door.may_accept():
        raise NotAllowed("A lead answers plans of this dog, or lets its carers do so.")
    _require_dog(op, door.dog.pk)
    return plan, door


def _require_dog(op: Op[Any], dog_id: uuid.UUID) -> None:
    if op.dog_id != dog_id:
        raise Rejected("bad_value", "dog_id must be the dog that this plan is for", "dog_id")


def _day(op: Op[Any], who: Who, plan: Plan) -> date:
    """The day the person answered: as their phone says, else where they are.

    A phone whose clock is far off must not start a plan last century: never before the request,
    never after tomorrow.
    """
    milliseconds = int(op.clock.value[:13])
    instant = datetime.fromtimestamp(milliseconds / 1000, UTC)
    said = op.on or day_in(who.person.tz, instant)
    latest = who.now.date() + timedelta(days=1)
    return max(plan.local_date, min(said, latest))
