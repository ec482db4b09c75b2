"""From the contract's JSON documents to cases: one reading for the command line and the worker."""

from dataclasses import replace
from datetime import date, timedelta
from typing import get_args

from server.errors import BadInput
from server.science.dog_case import (
    DOG_KG,
    BreedFacts,
    FindBreed,
    read_condition,
    read_dog,
    read_vet_words,
)
from server.science.food_case import read_foods, read_old_food
from server.science.food_change import check_change
from server.science.foods import meals
from server.science.plan_case import Intake, PlanCase
from server.science.ration import MOST_KCAL, US_CUP_ML
from server.science.reading import MANY, Fields
from server.science.review_case import (
    Answer,
    Change,
    Feeding,
    PlanFacts,
    PlanKind,
    ReviewCase,
    WeighIn,
)

__all__ = ["BreedFacts", "FindBreed", "plan_case", "review_case"]

# What may be entered. Our guards against slips of the finger, not findings.
INTAKE_KCAL = (10.0, MOST_KCAL)
CUP_ML = (50.0, 1000.0)
TREAT_KCAL = (0.0, 5000.0)
# A reading may be a slip, a tenth or ten times the dog: it is set aside with a word, not refused.
READING_KG = (0.03, 1000.0)
DAY_KCAL = (0.0, 20_000.0)


def plan_case(document: object, find_breed: FindBreed) -> PlanCase:
    """Return the case in a `tuckline plan` document.

    find_breed: gives the facts of a breed of this name, None for a name it does not know.
    Raises BadInput naming the field and what is allowed.
    """
    fields = Fields(document)
    as_of = fields.day("as_of")
    dog = read_dog(fields.inner("dog"), as_of, find_breed)
    weight_kg = fields.number("weight_kg", *DOG_KG, "kg")
    condition, muscle, _ = read_condition(fields.inner("condition"), as_of)
    intake = _intake(fields.inner("intake")) if fields.has("intake") else None
    foods = read_foods(fields)
    treat_kcal = fields.number_or_none("treats", *TREAT_KCAL, "kcal")
    vet_words = read_vet_words(fields, as_of)
    cup_ml = fields.number("cup_ml", *CUP_ML, "mL") if fields.has("cup_ml") else US_CUP_ML
    what_if_kcal = fields.number_or_none("what_if_kcal", *INTAKE_KCAL, "kcal")
    old = read_old_food(fields.inner("changing_from")) if fields.has("changing_from") else None
    if old is not None and meals(foods):
        check_change(old, foods)
    earlier = _earlier(fields, as_of)
    fields.close()
    return PlanCase(
        as_of=as_of,
        dog=dog,
        weight_kg=weight_kg,
        condition=condition,
        muscle=muscle,
        intake=intake,
        foods=foods,
        treat_kcal=treat_kcal,
        vet_words=vet_words,
        cup_ml=cup_ml,
        what_if_kcal=what_if_kcal,
        changing_from=old,
        earlier=earlier,
    )


def _earlier(fields: Fields, as_of: date) -> tuple[tuple[date, float], ...]:
    if not fields.has("earlier_weights"):
        return ()
    weights: dict[date, float] = {}
    for item in fields.objects("earlier_weights"):
        on = item.day("on", latest=as_of - timedelta(days=1))
        if on in weights:
            raise BadInput(item.name("on"), f"must be a day not listed before, not {on}")
        weights[on] = item.number("kg", *DOG_KG, "kg")
        item.close()
    return tuple(sorted(weights.items()))


def _intake(fields: Fields) -> Intake:
    intake = Intake(
        fields.number("kcal_per_day", *INTAKE_KCAL, "kcal"),
        fields.flag("weighed"),
        fields.flag("weight_steady"),
    )
    fields.close()
    return intake


def review_case(document: object, find_breed: FindBreed) -> ReviewCase:
    """Return the case in a `tuckline review` document.

    find_breed: gives the facts of a breed of this name, None for a name it does not know.
    Raises BadInput naming the field and what is allowed.
    """
    fields = Fields(document)
    as_of = fields.day("as_of")
    dog = read_dog(fields.inner("dog"), as_of, find_breed)
    plan = _plan(fields.inner("plan"), as_of)
    case = ReviewCase(
        as_of=as_of,
        dog=dog,
        plan=plan,
        weigh_ins=tuple(_weigh_in(item, as_of) for item in fields.objects("weigh_ins", MANY)),
        feedings=_feedings(fields, as_of),
        vet_words=read_vet_words(fields, as_of),
    )
    if fields.has("condition"):
        condition, muscle, on = read_condition(fields.inner("condition"), as_of)
        case = replace(case, condition=condition, muscle=muscle, condition_on=on)
    fields.close()
    return case


def _plan(fields: Fields, as_of: date) -> PlanFacts:
    kind: PlanKind = fields.choice("kind", get_args(PlanKind))
    started_on = fields.day("started_on", latest=as_of)
    start_kg = fields.number("start_kg", *DOG_KG, "kg")
    target = fields.inner("target_kg")
    low, mid, high = (target.number(key, *DOG_KG, "kg") for key in ("low", "mid", "high"))
    if not low <= mid <= high:
        raise BadInput(target.path, f"must have low <= mid <= high, not {low:g}, {mid:g}, {high:g}")
    target.close()
    plan = PlanFacts(
        kind=kind,
        started_on=started_on,
        start_kg=start_kg,
        target_low_kg=low,
        target_mid_kg=mid,
        target_high_kg=high,
        first_goal_kg=fields.number_or_none("first_goal_kg", *DOG_KG, "kg"),
        kcal_per_day=fields.number("kcal_per_day", *INTAKE_KCAL, "kcal"),
        changes=tuple(_change(item, started_on, as_of) for item in fields.objects("changes")),
    )
    fields.close()
    return plan


def _change(fields: Fields, started_on: date, as_of: date) -> Change:
    answer: Answer = fields.choice("answer", get_args(Answer))
    change = Change(
        fields.day("on", earliest=started_on, latest=as_of),
        fields.number("kcal_per_day", *INTAKE_KCAL, "kcal"),
        answer,
    )
    fields.close()
    return change


def _weigh_in(fields: Fields, as_of: date) -> WeighIn:
    weigh_in = WeighIn(
        fields.day("on", latest=as_of),
        fields.number("kg", *READING_KG, "kg"),
        fields.text("scale"),
    )
    fields.close()
    return weigh_in


def _feedings(fields: Fields, as_of: date) -> tuple[Feeding, ...]:
    feedings: dict[date, Feeding] = {}
    for item in fields.objects("feedings", MANY):
        on = item.day("on", latest=as_of)
        if on in feedings:
            raise BadInput(item.name("on"), f"must be a day not listed before, not {on}")
        kcal = item.number("kcal", *DAY_KCAL, "kcal")
        feedings[on] = Feeding(on, kcal, item.flag("complete"))
        item.close()
    return tuple(feedings[on] for on in sorted(feedings))
