"""From energy to grams and cups of each food. Grams first: cups mislead."""

from dataclasses import dataclass
from typing import Any

from server.errors import OutOfRange
from server.science.foods import (
    FoodFacts,
    check_shares,
    energy_basis,
    kcal_of_piece,
    kcal_per_kg,
    meals,
)
from server.science.unsafe_foods import unsafe_in

# Small Animal Clinical Nutrition, 5th ed., p. 522: treats and extras at most a tenth of the day.
TREAT_SHARE_MAX = 0.10
US_CUP_ML = 236.6  # [mL] US customary cup; definition, from memory
# 100 owners, three devices (University of Guelph, Vet Record 2019, summary).
CUP_ERROR_LOW_PCT, CUP_ERROR_HIGH_PCT = -48, 152
LEAST_KCAL, MOST_KCAL = 1.0, 10_000.0  # [kcal/day] our guard

_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


@dataclass(frozen=True)
class RationRow:
    """A meal food's part of one day. cups and cups_label: None where a cup's mass is unknown."""

    food: str
    kcal: int
    grams: int
    cups: float | None
    cups_label: str | None

    def as_json(self) -> dict[str, Any]:
        """Return the row as a JSON object."""
        return {
            "food": self.food,
            "kcal": self.kcal,
            "grams": self.grams,
            "cups": self.cups,
            "cups_label": self.cups_label,
        }


@dataclass(frozen=True)
class TreatLimit:
    """How much of one treat or extra spends the whole treat budget.

    grams_max, pieces_max: None where the mass, or the energy, of a piece is unknown.
    """

    food: str
    kcal_max: int
    grams_max: int | None
    pieces_max: int | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the limit as a JSON object."""
        return {
            "food": self.food,
            "kcal_max": self.kcal_max,
            "grams_max": self.grams_max,
            "pieces_max": self.pieces_max,
        }


def treat_budget_kcal(
    kcal_per_day: float, treat_kcal: float | None, foods: tuple[FoodFacts, ...] = ()
) -> int:
    """Return the energy kept for treats and extras [kcal/day]: what is asked, at most a tenth.

    treat_kcal: None for the whole tenth, 0 for none. Beside a prescription diet it is always
    none: only the vet who prescribed it may add treats.
    """
    if any(food.purpose == "prescription" for food in foods):
        return 0
    tenth = TREAT_SHARE_MAX * kcal_per_day
    return round(tenth if treat_kcal is None else min(treat_kcal, tenth))


def ration_for(
    kcal_per_day: float,
    foods: tuple[FoodFacts, ...],
    treat_kcal: float | None = None,
    cup_ml: float = US_CUP_ML,
) -> tuple[RationRow, ...]:
    """Return the meals of one day; with the treat budget they sum to the day's whole kcal.

    kcal_per_day: energy of the day [kcal], rounded here to whole kcal. treat_kcal: see
    treat_budget_kcal. cup_ml: volume [mL] of the cup that grams_per_cup speaks of; only that cup
    may be used, so it changes no number. No foods: no rows.
    Raises BadInput where shares do not sum to 1 or energies would be mixed, OutOfRange for
    an energy outside 1 to 10,000 kcal/day.
    """
    if not LEAST_KCAL <= kcal_per_day <= MOST_KCAL:
        raise OutOfRange("kcal_per_day", kcal_per_day, "kcal", LEAST_KCAL, MOST_KCAL)
    check_shares(foods)
    basis = energy_basis(foods)
    day = round(kcal_per_day)
    meal_kcal = day - treat_budget_kcal(day, treat_kcal, foods)
    rows = meals(foods)
    return tuple(
        _row(food, kcal, kcal_per_kg(food, basis))
        for food, kcal in zip(rows, _whole_parts(meal_kcal, [f.share for f in rows]), strict=True)
    )


def treat_limits(foods: tuple[FoodFacts, ...], budget_kcal: int) -> tuple[TreatLimit, ...]:
    """Return, for each treat or extra, how much of it alone spends the budget, per day.

    A food whose name speaks of something that harms dogs gets no limit: none of it is fed.
    """
    return tuple(
        _treat_limit(food, budget_kcal)
        for food in foods
        if food.role != "meal" and not unsafe_in(food.name)
    )


def cups_label(cups: float) -> str:
    """Return cups in words, to the nearest level eighth."""
    whole, eighths = divmod(round(cups * 8), 8)
    if whole == eighths == 0:
        return "less than ⅛ cup, level"
    amount = f"{whole or ''}{_EIGHTHS[eighths]}"
    return f"{amount} {'cup' if whole + eighths / 8 <= 1 else 'cups'}, level"


def _treat_limit(food: FoodFacts, budget_kcal: int) -> TreatLimit:
    piece = kcal_of_piece(food)
    only_pieces = food.kcal_per_piece is not None and food.grams_per_piece is None
    return TreatLimit(
        food.name,
        budget_kcal,
        None if only_pieces else int(1000 * budget_kcal / kcal_per_kg(food)),
        None if piece is None else int(budget_kcal / piece),
    )


def _row(food: FoodFacts, kcal: int, energy: float) -> RationRow:
    grams = round(1000 * kcal / energy)
    if food.grams_per_cup is None:
        return RationRow(food.name, kcal, grams, None, None)
    cups = grams / food.grams_per_cup
    return RationRow(food.name, kcal, grams, round(cups, 2), cups_label(cups))


def _whole_parts(total: int, shares: list[float]) -> list[int]:
    """Split whole kcal by shares so that the parts sum to the total (largest remainder)."""
    if not shares:
        return []
    exact = [total * share / sum(shares) for share in shares]
    parts = [int(part) for part in exact]
    by_remainder = sorted(range(len(parts)), key=lambda i: (parts[i] - exact[i], i))
    for index in by_remainder[: total - sum(parts)]:
        parts[index] += 1
    return parts
