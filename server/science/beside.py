"""What stands beside a plan's numbers: comparisons, kitchen, what if, change of food."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from server.science.dog import DogFacts, Sex
from server.science.energy_methods import Estimate, after_target_kcal_per_day, estimates
from server.science.food_change import ChangeDay, food_change
from server.science.food_compare import Comparison, comparisons
from server.science.foods import energy_basis, meals
from server.science.growing import Growth
from server.science.human_terms import HumanTerms, human_terms
from server.science.kitchen import (
    Cut,
    Extras,
    Rounding,
    TreatCost,
    cut_of,
    extras_of,
    rounding_of,
    treat_costs,
)
from server.science.nutrients import ALLOWANCES, density_needed
from server.science.plan_case import PlanCase
from server.science.ration import RationRow
from server.science.target import TargetRange
from server.science.vet_first import PRESCRIPTION
from server.science.what_if import Row, needs_from, what_if

DAYS_PER_YEAR = 365.25


@dataclass(frozen=True)
class NutrientShare:
    """What the meals give of one nutrient: share of the allowance; density that would meet it.

    needed: [unit per 1000 kcal].
    """

    nutrient: str
    share_of_allowance: float
    needed: float
    unit: str

    def as_json(self) -> dict[str, Any]:
        """Return the share as a JSON object."""
        return {
            "nutrient": self.nutrient,
            "share_of_allowance": self.share_of_allowance,
            "needed_per_1000_kcal": self.needed,
            "unit": self.unit,
        }


@dataclass(frozen=True)
class BreedRange:
    """What most adults of this breed and sex weigh [kg]: a question beside the target, no target.

    Of 28 dogs that a vet recorded at their ideal weight, 18 were above the range of their breed.
    """

    breed: str
    sex: Sex
    low_kg: float
    high_kg: float

    def as_json(self) -> dict[str, Any]:
        """Return the range as a JSON object."""
        return {
            "breed": self.breed,
            "sex": self.sex,
            "low_kg": self.low_kg,
            "high_kg": self.high_kg,
        }


@dataclass(frozen=True)
class Beside:
    """What is shown beside a plan; empty or None where it does not apply.

    after_target [kcal/day]: what dogs held their target weight on, 90% interval and mean.
    """

    rounding: tuple[Rounding, ...] = ()
    treat_costs: tuple[TreatCost, ...] = ()
    extras: Extras | None = None
    cut: Cut | None = None
    what_if: tuple[Row, ...] = ()
    human_terms: HumanTerms | None = None
    food_change: tuple[ChangeDay, ...] = ()
    food_energy: tuple[Comparison, ...] = ()
    nutrient_shares: tuple[NutrientShare, ...] = ()
    need_by_source: tuple[Estimate, ...] = ()
    after_target: tuple[float, float, float] | None = None
    growth: Growth | None = None
    breed_range: BreedRange | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the keys that a plan's answer has beside those of the contract's example."""
        after = self.after_target
        return {
            "rounding": [item.as_json() for item in self.rounding],
            "treat_costs": [item.as_json() for item in self.treat_costs],
            "extras": self.extras and self.extras.as_json(),
            "cut": self.cut and self.cut.as_json(),
            "what_if": [item.as_json() for item in self.what_if],
            "human_terms": self.human_terms and self.human_terms.as_json(),
            "food_change": [item.as_json() for item in self.food_change],
            "food_energy": [item.as_json() for item in self.food_energy],
            "nutrient_shares": [item.as_json() for item in self.nutrient_shares],
            "need_by_source": [item.as_json() for item in self.need_by_source],
            "after_target_kcal": after
            and {"low": round(after[0]), "mid": round(after[1]), "high": round(after[2])},
            "growth": self.growth and self.growth.as_json(),
            "breed_range": self.breed_range and self.breed_range.as_json(),
        }


def beside_reduction(
    case: PlanCase,
    target: TargetRange,
    *,
    resting_kcal: float,
    floor_kcal: float,
    kcal: int,
    budget_kcal: int,
    rations: Sequence[tuple[date, tuple[RationRow, ...]]],
    shares: dict[str, float],
    fed_per_metabolic_kg: float,
) -> Beside:
    """Return what stands beside a plan that reduces.

    resting_kcal, floor_kcal, kcal, budget_kcal (for treats) [kcal/day]; rations: from which day
    which meals hold; shares of the nutrient allowances; fed_per_metabolic_kg: meals [kcal per
    kg^0.75 of target weight].
    """
    intake = case.intake
    steady = intake.kcal_per_day if intake and intake.weighed and intake.weight_steady else None
    basis = energy_basis(case.foods)
    return Beside(
        rounding=rounding_of(case.foods, rations[-1][1], basis),
        treat_costs=treat_costs(case.foods, basis),
        extras=extras_of(case.foods, budget_kcal),
        cut=cut_of(intake.kcal_per_day, kcal, case.foods, basis) if intake else None,
        what_if=what_if(
            weight_kg=case.weight_kg,
            target_kg=target.mid,
            resting_kcal=resting_kcal,
            floor_kcal=floor_kcal,
            needs=needs_from(case.weight_kg, steady),
            intake_kcal=intake.kcal_per_day if intake else None,
            asked_kcal=case.what_if_kcal,
        ),
        human_terms=human_terms(case.weight_kg, target.mid),
        food_change=_change(case, rations),
        food_energy=comparisons(case.foods, basis),
        nutrient_shares=_nutrient_shares(shares, fed_per_metabolic_kg),
        need_by_source=_estimates(case, target.mid),
        after_target=after_target_kcal_per_day(target.mid),
        breed_range=_breed_range(case.dog),
    )


def beside_holding(
    case: PlanCase,
    ration: tuple[RationRow, ...],
    shares: dict[str, float],
    fed_per_metabolic_kg: float,
    budget_kcal: int,
) -> Beside:
    """Return what stands beside the holding ration of a dog at its right weight."""
    basis = energy_basis(case.foods)
    return Beside(
        rounding=rounding_of(case.foods, ration, basis),
        treat_costs=treat_costs(case.foods, basis),
        extras=extras_of(case.foods, budget_kcal),
        food_change=_change(case, [(case.as_of, ration)]),
        food_energy=comparisons(case.foods, basis),
        nutrient_shares=_nutrient_shares(shares, fed_per_metabolic_kg),
        need_by_source=_estimates(case, case.weight_kg),
        breed_range=_breed_range(case.dog),
    )


def _change(
    case: PlanCase, rations: Sequence[tuple[date, tuple[RationRow, ...]]]
) -> tuple[ChangeDay, ...]:
    # A prescribed food is never swapped, neither away from nor towards.
    if case.changing_from is None or PRESCRIPTION in case.dog.conditions:
        return ()
    return food_change(case.changing_from, case.foods, rations) if meals(case.foods) else ()


def _breed_range(dog: DogFacts) -> BreedRange | None:
    if dog.breed is None or dog.breed_min_kg is None or dog.breed_max_kg is None:
        return None
    return BreedRange(dog.breed, dog.sex, dog.breed_min_kg, dog.breed_max_kg)


def _nutrient_shares(
    shares: dict[str, float], fed_per_metabolic_kg: float
) -> tuple[NutrientShare, ...]:
    return tuple(
        NutrientShare(
            word,
            round(share, 2),
            round(density_needed(ALLOWANCES[word].per_metabolic_kg, fed_per_metabolic_kg), 2),
            ALLOWANCES[word].unit,
        )
        for word, share in shares.items()
    )


def _estimates(case: PlanCase, weight_kg: float) -> tuple[Estimate, ...]:
    birth = case.dog.birth_date
    age = None if birth is None else (case.as_of - birth).days / DAYS_PER_YEAR
    return estimates(weight_kg, neutered=case.dog.neutered, age_years=age)
