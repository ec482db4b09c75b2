"""What a plan is made from."""

from dataclasses import dataclass
from datetime import date

from server.science.condition import Looks, Score
from server.science.dog import DogFacts, Muscle
from server.science.foods import FoodFacts
from server.science.ration import US_CUP_ML
from server.science.vet_words import VetWord

STEP_APART_DAYS = 7  # this project's policy: between the two steps of a deep cut


@dataclass(frozen=True)
class Intake:
    """What the dog eats now [kcal/day]; was it weighed, and is the weight steady."""

    kcal_per_day: float
    weighed: bool
    weight_steady: bool


@dataclass(frozen=True)
class PlanCase:
    """All that a plan is made from.

    treat_kcal: None for a tenth, 0 for none [kcal/day]. what_if_kcal: a ration the person asks
    about [kcal/day]. changing_from: the food eaten until now. earlier: weights before today [kg],
    for a growing dog's own curve.
    """

    as_of: date
    dog: DogFacts
    weight_kg: float
    condition: Score | Looks
    muscle: Muscle = "normal"
    intake: Intake | None = None
    foods: tuple[FoodFacts, ...] = ()
    treat_kcal: float | None = None
    vet_words: tuple[VetWord, ...] = ()
    cup_ml: float = US_CUP_ML
    what_if_kcal: float | None = None
    changing_from: FoodFacts | None = None
    earlier: tuple[tuple[date, float], ...] = ()
