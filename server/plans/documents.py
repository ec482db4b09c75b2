"""What the science is asked, in the very documents that the command line reads."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from server.errors import BadInput
from server.households.models import Dog
from server.households.queries import grown_on_phone
from server.plans import queries
from server.plans.foods import in_order
from server.plans.models import Food, Plan
from server.records.models import ConditionCheck, VetWord, WeighIn
from server.records.queries import standing


def plan_document(plan: Plan) -> dict[str, Any]:
    """The `tuckline plan` document of a request, as of the day it was made."""
    request, as_of = plan.request, plan.local_date
    weigh_in = WeighIn.objects.get(pk=request["weigh_in_id"])
    check = ConditionCheck.objects.get(pk=request["check_id"])
    foods = in_order(item["food_id"] for item in request["foods"])
    return {
        "as_of": as_of.isoformat(),
        "dog": _dog(plan.dog),
        "weight_kg": weigh_in.weight_g / 1000,
        "condition": _condition(check),
        "intake": request["intake"],
        "foods": [
            _food(food, item["share"]) for food, item in zip(foods, request["foods"], strict=True)
        ],
        "treats": request["treat_kcal"],
        "vet_word": _vet_words(plan.dog, as_of),
        "cup_ml": request["cup_ml"],
    }


def review_document(dog: Dog, as_of: date) -> dict[str, Any]:
    """The `tuckline review` document of a dog's plan in force.

    Facts after as_of are left out, and so are entries that were taken back, corrected, or that a
    person said not to use. A reading that a person vouched for has ``"use": true``. The plan's
    energy is that of its start, as the science wants it; what came after stands in `changes`.
    Raises BadInput where no plan is in force.
    """
    plan = queries.plan_in_force(dog)
    if plan is None or plan.accepted_on is None:
        raise BadInput("plan", "must be in force")
    start, *since = plan.changes.filter(on__lte=max(as_of, plan.accepted_on)).order_by("on", "id")
    check = standing(ConditionCheck, dog).filter(local_date__lte=as_of).last()
    return {
        "as_of": as_of.isoformat(),
        "dog": _dog(dog),
        "condition": _condition(check) if check else None,
        "vet_word": _vet_words(dog, as_of),
        "plan": {
            "kind": plan.kind,
            "started_on": plan.accepted_on.isoformat(),
            "start_kg": plan.start_kg,
            "target_kg": plan.target_kg,
            "first_goal_kg": plan.first_goal_kg,
            "kcal_per_day": start.kcal_per_day,
            "changes": [
                {
                    "on": row.on.isoformat(),
                    "kcal_per_day": row.kcal_per_day,
                    "answer": row.answer,
                }
                for row in since
            ],
        },
        "weigh_ins": _weigh_ins(dog, as_of),
        "feedings": [],
    }


def _dog(dog: Dog) -> dict[str, Any]:
    grown = grown_on_phone(dog.grown)
    if dog.birth_date is None and grown is None:
        grown = "unknown"  # nobody said anything: the careful reading
    return {
        "name": dog.name,
        "sex": dog.sex,
        "neutered": dog.neutered,
        "birth_date": dog.birth_date.isoformat() if dog.birth_date else None,
        "grown": grown,
        "breed": dog.breed,
        "frame": dog.frame,
        "coat": dog.coat,
        "reproduction": dog.reproduction,
        "conditions": dog.conditions,
        "lean_weight_kg": dog.lean_weight_g / 1000 if dog.lean_weight_g else None,
        "adult_weight_kg": dog.adult_weight_g / 1000 if dog.adult_weight_g else None,
    }


def _condition(check: ConditionCheck) -> dict[str, Any]:
    found: dict[str, Any] = {"on": check.local_date.isoformat(), "muscle": check.muscle}
    if check.score is not None:
        return {**found, "score": check.score}
    return {**found, "ribs": check.ribs, "waist": check.waist, "tuck": check.tuck}


def _food(food: Food, share: float) -> dict[str, Any]:
    facts: dict[str, Any] = {
        "name": food.name,
        "role": food.role,
        "kcal_per_kg": food.kcal_per_kg,
        "label": food.label,
        "grams_per_cup": food.grams_per_cup,
        "purpose": food.purpose,
    }
    return facts | ({"share": share} if food.role == "meal" else {})


def _vet_words(dog: Dog, as_of: date) -> list[dict[str, Any]]:
    words = []
    for word in VetWord.objects.filter(dog=dog, on__lte=as_of).order_by("on", "id"):
        ends = [word.until] if word.until else []
        if word.ended_on:
            ends.append(word.ended_on - timedelta(days=1))  # its last day was the day before
        until = min(ends, default=None)
        if until is not None and until < word.on:
            continue
        words.append(
            {
                "on": word.on.isoformat(),
                "by": word.by,
                "covers": word.covers,
                "until": until.isoformat() if until else None,
            }
        )
    return words


def _weigh_ins(dog: Dog, as_of: date) -> list[dict[str, Any]]:
    rows = standing(WeighIn, dog).filter(local_date__lte=as_of).exclude(use=False)
    return [
        {
            "on": row.local_date.isoformat(),
            "kg": row.weight_g / 1000,
            "scale": row.scale,
            **({"use": True} if row.use else {}),
        }
        for row in rows
    ]
