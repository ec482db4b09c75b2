"""How an invented dog's weight moves with its food, and what an invented scale makes of it.

Only to make believable entries: nothing here advises anybody.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

KCAL_PER_KG = 7_920.0  # of lost weight; Small Animal Clinical Nutrition, 5th ed., Table 27-15
WATER_SD = 0.005  # of body weight, between one morning and another
STEP_KG = 0.1  # that the scale shows
KG_PER_LB = 0.45359237  # by definition


@dataclass
class Body:
    """A dog's true weight [kg], and what holds it [kcal per kg^0.75 a day]."""

    kg: float
    holds_at: float
    chance: Random

    def holding_kcal(self) -> float:
        """What would hold today's weight [kcal/day]."""
        return float(self.holds_at * self.kg**0.75)

    def live_a_day(self, eaten_kcal: float) -> None:
        """A day with this food [kcal]."""
        self.kg += (eaten_kcal - self.holding_kcal()) / KCAL_PER_KG

    def reading_g(self, *, in_pounds: bool = False) -> int:
        """What the scale shows [g]; in pounds, noted as if they were kilograms."""
        kg = self.kg * (1 + self.chance.gauss(0, WATER_SD))
        shown = kg / KG_PER_LB if in_pounds else kg
        return round(round(shown / STEP_KG) * STEP_KG * 1000)
