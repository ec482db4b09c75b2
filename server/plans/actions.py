"""Plans are asked for, worked out by a worker, and laid to rest."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from server.errors import BadInput, Rejected
from server.households.models import Dog, Person
from server.ledger import changes, jobs
from server.ledger.changes import Stamp
from server.ledger.turns import together
from server.plans import queries
from server.plans.documents import plan_document
from server.plans.foods import facts_of
from server.plans.models import Food, Plan
from server.plans.publishing import publish_plan
from server.plans.rations import with_ids
from server.records.actions import require_open
from server.records.models import ConditionCheck, WeighIn
from server.records.queries import stands
from server.science.foods import check_shares, energy_basis

PROBLEM_LENGTH = 200


@together
def request_plan(
    *,
    id: uuid.UUID,
    dog: Dog,
    request: dict[str, Any],
    local_date: date,
    by: Person,
    now: datetime,
) -> tuple[Plan, Stamp | None]:
    """Ask for a plan; a worker answers. The stamp is None where this very wish is known already.

    request: weigh_in_id, check_id, intake, foods, treat_kcal, cup_ml, as a phone sends them.
    Raises Rejected, or BadInput with the field, where it names something that cannot be used.
    """
    if not changes.is_free(id):
        known = Plan.objects.filter(pk=id, dog=dog).first()
        if known and (known.request, known.local_date) == (request, local_date):
            return known, None
        raise changes.id_taken()
    require_open(dog)
    require_awake(dog)
    weigh_in = _usable(WeighIn, dog, request["weigh_in_id"], local_date, "weigh_in_id")
    _usable(ConditionCheck, dog, request["check_id"], local_date, "check_id")
    _check_foods(dog, request["foods"])
    plan = Plan.objects.create(
        id=id,
        dog=dog,
        request=request,
        requested_by=by,
        requested_at=now,
        local_date=local_date,
        start_kg=weigh_in.weight_g / 1000,
    )
    jobs.ask("plan", str(id), now=now)
    return plan, publish_plan(plan, dog)


def require_awake(dog: Dog) -> None:
    """Raise Rejected "gone" for a paused dog: its plan rests until the pause ends."""
    if dog.paused:
        raise Rejected("gone", f"{dog.name} is paused. End the pause first.")


def _usable(
    model: type[WeighIn] | type[ConditionCheck], dog: Dog, id: str, as_of: date, field: str
) -> Any:
    entry = model._default_manager.filter(pk=id, dog=dog).first()
    if entry is None:
        raise Rejected("bad_value", f"{field} must name an entry of this dog", field)
    if not stands(entry):
        raise Rejected("gone", f"{field} names an entry that was taken back or corrected", field)
    if entry.local_date > as_of:
        raise Rejected(
            "bad_value", f"{field} must name an entry of {as_of} or before, the plan's day", field
        )
    return entry


def _check_foods(dog: Dog, wanted: list[dict[str, Any]]) -> None:
    rows = Food.objects.filter(household_id=dog.household_id).in_bulk(
        [uuid.UUID(item["food_id"]) for item in wanted]
    )
    foods = [rows.get(uuid.UUID(item["food_id"])) for item in wanted]
    for place, (food, item) in enumerate(zip(foods, wanted, strict=True)):
        path = f"foods[{place}]"
        if food is None:
            raise BadInput(f"{path}.food_id", "must name a food of the dog's household")
        if food.retired:
            raise Rejected("gone", f"{food.name} was put away. Choose another food.", path)
        if (food.role == "meal") != (item["share"] > 0):
            raise BadInput(f"{path}.share", "must be above 0 for a meal food, 0 for others")
    known = [food for food in foods if food]
    if len({food.name for food in known}) < len(known):
        raise BadInput("foods", "must have different names, so that nobody mixes them up")
    facts = tuple(
        facts_of(food, share=item["share"]) for food, item in zip(known, wanted, strict=True)
    )
    check_shares(facts)
    energy_basis(facts)


@together
def keep_plan_result(
    plan_id: uuid.UUID, result: dict[str, Any], now: datetime, *, document: dict[str, Any]
) -> Plan:
    """Keep what the science says to a request: a proposal, or a refusal with its reason.

    document: what the science was asked. Where the facts have changed since, the answer is about
    another dog, as it were: it is thrown away and asked for again. A plan that nobody waits for
    any more is left as it is.
    """
    changes.hold()
    plan = Plan.objects.select_related("dog", "requested_by").get(pk=plan_id)
    if plan.state != Plan.State.WAITING:
        return plan
    if plan_document(plan) != document:
        jobs.ask("plan", str(plan_id), now=now)
        return plan
    refused = result["refused"] is not None
    plan.state = Plan.State.REFUSED if refused else Plan.State.PROPOSED
    plan.kind = "hold" if refused else "reduce"
    plan.result = result
    plan.problem = ""
    plan.computed_at = now
    plan.target_kg = result["target_kg"]
    plan.first_goal_kg = result["first_goal_kg"]
    plan.ration = with_ids(plan, result["ration"])
    plan.treat_kcal_max = result["treat_kcal_max"]
    plan.save()
    publish_plan(plan, plan.dog)
    return plan


@together
def keep_plan_problem(plan_id: uuid.UUID, problem: str, now: datetime) -> None:
    """Tell a waiting person, in words, that no plan could be worked out."""
    changes.hold()
    plan = Plan.objects.select_related("dog", "requested_by").get(pk=plan_id)
    if plan.state == Plan.State.WAITING:
        plan.problem = problem[:PROBLEM_LENGTH]
        plan.save(update_fields=["problem"])
        publish_plan(plan, plan.dog)


@together
def end_plan(*, plan: Plan, dog: Dog) -> Stamp:
    """End a plan that is fed, rests or is only proposed. Raises Rejected "gone" for any other."""
    if plan.state not in (*queries.IN_FORCE, *queries.OPEN):
        raise Rejected("gone", "This plan is over already.")
    return _end(plan, dog)


def end_others(plan: Plan, dog: Dog) -> None:
    """End whatever else the dog is fed by, and proposals made from older facts."""
    states = (*queries.IN_FORCE, *queries.OPEN)
    for other in Plan.objects.filter(dog=dog, state__in=states).exclude(pk=plan.pk):
        _end(other, dog)


def _end(plan: Plan, dog: Dog) -> Stamp:
    plan.state = Plan.State.ENDED
    plan.save(update_fields=["state"])
    return publish_plan(plan, dog)


def ask_review(dog: Dog, *, now: datetime) -> None:
    """Ask for a review where a plan is in force."""
    if Plan.objects.filter(dog=dog, state__in=queries.IN_FORCE).exists():
        jobs.ask("review", str(dog.pk), now=now)


@together
def dog_changed(dog: Dog, *, now: datetime) -> None:
    """Judge again what was judged by facts that have changed.

    A paused or closed dog's plan rests from this moment; the end of the pause asks for a review,
    which wakes the plan unless a gate is shut. A proposal is worked out anew before anyone may
    take it.
    """
    plan = queries.plan_in_force(dog)
    if plan and (dog.paused or dog.closed):
        suspend(plan, dog)
    elif plan:
        jobs.ask("review", str(dog.pk), now=now)
    for wish in Plan.objects.filter(dog=dog, state__in=queries.OPEN):
        jobs.ask("plan", str(wish.pk), now=now)
        if wish.state == Plan.State.PROPOSED:
            wish.state = Plan.State.WAITING
            wish.save(update_fields=["state"])
            publish_plan(wish, dog)


def suspend(plan: Plan, dog: Dog) -> None:
    """Let a plan rest."""
    if plan.state == Plan.State.ACTIVE:
        plan.state = Plan.State.SUSPENDED
        plan.save(update_fields=["state"])
        publish_plan(plan, dog)


@together
def entries_withdrawn(dog: Dog, ids: Iterable[uuid.UUID]) -> None:
    """End proposals that were asked for with entries that no longer stand."""
    gone = {str(id) for id in ids}
    for plan in Plan.objects.filter(dog=dog, state__in=queries.OPEN):
        if gone & {plan.request["weigh_in_id"], plan.request["check_id"]}:
            plan.problem = "The weigh-in or check it was made from was taken back or corrected."
            plan.save(update_fields=["problem"])
            _end(plan, dog)
