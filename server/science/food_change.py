"""Mixing in a new food over ten days, with the grams of both for each day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from server.errors import BadInput
from server.science.foods import EnergyBasis, FoodFacts, energy_basis, kcal_per_kg, meals
from server.science.ration import RationRow

# Common practice, no source: over 7 to 10 days; the slower end, a tenth more each day.
CHANGE_DAYS_LOW, CHANGE_DAYS_HIGH = 7, 10


@dataclass(frozen=True)
class ChangeDay:
    """One day of a change. new_pct: the new food's part of the meal energy [%]; masses [g]."""

    on: date
    new_pct: int
    old_food: str
    old_grams: int
    new: tuple[tuple[str, int], ...]

    def as_json(self) -> dict[str, Any]:
        """Return the day as a JSON object."""
        return {
            "on": self.on.isoformat(),
            "new_pct": self.new_pct,
            "old": {"food": self.old_food, "grams": self.old_grams},
            "new": [{"food": food, "grams": grams} for food, grams in self.new],
        }


def check_change(old: FoodFacts, foods: tuple[FoodFacts, ...]) -> EnergyBasis:
    """Return how both foods are counted: printed and computed energy are never mixed in one plan.

    Raises BadInput where the energy of old and new could only be counted in different ways.
    """
    basis = energy_basis(foods)
    if basis == "equation" and old.label is None:
        raise BadInput(
            "changing_from.label", "must be given: the new food is counted by its label's parts"
        )
    if basis == "label" and old.kcal_per_kg is None:
        raise BadInput(
            "changing_from.kcal_per_kg", "must be given: the new food is counted by printed energy"
        )
    return basis


def food_change(
    old: FoodFacts,
    foods: tuple[FoodFacts, ...],
    rations: Sequence[tuple[date, tuple[RationRow, ...]]],
) -> tuple[ChangeDay, ...]:
    """Return the days of a change from an old food to the meal foods of a plan.

    rations: from which day on which ration holds, oldest first; the change starts with the first.
    The last day is the new food alone. No days without a new meal food.
    Raises BadInput where the energy of old and new could only be counted in different ways.
    """
    if not meals(foods):
        return ()
    basis = check_change(old, foods)
    old_energy = kcal_per_kg(old, basis)
    days = []
    for day in range(1, CHANGE_DAYS_HIGH + 1):
        on = rations[0][0] + timedelta(days=day - 1)
        rows = next(rows for since, rows in reversed(rations) if since <= on)
        part = day / CHANGE_DAYS_HIGH
        old_kcal = (1 - part) * sum(row.kcal for row in rows)
        new = tuple(
            (row.food, round(part * 1000 * row.kcal / kcal_per_kg(food, basis)))
            for food, row in zip(meals(foods), rows, strict=True)
        )
        old_grams = round(1000 * old_kcal / old_energy)
        days.append(ChangeDay(on, round(100 * part), old.name, old_grams, new))
    return tuple(days)
