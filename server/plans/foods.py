"""Foods of a household: added, changed by a new row, put away. Never edited."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import datetime
from typing import Any, cast

from server.errors import NotFound, Rejected
from server.households.access import Need, household_for
from server.households.models import Person
from server.ledger import changes
from server.ledger.changes import Stamp
from server.ledger.turns import together
from server.plans.models import Food
from server.science.food_energy import Label, check_printed_energy, label_kcal_per_kg
from server.science.foods import FoodFacts, Purpose, Role, energy_basis, kcal_per_kg


def food_for(person: Person, food_id: uuid.UUID, *, need: Need) -> Food:
    """A food of a household of this person. Raises NotFound, or NotAllowed below need."""
    food = Food.objects.filter(pk=food_id).first()
    if food is None:
        raise NotFound("There is no such food for you.", "entity_id")
    try:
        household_for(person, food.household_id, need=need)
    except NotFound:
        raise NotFound("There is no such food for you.", "entity_id") from None
    return food


def facts_of(food: Food, *, share: float = 1.0) -> FoodFacts:
    """A food as the science takes it. share: its part of the meals' energy."""
    return FoodFacts(
        name=food.name,
        role=cast(Role, food.role),
        share=share,
        kcal_per_kg=food.kcal_per_kg,
        label=Label(**food.label) if food.label else None,
        grams_per_cup=food.grams_per_cup,
        purpose=cast(Purpose, food.purpose),
    )


@together
def add_food(
    *,
    id: uuid.UUID,
    household_id: uuid.UUID,
    facts: dict[str, Any],
    by: Person,
    now: datetime,
    replaces: Food | None = None,
) -> tuple[Food, Stamp | None]:
    """Keep a food. The stamp is None where this very one is known already.

    facts: name, role, kcal_per_kg, label, grams_per_cup, purpose.
    Raises Rejected: "id_taken" where the id belongs to something else, "gone" where another food
    already replaces the old one; BadInput for a label that cannot be, or an energy
    that cannot belong to it.
    """
    told = {**facts, "replaces_id": replaces.pk if replaces else None}
    if not changes.is_free(id):
        known = Food.objects.filter(pk=id, household_id=household_id).first()
        if known and all(getattr(known, name) == value for name, value in told.items()):
            return known, None
        raise changes.id_taken()
    if facts["label"]:
        label = Label(**facts["label"])
        label_kcal_per_kg(label)
        if facts["kcal_per_kg"] is not None:
            check_printed_energy(facts["kcal_per_kg"], label)
    if replaces and Food.objects.filter(replaces=replaces).exists():
        raise Rejected(
            "gone", "This food has a newer version already. Change that one.", "replaces"
        )
    food = Food.objects.create(
        id=id, household_id=household_id, added_by=by, received_at=now, **told
    )
    if replaces:
        _publish(replaces, replaced_by=id)
    return food, _publish(food, replaced_by=None)


@together
def retire_food(*, food: Food, retired: bool, hlc: str) -> Stamp | None:
    """Put a food away, or take it out again. Plans that use it go on. None: a later word stands."""
    if hlc <= food.retired_clock:
        return None
    food.retired = retired
    food.retired_clock = hlc
    food.save(update_fields=["retired", "retired_clock"])
    successor = Food.objects.filter(replaces=food).values_list("pk", flat=True).first()
    return _publish(food, replaced_by=successor)


def in_order(food_ids: Iterable[str]) -> list[Food]:
    """Foods in the order of their ids."""
    wanted = [uuid.UUID(text) for text in food_ids]
    rows = Food.objects.in_bulk(wanted)
    return [rows[pk] for pk in wanted]


def food_row(food: Food, *, replaced_by: uuid.UUID | None) -> dict[str, Any]:
    """A food as phones keep it; the printed energy first, else the four-step equation."""
    facts = facts_of(food)
    used = round(kcal_per_kg(facts, energy_basis((facts,))), 1)
    return {
        "household_id": str(food.household_id),
        "name": food.name,
        "role": food.role,
        "kcal_per_kg": food.kcal_per_kg,
        "label": food.label,
        "energy_from": "computed" if food.kcal_per_kg is None else "label",
        "kcal_per_kg_used": used,
        "grams_per_cup": food.grams_per_cup,
        "purpose": food.purpose,
        "replaces": str(food.replaces_id) if food.replaces_id else None,
        "replaced_by": str(replaced_by) if replaced_by else None,
        "retired": food.retired,
    }


def _publish(food: Food, *, replaced_by: uuid.UUID | None) -> Stamp:
    return changes.publish(
        kind="food",
        entity_id=food.pk,
        household_id=food.household_id,
        data=food_row(food, replaced_by=replaced_by),
    )
