"""The foods of a plan and the energy that one plan counts them with."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from server.errors import BadInput
from server.science.food_energy import Label, label_kcal_per_kg

Role = Literal["meal", "treat", "extra"]
Purpose = Literal["maintenance", "weight_loss", "prescription"]
EnergyBasis = Literal["label", "equation"]
CupFrom = Literal["weighed", "label"]

SHARES_MAY_MISS = 0.01  # three thirds written as 0.33 still count as one


@dataclass(frozen=True)
class FoodFacts:
    """One food.

    share: part of the meal energy (meals only), 0 to 1. kcal_per_kg: energy printed on the label
    [kcal of metabolisable energy per kg as fed]. label: composition, used where no energy is
    printed. grams_per_cup: mass of one level cup of this food [g]. nutrients_per_kg: amounts as
    fed per kg, in the units of `nutrients.ALLOWANCES`. grams_per_piece, kcal_per_piece: mass [g]
    and energy [kcal] of one piece of a treat; the energy alone is enough. cup_from: a cup of this
    food that its people weighed beats the label's mass of a cup, kept in label_cup_grams [g].
    grams_per_day, pieces_per_day: what is given of a treat or extra each day, where it is told.
    """

    name: str
    role: Role = "meal"
    share: float = 1.0
    kcal_per_kg: float | None = None
    label: Label | None = None
    grams_per_cup: float | None = None
    nutrients_per_kg: Mapping[str, float] = field(default_factory=dict)
    purpose: Purpose = "maintenance"
    grams_per_piece: float | None = None
    kcal_per_piece: float | None = None
    cup_from: CupFrom = "label"
    label_cup_grams: float | None = None
    grams_per_day: float | None = None
    pieces_per_day: float | None = None


def meals(foods: tuple[FoodFacts, ...]) -> tuple[FoodFacts, ...]:
    """Return the foods that make the meals."""
    return tuple(food for food in foods if food.role == "meal")


def energy_basis(foods: tuple[FoodFacts, ...]) -> EnergyBasis:
    """Say which energy the meals of one plan are counted with: printed first, else the equation.

    The two differ by several percent, so they are never mixed among the meals.
    Raises BadInput naming the food that fits neither.
    """
    printed = [food.kcal_per_kg is not None for food in meals(foods)]
    if all(printed):
        return "label"
    for index, food in enumerate(foods):
        if food.role == "meal" and food.label is None:
            lacking = "kcal_per_kg" if food.kcal_per_kg is None else "label"
            raise BadInput(
                f"foods[{index}].{lacking}",
                "must be given: all meal foods need kcal_per_kg, or all need label, "
                "since printed and computed energy are never mixed in one plan",
            )
    return "equation"


def kcal_per_kg(food: FoodFacts, basis: EnergyBasis = "label") -> float:
    """Return the energy a food is counted with [kcal/kg as fed].

    Raises BadInput for a food without printed energy and without a label.
    """
    if food.kcal_per_piece is not None and food.grams_per_piece is not None:
        return 1000 * food.kcal_per_piece / food.grams_per_piece
    if food.kcal_per_kg is not None and (basis == "label" or food.label is None):
        return food.kcal_per_kg
    if food.label is None:
        raise BadInput("kcal_per_kg", f"must be given for {food.name}, or its label")
    return label_kcal_per_kg(food.label)


def kcal_of_piece(food: FoodFacts) -> float | None:
    """Return the energy of one piece [kcal], or None for a food that is not told in pieces."""
    if food.kcal_per_piece is not None:
        return food.kcal_per_piece
    if food.grams_per_piece is None:
        return None
    return kcal_per_kg(food) * food.grams_per_piece / 1000


def kcal_given_per_day(food: FoodFacts) -> float | None:
    """Return the energy of a treat or extra that is given each day [kcal], None where not told."""
    piece = kcal_of_piece(food)
    if food.pieces_per_day is not None and piece is not None:
        return food.pieces_per_day * piece
    if food.grams_per_day is not None:
        return food.grams_per_day * kcal_per_kg(food) / 1000
    return None


def check_shares(foods: tuple[FoodFacts, ...]) -> None:
    """Raise BadInput unless the shares of the meal foods sum to 1, to within 0.01."""
    shares = [food.share for food in meals(foods)]
    if not foods:
        return
    if not shares:
        raise BadInput("foods", "must hold at least one food with role meal")
    if abs(sum(shares) - 1) > SHARES_MAY_MISS + 1e-9:
        raise BadInput("foods", f"must have meal shares that sum to 1, not {sum(shares):g}")
