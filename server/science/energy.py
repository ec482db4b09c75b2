"""Energy a dog needs, from its weight."""

from server.errors import OutOfRange

METABOLIC_EXPONENT = 0.75  # FEDIAF Nutritional Guidelines, "How to read the tables"
# AAHA Weight Management Guidelines 2014, "Designing a program"; Small Animal Clinical
# Nutrition, 5th ed., Table 5-2. The linear form is left out: it is 17% too high at 45 kg.
RESTING = 70.0  # [kcal of metabolisable energy per kg^0.75 per day]
# FEDIAF Nutritional Guidelines, "How to read the tables": the two household levels.
QUIET_HOME = 95.0  # [kcal per kg^0.75 per day]; NRC 2006 for inactive pets, too
ACTIVE_HOME = 110.0  # [kcal per kg^0.75 per day]
# Weight-stable pet dogs, n = 55: 65.1 to 119.6 (Am J Vet Res 2011;72:1151, introduction).
HOLDING_LOW, HOLDING_HIGH = 65.0, 120.0  # [kcal per kg^0.75 per day]

LIGHTEST_KG, HEAVIEST_KG = 0.2, 120.0  # our guard, not the source's


def metabolic_kg(weight_kg: float) -> float:
    """Return body weight to the power 0.75 [kg^0.75]. Raises OutOfRange outside 0.2 to 120 kg."""
    if not LIGHTEST_KG <= weight_kg <= HEAVIEST_KG:
        raise OutOfRange("weight_kg", weight_kg, "kg", LIGHTEST_KG, HEAVIEST_KG)
    return float(weight_kg**METABOLIC_EXPONENT)


def resting_kcal_per_day(weight_kg: float) -> float:
    """Return resting energy [kcal/day], unrounded.

    Raises OutOfRange outside 0.2 to 120 kg, and for NaN. Single dogs lie between 48 and 114
    kcal per kg^0.75 (NRC 2006, quoted in Am J Vet Res 2011;72:1151).
    """
    return RESTING * metabolic_kg(weight_kg)


def holding_kcal_per_day(weight_kg: float, level: float = QUIET_HOME) -> float:
    """Return the energy that holds an adult dog at its weight [kcal/day], unrounded.

    level: need per metabolic weight [kcal per kg^0.75 per day].
    Raises OutOfRange outside 0.2 to 120 kg, and for NaN.
    A mean of many dogs; single dogs differ widely, so weekly reviews correct it.
    """
    return level * metabolic_kg(weight_kg)
