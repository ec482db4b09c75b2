"""Printed levels of need, per metabolic weight. They do not agree; `energy` says which one counts.

Printed by `tuckline conditions`, so that a person can see where a figure comes from.
"""

from dataclasses import dataclass
from typing import Any

from server.science.energy import RESTING


@dataclass(frozen=True)
class Level:
    """One printed level [kcal per kg^0.75 per day]. low, mid, high: None where not printed."""

    word: str
    text: str
    low: float | None
    mid: float | None
    high: float | None
    source: str

    def as_json(self) -> dict[str, Any]:
        """Return the level as `tuckline conditions` prints it."""
        return {
            "word": self.word,
            "text": self.text,
            "kcal_per_metabolic_kg": {"low": self.low, "mid": self.mid, "high": self.high},
            "source": self.source,
        }


_QUOTED = "NRC 2006, quoted in Am J Vet Res 2011;72:1151"
_STUDY = "study cited in Am J Vet Res 2011;72:1151, introduction"
_ACTIVITY = "FEDIAF Nutritional Guidelines, Annex, activity table (from memory)"
_AGE = "FEDIAF Nutritional Guidelines, Annex, age table (from memory)"
_NRC = "NRC 2006, energy chapter and chapter 15 (from memory)"
_FACTORS = "Small Animal Clinical Nutrition, 5th ed., Table 5-2; Merck table (from memory)"

# By hours of lead walking a day.
ACTIVITY = (
    Level("obesity_prone", "Adult prone to obesity", None, None, 90.0, _ACTIVITY),
    Level("under_1_h", "Under an hour a day on the lead", None, 95.0, None, _ACTIVITY),
    Level("1_to_3_h_calm", "1 to 3 hours a day, low impact", None, 110.0, None, _ACTIVITY),
    Level("1_to_3_h_brisk", "1 to 3 hours a day, high impact", None, 125.0, None, _ACTIVITY),
    Level("working", "3 to 6 hours of work a day", 150.0, None, 175.0, _ACTIVITY),
)
YOUNG_ADULT = Level("age_1_to_2", "1 to 2 years old", 125.0, 130.0, 140.0, _AGE)
MIDDLE_AGED = Level("age_3_to_7", "3 to 7 years old", 95.0, 110.0, 130.0, _AGE)
OLD = Level("age_over_7", "Over 7 years old", 80.0, 95.0, 120.0, _AGE)
NRC = (
    Level("active_or_kennel", "Active adult, or laboratory kennel", None, 130.0, None, _NRC),
    Level("young_active", "Young active adult", None, 140.0, None, _NRC),
    Level("older_active", "Older active adult", None, 105.0, None, _NRC),
    Level("terrier", "Terrier", None, 180.0, None, _NRC),
    Level("great_dane", "Active pet Great Dane", None, 200.0, None, _QUOTED),
)
SPREADS = (
    Level("resting_single_dogs", "Resting energy of single dogs", 48.0, None, 114.0, _QUOTED),
    Level("steady_pets", "55 pets, steady for 10 weeks", 65.1, None, 119.6, _STUDY),
    Level("pets_over_a_year", "48 pets over 12 months", 60.8, None, 197.6, _STUDY),
)
# Factors on resting energy.
FACTOR_INTACT, FACTOR_NEUTERED = 1.8, 1.6
FACTOR_INACTIVE_LOW, FACTOR_INACTIVE_HIGH = 1.2, 1.4
FACTORS = (
    Level("intact", "Intact adult: 1.8 x resting", None, FACTOR_INTACT * RESTING, None, _FACTORS),
    Level(
        "neutered", "Neutered adult: 1.6 x resting", None, FACTOR_NEUTERED * RESTING, None, _FACTORS
    ),
    Level(
        "inactive",
        "Inactive or prone to obesity: 1.2 to 1.4 x resting",
        FACTOR_INACTIVE_LOW * RESTING,
        None,
        FACTOR_INACTIVE_HIGH * RESTING,
        _FACTORS,
    ),
)
LEVELS = (*ACTIVITY, YOUNG_ADULT, MIDDLE_AGED, OLD, *NRC, *SPREADS, *FACTORS)


def level_at_age(age_years: float) -> Level:
    """Return the printed level of an adult of an age [years]. The table has no year between."""
    if age_years < 3:
        return YOUNG_ADULT
    return MIDDLE_AGED if age_years < 8 else OLD
