"""Pregnant and nursing dogs need more. No ration is made: only "needs more, see a vet"."""

from server.errors import OutOfRange
from server.science.energy import metabolic_kg
from server.science.findings import Finding

# NRC 2006, weeks 5 to 9, from memory: 130 x kg^0.75 + 26 x kg.
GESTATION_BASE, GESTATION_PER_KG = 130.0, 26.0  # [kcal per kg^0.75], [kcal per kg] per day
# NRC 2006, as quoted by a nutrition article: 145 x kg^0.75 + kg x (24 n + 12 m) x L, with n puppies
# up to four, m beyond four up to eight, and L by week.
LACTATION_BASE = 145.0  # [kcal per kg^0.75 per day]
PER_PUPPY_TO_FOUR, PER_PUPPY_TO_EIGHT = 24.0, 12.0  # [kcal per kg of the mother per day]
LACTATION_WEEKS = (0.75, 0.95, 1.1, 1.2)  # weeks 1 to 4
MOST_PUPPIES = 8  # counted; a larger litter does not raise the need further
SOURCE = "NRC 2006 (gestation from memory, lactation as quoted); Strombeck, home-prepared diets"


def gestation_kcal_per_day(weight_kg: float) -> float:
    """Return the mean need in weeks 5 to 9 of a pregnancy [kcal/day], unrounded; from memory.

    Raises OutOfRange outside 0.2 to 120 kg.
    """
    return GESTATION_BASE * metabolic_kg(weight_kg) + GESTATION_PER_KG * weight_kg


def lactation_kcal_per_day(weight_kg: float, puppies: int, week: int) -> float:
    """Return the mean need of a nursing dog [kcal/day], unrounded.

    puppies: 1 or more; those beyond eight count no further. week: 1 to 4 after birth.
    Raises OutOfRange outside 0.2 to 120 kg, 1 to 20 puppies and weeks 1 to 4.
    """
    if not 1 <= puppies <= 20:
        raise OutOfRange("puppies", puppies, "", 1, 20)
    if not 1 <= week <= len(LACTATION_WEEKS):
        raise OutOfRange("week", week, "", 1, len(LACTATION_WEEKS))
    to_four = min(puppies, 4)
    beyond = min(puppies, MOST_PUPPIES) - to_four
    milk = weight_kg * (PER_PUPPY_TO_FOUR * to_four + PER_PUPPY_TO_EIGHT * beyond)
    return LACTATION_BASE * metabolic_kg(weight_kg) + milk * LACTATION_WEEKS[week - 1]


def needs_more(state: str, weight_kg: float) -> Finding:
    """Return how many times its usual need a pregnant or nursing dog may come to.

    state: "pregnant" or "nursing". The most is told: late pregnancy, or eight puppies in week 4.
    """
    if state == "pregnant":
        usual, most = GESTATION_BASE * metabolic_kg(weight_kg), gestation_kcal_per_day(weight_kg)
    else:
        usual = LACTATION_BASE * metabolic_kg(weight_kg)
        most = lactation_kcal_per_day(weight_kg, MOST_PUPPIES, len(LACTATION_WEEKS))
    return Finding("needs_more", {"state": state, "times": round(most / usual, 1)}, SOURCE)
