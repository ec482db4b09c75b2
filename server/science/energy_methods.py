"""What publications say an adult dog needs. They do not agree; the plan rests on `energy` alone.

Shown beside a plan so that a person sees how far the figures lie apart.
"""

from dataclasses import dataclass
from typing import Any

from server.errors import OutOfRange
from server.science.energy import (
    HOLDING_HIGH,
    HOLDING_LOW,
    QUIET_HOME,
    holding_kcal_per_day,
    metabolic_kg,
    resting_kcal_per_day,
)
from server.science.energy_levels import FACTOR_INTACT, FACTOR_NEUTERED, level_at_age
from server.science.units import KJ_PER_KCAL

NINETY_PCT_SD = 1.645  # half of a 90% interval, in standard deviations of a normal distribution

# Bermingham et al. 2014, PLoS ONE 9:e109681, abstract: 70 groups of 29 papers, all husbandry.
BERMINGHAM_MEAN, BERMINGHAM_SD = 142.8, 55.3  # [kcal per kg^0.75 per day]
BERMINGHAM_FACTOR, BERMINGHAM_EXPONENT = 81.5, 0.93  # [kcal per kg^0.93 per day]
# Divol and Priymenko 2017, J Nutr Sci, abstract: 319 pet dogs. Five further factors (breed, sex,
# bed place, temperament, feeding) were not seen and are taken as 1.
DIVOL_FACTOR, DIVOL_EXPONENT, DIVOL_AGE_EXPONENT = 128.0, 0.740, -0.050
ADULT_YEARS = (1.0, 20.0)  # [years] our guard: the equation is for adults
# German et al. 2011, Br J Nutr 106 Suppl 1:S93: 24 dogs that held their weight after a loss.
AFTER_LOSS_KJ, AFTER_LOSS_SD_KJ = 285.0, 54.8  # [kJ per kg^0.75 per day]
AFTER_LOSS = AFTER_LOSS_KJ / KJ_PER_KCAL  # [kcal per kg^0.75 per day], 0.97 x resting
AFTER_LOSS_SD = AFTER_LOSS_SD_KJ / KJ_PER_KCAL


def bermingham_kcal_per_day(weight_kg: float) -> float:
    """Return the meta-analysis' own fit, 81.5 x kg^0.93 [kcal/day], unrounded.

    All husbandry, laboratories too: high for a quiet pet. Raises OutOfRange outside 0.2 to 120 kg.
    """
    metabolic_kg(weight_kg)  # refuses weights outside the range
    return float(BERMINGHAM_FACTOR * weight_kg**BERMINGHAM_EXPONENT)


def divol_priymenko_kcal_per_day(weight_kg: float, age_years: float) -> float:
    """Return 128 x kg^0.740 x age^-0.050 [kcal/day], all other factors taken as 1, unrounded.

    Raises OutOfRange outside 0.2 to 120 kg and 1 to 20 years.
    """
    metabolic_kg(weight_kg)  # refuses weights outside the range
    if not ADULT_YEARS[0] <= age_years <= ADULT_YEARS[1]:
        raise OutOfRange("age_years", age_years, "years", *ADULT_YEARS)
    return float(DIVOL_FACTOR * weight_kg**DIVOL_EXPONENT * age_years**DIVOL_AGE_EXPONENT)


def after_target_kcal_per_day(target_kg: float) -> tuple[float, float, float]:
    """Return what dogs held their weight on after a loss [kcal/day]: 90% interval and mean.

    The middle is 0.97 x resting energy; dogs that lost more lean tissue needed less.
    Raises OutOfRange outside 0.2 to 120 kg.
    """
    metabolic = metabolic_kg(target_kg)
    half = NINETY_PCT_SD * AFTER_LOSS_SD
    low, high = max(AFTER_LOSS - half, 0.0), AFTER_LOSS + half
    return low * metabolic, AFTER_LOSS * metabolic, high * metabolic


@dataclass(frozen=True)
class Estimate:
    """What one source says a dog of a weight needs to hold it [kcal/day]; ends None: not given."""

    method: str
    kcal_per_day: float
    low: float | None
    high: float | None
    source: str

    def as_json(self) -> dict[str, Any]:
        """Return the estimate as a JSON object, in whole kcal."""
        return {
            "method": self.method,
            "kcal_per_day": round(self.kcal_per_day),
            "low": None if self.low is None else round(self.low),
            "high": None if self.high is None else round(self.high),
            "source": self.source,
        }


def estimates(weight_kg: float, *, neutered: bool, age_years: float | None) -> tuple[Estimate, ...]:
    """Return what each source says an adult dog of this weight needs, the careful ones first.

    age_years: None, or outside 1 to 20 years, leaves out what needs an age.
    Raises OutOfRange outside 0.2 to 120 kg.
    """
    metabolic, resting = metabolic_kg(weight_kg), resting_kcal_per_day(weight_kg)
    low, mid, high = after_target_kcal_per_day(weight_kg)
    factor = FACTOR_NEUTERED if neutered else FACTOR_INTACT
    spread = NINETY_PCT_SD * BERMINGHAM_SD
    found = [
        Estimate(
            "quiet_home",
            holding_kcal_per_day(weight_kg, QUIET_HOME),
            holding_kcal_per_day(weight_kg, HOLDING_LOW),
            holding_kcal_per_day(weight_kg, HOLDING_HIGH),
            "FEDIAF Nutritional Guidelines, 'How to read the tables'; span of 55 pet dogs: "
            "Am J Vet Res 2011;72:1151",
        ),
        Estimate("after_loss", mid, low, high, "German et al. 2011, Br J Nutr 106 Suppl 1:S93"),
    ]
    if age_years is not None and ADULT_YEARS[0] <= age_years <= ADULT_YEARS[1]:
        found += [
            _by_age(age_years, metabolic),
            Estimate(
                "pet_dogs_of_this_age",
                divol_priymenko_kcal_per_day(weight_kg, age_years),
                None,
                None,
                "Divol and Priymenko 2017, J Nutr Sci, abstract; its other factors taken as 1",
            ),
        ]
    return (
        *found,
        Estimate(
            "factor_on_resting",
            factor * resting,
            None,
            None,
            "Small Animal Clinical Nutrition, 5th ed., Table 5-2 (from memory)",
        ),
        Estimate(
            "all_studies_mean",
            BERMINGHAM_MEAN * metabolic,
            max(BERMINGHAM_MEAN - spread, 0.0) * metabolic,
            (BERMINGHAM_MEAN + spread) * metabolic,
            "Bermingham et al. 2014, PLoS ONE 9:e109681, abstract",
        ),
        Estimate(
            "all_studies_fit",
            bermingham_kcal_per_day(weight_kg),
            None,
            None,
            "Bermingham et al. 2014, PLoS ONE 9:e109681, abstract",
        ),
    )


def _by_age(age_years: float, metabolic: float) -> Estimate:
    level = level_at_age(age_years)
    low, mid, high = (
        None if part is None else part * metabolic for part in (level.low, level.mid, level.high)
    )
    return Estimate("by_age", mid or 0.0, low, high, level.source)
