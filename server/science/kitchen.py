"""What a ration comes to in a kitchen: what rounding costs, and what a treat costs in main food.

Shares are set by the person who feeds, so grams follow exactly; nothing is left to optimise. Whole
grams and level eighths of a cup are then the nearest that can be measured, food by food.
"""

import math
from dataclasses import dataclass
from typing import Any

from server.science.foods import (
    EnergyBasis,
    FoodFacts,
    kcal_given_per_day,
    kcal_of_piece,
    kcal_per_kg,
    meals,
)
from server.science.ration import RationRow
from server.science.unsafe_foods import unsafe_in

TREAT_GRAMS = 10  # [g] a treat that is not told in pieces is told by this much


@dataclass(frozen=True)
class Rounding:
    """How far the measured amounts of one meal food miss its energy [%]; None: cannot be said."""

    food: str
    grams_error_pct: float | None
    cups_error_pct: float | None

    def as_json(self) -> dict[str, Any]:
        """Return the errors as a JSON object."""
        return {
            "food": self.food,
            "grams_error_pct": self.grams_error_pct,
            "cups_error_pct": self.cups_error_pct,
        }


@dataclass(frozen=True)
class TreatCost:
    """What one piece (or ten grams) of a treat costs: its energy [kcal], and that in main food."""

    food: str
    unit: str
    kcal: float
    main_food: str
    main_food_grams: float

    def as_json(self) -> dict[str, Any]:
        """Return the cost as a JSON object."""
        return {
            "food": self.food,
            "unit": self.unit,
            "kcal": self.kcal,
            "main_food": self.main_food,
            "main_food_grams": self.main_food_grams,
        }


@dataclass(frozen=True)
class Extras:
    """Treats and extras given each day [kcal], and what they leave of the budget (0 if none)."""

    kcal: int
    left_kcal: int

    def as_json(self) -> dict[str, Any]:
        """Return the sum as a JSON object."""
        return {"kcal": self.kcal, "left_kcal": self.left_kcal}


def extras_of(foods: tuple[FoodFacts, ...], budget_kcal: int) -> Extras | None:
    """Return what the treats and extras that were told come to; None where none was told."""
    told = [kcal for food in foods if (kcal := kcal_given_per_day(food)) is not None]
    if not told:
        return None
    kcal = round(math.fsum(told))
    return Extras(kcal, max(budget_kcal - kcal, 0))


def rounding_of(
    foods: tuple[FoodFacts, ...], ration: tuple[RationRow, ...], basis: EnergyBasis
) -> tuple[Rounding, ...]:
    """Return the rounding error of each row of a ration, in whole grams and in level eighths."""
    return tuple(
        _rounding(food, row, kcal_per_kg(food, basis))
        for food, row in zip(meals(foods), ration, strict=bool(ration))
    )


def treat_costs(foods: tuple[FoodFacts, ...], basis: EnergyBasis) -> tuple[TreatCost, ...]:
    """Return what each treat or extra costs in the meal food that makes most of the meals."""
    if not meals(foods):
        return ()
    main = max(meals(foods), key=lambda food: food.share)
    per_gram = kcal_per_kg(main, basis) / 1000
    costs = []
    for food in foods:
        if food.role == "meal" or unsafe_in(food.name):
            continue
        piece = kcal_of_piece(food)
        kcal = TREAT_GRAMS * kcal_per_kg(food) / 1000 if piece is None else piece
        unit = f"{TREAT_GRAMS}_g" if piece is None else "piece"
        costs.append(
            TreatCost(food.name, unit, round(kcal, 1), main.name, round(kcal / per_gram, 1))
        )
    return tuple(costs)


@dataclass(frozen=True)
class Cut:
    """How much less than now: energy [kcal/day], main food [g, cups] and part of today's bowl.

    eighths_left: that part in eighths of the bowl. grams and cups are None without a meal food or
    without the mass of its cup.
    """

    kcal_less: int
    part_left: float
    eighths_left: int
    main_food: str | None
    grams_less: int | None
    cups_less: float | None

    def as_json(self) -> dict[str, Any]:
        """Return the cut as a JSON object."""
        return {
            "kcal_less": self.kcal_less,
            "part_left": self.part_left,
            "eighths_left": self.eighths_left,
            "main_food": self.main_food,
            "grams_less": self.grams_less,
            "cups_less": self.cups_less,
        }


def cut_of(
    intake_kcal: float, kcal: int, foods: tuple[FoodFacts, ...], basis: EnergyBasis
) -> Cut | None:
    """Return the cut from what is eaten now to the plan [kcal/day]; None where nothing is cut."""
    less = intake_kcal - kcal
    if less <= 0:
        return None
    part = kcal / intake_kcal
    main = max(meals(foods), key=lambda food: food.share, default=None)
    grams = 1000 * less / kcal_per_kg(main, basis) if main else None
    per_cup = main.grams_per_cup if main else None
    return Cut(
        round(less),
        round(part, 2),
        round(8 * part),
        main.name if main else None,
        None if grams is None else round(grams),
        None if grams is None or per_cup is None else round(grams / per_cup, 2),
    )


def _rounding(food: FoodFacts, row: RationRow, energy: float) -> Rounding:
    if row.kcal == 0:
        return Rounding(row.food, None, None)
    by_grams = _error_pct(row.grams, energy, row.kcal)
    eighths = 0 if row.cups is None else round(row.grams / (food.grams_per_cup or 1) * 8)
    if eighths == 0 or food.grams_per_cup is None:
        return Rounding(row.food, by_grams, None)
    return Rounding(
        row.food, by_grams, _error_pct(eighths / 8 * food.grams_per_cup, energy, row.kcal)
    )


def _error_pct(grams: float, energy: float, kcal: int) -> float:
    return round(100 * (grams * energy / 1000 / kcal - 1), 1)
