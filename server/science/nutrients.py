"""What a restricted ration still gives of each nutrient."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from server.errors import OutOfRange
from server.science.energy import ACTIVE_HOME, QUIET_HOME

NutrientBasis = Literal["design", "label"]

SOURCE = (
    "NRC, Nutrient Requirements of Dogs and Cats, 2006, Table 15-5 (from memory); "
    "rule: FEDIAF Nutritional Guidelines, section 2.5"
)
DESIGN_SOURCE = "FEDIAF Nutritional Guidelines, section 2.5 and 'How to read the tables'"
# Linder et al. 2012, Vet Q 32:123: at 79 kcal per kg^0.75 of ideal weight each of five foods was
# short of at least one allowance, at 70 of several [kcal per kg^0.75 per day].
SHORT_FROM, SEVERAL_SHORT_FROM = 79.0, 70.0


@dataclass(frozen=True)
class Allowance:
    """Recommended allowance of an adult dog per metabolic weight [unit per kg^0.75 per day]."""

    per_metabolic_kg: float
    unit: Literal["g", "mg", "ug"]


# NRC 2006, Table 15-5, all from memory; only zinc was cross-checked (FEDIAF Table VII-12).
ALLOWANCES: dict[str, Allowance] = {
    "protein": Allowance(3.28, "g"),
    "fat": Allowance(1.8, "g"),
    "linoleic_acid": Allowance(0.36, "g"),
    "calcium": Allowance(0.13, "g"),
    "phosphorus": Allowance(0.10, "g"),
    "potassium": Allowance(0.14, "g"),
    "magnesium": Allowance(19.7, "mg"),
    "iron": Allowance(1.0, "mg"),
    "copper": Allowance(0.2, "mg"),
    "zinc": Allowance(2.0, "mg"),
    "selenium": Allowance(11.8, "ug"),
    "iodine": Allowance(29.6, "ug"),
    "choline": Allowance(56.0, "mg"),
    "vitamin_e": Allowance(1.0, "mg"),
    "vitamin_b12": Allowance(1.15, "ug"),
    "riboflavin": Allowance(0.171, "mg"),
}


@dataclass(frozen=True)
class Shortfall:
    """A nutrient the meals give less of than the allowance. share_of_allowance: below 1."""

    nutrient: str
    share_of_allowance: float

    def as_json(self) -> dict[str, Any]:
        """Return the shortfall as a JSON object."""
        return {"nutrient": self.nutrient, "share_of_allowance": self.share_of_allowance}


def design_share(fed_per_metabolic_kg: float) -> tuple[float, float]:
    """Return the least and most part of its design amount that a restricted food gives.

    fed_per_metabolic_kg: energy of the meals [kcal per kg^0.75 of target weight per day].
    A food is made for 95 to 110 kcal per kg^0.75; every nutrient falls with the energy fed.
    """
    return fed_per_metabolic_kg / ACTIVE_HOME, fed_per_metabolic_kg / QUIET_HOME


def density_needed(per_metabolic_kg: float, fed_per_metabolic_kg: float) -> float:
    """Return the amount per 1000 kcal that a food must hold to meet a need (FEDIAF section 2.5).

    per_metabolic_kg: need [unit per kg^0.75]; fed_per_metabolic_kg: energy fed [kcal per kg^0.75].
    Returns [unit per 1000 kcal]. Raises OutOfRange where nothing is fed.
    """
    if not 0 < fed_per_metabolic_kg < math.inf:
        raise OutOfRange("fed_per_metabolic_kg", fed_per_metabolic_kg, "kcal", 0, 1000)
    return per_metabolic_kg * 1000 / fed_per_metabolic_kg


def allowance_shares(
    fed: Sequence[tuple[float, float, Mapping[str, float]]], metabolic_target_kg: float
) -> dict[str, float]:
    """Return each nutrient's share of its allowance, for nutrients that every meal food names.

    fed: per meal food its energy [kcal/day], its density [kcal/kg] and its nutrients per kg as
    fed, in the units of ALLOWANCES. metabolic_target_kg: target weight^0.75 [kg^0.75].
    """
    named = [word for word in ALLOWANCES if fed and all(word in food for _, _, food in fed)]
    shares = {}
    for word in named:
        given = sum(kcal / density * food[word] for kcal, density, food in fed)
        shares[word] = given / (ALLOWANCES[word].per_metabolic_kg * metabolic_target_kg)
    return shares
