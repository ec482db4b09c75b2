"""Exact factors between units, and how numbers are rounded for people."""

KG_PER_LB = 0.45359237  # [kg] the international pound, a definition
KJ_PER_KCAL = 4.184  # [kJ] the thermochemical calorie, a definition
DAYS_PER_WEEK = 7

FINE_BELOW_KG = 10.0  # [kg] our choice: a tenth of a kilogram is over 1% of such a dog


def weight_digits(weight_kg: float) -> int:
    """Return how many decimals a weight of this dog is worth: 2 for small dogs, else 1."""
    return 2 if weight_kg < FINE_BELOW_KG else 1
