"""A dog's excess told as a person's, by the ratio of weights (common practice, no source)."""

from dataclasses import dataclass
from typing import Any

PERSON_KG = 80.0  # [kg] a grown person, our choice: the ratio matters, not the person


@dataclass(frozen=True)
class HumanTerms:
    """The excess of a dog [kg, % of its target] and the like excess of a person [kg]."""

    excess_kg: float
    excess_pct: float
    person_kg: float
    person_excess_kg: float

    def as_json(self) -> dict[str, Any]:
        """Return the comparison as a JSON object, in tenths."""
        return {
            "excess_kg": round(self.excess_kg, 1),
            "excess_pct": round(self.excess_pct, 1),
            "person_kg": self.person_kg,
            "person_excess_kg": round(self.person_excess_kg, 1),
        }


def human_terms(weight_kg: float, target_kg: float, person_kg: float = PERSON_KG) -> HumanTerms:
    """Return what the excess over the target would be on a person of a right weight.

    weight_kg, target_kg: of the dog; person_kg: right weight of the person. Any one unit of mass
    will do for all three.
    """
    excess = weight_kg - target_kg
    return HumanTerms(excess, 100 * excess / target_kg, person_kg, excess / target_kg * person_kg)
