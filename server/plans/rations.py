"""Rations of a plan: the science's rows with the ids of our foods."""

from __future__ import annotations

from typing import Any

from server.plans.foods import facts_of, in_order
from server.plans.models import Plan
from server.science.ration import ration_for, treat_budget_kcal


def proposal_for(plan: Plan, kcal_per_day: float) -> dict[str, Any]:
    """What a plan's foods come to at another energy [kcal/day].

    Returns kcal_per_day, ration (grams and cups of each meal food) and treat_kcal_max.
    Raises BadInput where the foods cannot be counted together.
    """
    request = plan.request
    foods = in_order(item["food_id"] for item in request["foods"])
    facts = tuple(
        facts_of(food, share=item["share"])
        for food, item in zip(foods, request["foods"], strict=True)
    )
    rows = ration_for(kcal_per_day, facts, request["treat_kcal"], request["cup_ml"])
    return {
        "kcal_per_day": kcal_per_day,
        "ration": with_ids(plan, [row.as_json() for row in rows]),
        "treat_kcal_max": treat_budget_kcal(kcal_per_day, request["treat_kcal"], facts),
    }


def with_ids(plan: Plan, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The science's ration rows, each with the id of its food. A ration has its meals in order."""
    foods = in_order(item["food_id"] for item in plan.request["foods"])
    meals = [food for food in foods if food.role == "meal"]
    return [{"food_id": str(food.pk), **row} for food, row in zip(meals, rows, strict=bool(rows))]
