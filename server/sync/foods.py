"""Operations on a household's foods."""

from __future__ import annotations

from typing import Any

from server.errors import Rejected
from server.households.access import household_for
from server.ledger import changes
from server.plans import foods
from server.plans.models import Food
from server.sync.food_data import FoodAdd, FoodRetire, FoodVersion
from server.sync.ops import Op, Outcome, Who, applied, superseded


def add(op: Op[FoodAdd], who: Who) -> Outcome:
    """A food."""
    household_for(who.person, op.data.household_id, need="lead")
    return _keep(op, who, replaces=None)


def version(op: Op[FoodVersion], who: Who) -> Outcome:
    """A changed recipe: a new row in the old one's household."""
    old = foods.food_for(who.person, op.data.replaces, need="lead")
    if old.household_id != op.data.household_id:
        raise Rejected(
            "bad_value",
            "household_id must be the household of the food it replaces",
            "household_id",
        )
    return _keep(op, who, replaces=old)


def retire(op: Op[FoodRetire], who: Who) -> Outcome:
    """A food put away, or taken out again."""
    food = foods.food_for(who.person, op.entity_id, need="lead")
    stamp = foods.retire_food(food=food, retired=op.data.retired, hlc=op.clock.value)
    if stamp is None:
        return superseded(changes.stamp_of(food.pk), {"retired": food.retired})
    return applied(stamp)


def _keep(op: Op[Any], who: Who, *, replaces: Food | None) -> Outcome:
    facts = op.data.model_dump(exclude={"household_id", "replaces"})
    food, stamp = foods.add_food(
        id=op.entity_id,
        household_id=op.data.household_id,
        facts=facts,
        by=who.person,
        now=who.now,
        replaces=replaces,
    )
    if stamp is None:
        return Outcome("duplicate", changes.stamp_of(food.pk).seq)
    return applied(stamp)
