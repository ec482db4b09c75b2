"""The English sentences about foods, by code."""

from collections.abc import Callable
from typing import Any

from server.science.unsafe_foods import UNSAFE

_UNSAFE = {food.code: food.text.lower() for food in UNSAFE}


def _unsafe_food(values: dict[str, Any]) -> str:
    return (
        f"Do not feed this: the name {values['food']} speaks of {_UNSAFE[values['unsafe']]}, which "
        "can poison a dog. If any was eaten, phone a vet or poison line now; do not wait for signs."
    )


FOOD_CAUTIONS: dict[str, str | Callable[[dict[str, Any]], str]] = {
    "unsafe_food": _unsafe_food,
    "energy_from_label_parts": lambda values: _label_parts(values),
    "energy_above_parts": (
        "{food}: {kcal_per_kg} kcal/kg is printed, but parts like those on its label give at most "
        "{most_kcal_per_kg}. Check both figures."
    ),
    "cup_energy_odd": (
        "{food}: {kcal_per_cup} kcal in a cup is outside what dry foods have (200 to 660). Check "
        "the label and the mass of a cup."
    ),
    "cup_differs": (
        "{food}: your cup weighs {weighed_g} g, the label says {label_g} g. Your own cup counts."
    ),
    "extras_over_budget": (
        "Treats and extras come to {extras_kcal} kcal a day; {most_kcal} kcal is the most. Every "
        "scrap counts inside the day: give less, or the cut is eaten up."
    ),
    "weigh_grams": (
        "Weigh the food in grams. Cups were off by {low_pct} to +{high_pct}% in other people's "
        "hands."
    ),
    "food_for_loss": (
        "A food made for weight loss gives more nutrients per kcal than a maintenance food: at "
        "{short_from} kcal per kg^0.75 five foods were each short of something, at "
        "{several_from} of several things. Change foods over {days_low} to {days_high} days."
    ),
}


def _label_parts(values: dict[str, Any]) -> str:
    foods = ", ".join(values["foods"])
    low = ", ".join(values["may_read_low"])
    tail = f" It may read low for {low}, which is high in fibre." if low else ""
    return (
        f"The energy of {foods} was worked out from the label's percentages, which are limits "
        f"and not means: it is approximate.{tail} A printed kcal figure is better."
    )
