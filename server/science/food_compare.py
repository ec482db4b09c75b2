"""How far the ways of counting a food's energy lie apart. One counts; the others are shown."""

from dataclasses import dataclass
from typing import Any

from server.science.findings import PROJECT_POLICY, Finding
from server.science.food_energy import (
    Label,
    atwater_kcal_per_kg,
    label_kcal_per_kg,
    modified_atwater_kcal_per_kg,
    per_dry_matter,
)
from server.science.foods import EnergyBasis, FoodFacts, kcal_per_kg

CUPS_DIFFER_PCT = 10.0  # [%] our choice of when two masses of a cup are worth a word
_ATWATER = "FEDIAF Nutritional Guidelines, Annex 1 (b): 4, 9 and 4 kcal/g for digestible foods"


@dataclass(frozen=True)
class Comparison:
    """The energies of one food [kcal/kg as fed]: counted, by four steps, by modified Atwater."""

    food: str
    counted: float
    basis: EnergyBasis
    four_steps: float
    modified_atwater: float
    moisture_pct: float

    @property
    def difference_pct(self) -> float:
        """How much modified Atwater differs from the four steps [%]."""
        return 100 * (self.modified_atwater / self.four_steps - 1)

    def as_json(self) -> dict[str, Any]:
        """Return the comparison as a JSON object."""
        return {
            "food": self.food,
            "basis": self.basis,
            "kcal_per_kg": round(self.counted),
            "four_steps_kcal_per_kg": round(self.four_steps),
            "modified_atwater_kcal_per_kg": round(self.modified_atwater),
            "difference_pct": round(self.difference_pct, 1),
            "kcal_per_kg_dry_matter": round(per_dry_matter(self.counted, self.moisture_pct)),
        }


def comparisons(foods: tuple[FoodFacts, ...], basis: EnergyBasis) -> tuple[Comparison, ...]:
    """Return the comparison of each food that has a composition."""
    return tuple(
        Comparison(
            food.name,
            kcal_per_kg(food, basis),
            "label" if kcal_per_kg(food, basis) == food.kcal_per_kg else "equation",
            label_kcal_per_kg(food.label),
            modified_atwater_kcal_per_kg(food.label),
            food.label.moisture_pct,
        )
        for food in foods
        if food.label is not None
    )


def food_findings(foods: tuple[FoodFacts, ...]) -> list[Finding]:
    """Return what is odd about printed energies and about cups."""
    found = []
    for food in foods:
        if food.label is not None and food.kcal_per_kg is not None:
            found += _above_digestible(food.name, food.kcal_per_kg, food.label)
        if food.cup_from == "weighed" and food.label_cup_grams and food.grams_per_cup:
            differs = 100 * (food.grams_per_cup / food.label_cup_grams - 1)
            if abs(differs) > CUPS_DIFFER_PCT:
                values = {
                    "food": food.name,
                    "weighed_g": round(food.grams_per_cup),
                    "label_g": round(food.label_cup_grams),
                }
                found.append(Finding("cup_differs", values, PROJECT_POLICY))
    return found


def _above_digestible(name: str, printed: float, label: Label) -> list[Finding]:
    most = atwater_kcal_per_kg(label)
    if printed <= most:
        return []
    values = {"food": name, "kcal_per_kg": round(printed), "most_kcal_per_kg": round(most)}
    return [Finding("energy_above_parts", values, _ATWATER)]
