"""Invented dogs and foods of the tests."""

from __future__ import annotations

from datetime import date

from server.science.condition import Score
from server.science.dog import DogFacts
from server.science.foods import FoodFacts
from server.science.plan_case import Intake, PlanCase

TODAY = date(2026, 3, 2)
JUNIPER = DogFacts("Juniper", "female", True, date(2019, 6, 10), coat="short")
DRY = FoodFacts("dry food A", kcal_per_kg=3600, grams_per_cup=100)
CASE = PlanCase(
    as_of=TODAY,
    dog=JUNIPER,
    weight_kg=15.2,
    condition=Score(7),
    intake=Intake(820, True, True),
    foods=(DRY,),
)
