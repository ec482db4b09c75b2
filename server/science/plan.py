"""The plan: from one dog, one day and its foods to a ration, or to a refusal with its reason."""

from dataclasses import replace
from datetime import date, timedelta
from math import ceil

from server.science import growing, plan_cautions, reproduction
from server.science.beside import Beside, beside_holding, beside_reduction
from server.science.condition import ScoreRange, score_distribution, score_range
from server.science.energy import (
    HOLDING_HIGH,
    HOLDING_LOW,
    holding_kcal_per_day,
    metabolic_kg,
    resting_kcal_per_day,
)
from server.science.findings import Finding
from server.science.foods import FoodFacts, energy_basis, kcal_per_kg
from server.science.gates import (
    BAND_HIGH,
    BAND_LOW,
    GateResult,
    check_gates,
    floor_of_band,
    intake_gate,
    target_gate,
)
from server.science.loss_rate import LOSS_HIGH_PCT, LOSS_LOW_PCT
from server.science.nutrients import NutrientBasis, Shortfall, allowance_shares
from server.science.plan_case import STEP_APART_DAYS, Intake, PlanCase
from server.science.plan_result import PlanResult, Reduction, Step
from server.science.ration import (
    RationRow,
    ration_for,
    treat_budget_kcal,
    treat_limits,
)
from server.science.target import (
    LOWEST_OF_TODAY,
    TargetRange,
    first_goal_kg,
    first_goal_span_kg,
    target_range,
)
from server.science.units import weight_digits
from server.science.unsafe_foods import unsafe_findings
from server.science.vet_first import PRESCRIPTION
from server.science.vet_words import TARGET_BELOW_70PCT, word_for

__all__ = ["Intake", "PlanCase", "PlanResult", "Reduction", "Step", "make_plan", "weeks_to_lose"]

# AAHA Weight Management Guidelines 2014, "Designing a program".
START_OF_INTAKE = 0.8  # of weighed, steady intake
TWO_STEPS_ABOVE_CUT = 0.30  # this project's policy: a larger cut is made in two steps


def make_plan(case: PlanCase) -> PlanResult:
    """Return the plan for one dog, or the refusal that protects it.

    Raises BadInput for foods that cannot be counted together or an unknown word.
    """
    result = _plan_or_refusal(_with_prescription(case))
    unsafe = unsafe_findings(food.name for food in _eaten(case))
    return replace(result, cautions=(*unsafe, *result.cautions)) if unsafe else result


def _plan_or_refusal(case: PlanCase) -> PlanResult:
    dog = case.dog
    distribution = score_distribution(case.condition, coat=dog.coat, sighthound=dog.sighthound)
    score = score_range(distribution)
    gates = check_gates(
        as_of=case.as_of,
        dog=dog,
        weight_kg=case.weight_kg,
        muscle=case.muscle,
        score=score.mid,
        vet_words=case.vet_words,
        condition=case.condition,
    )
    if gates.hits and gates.hits[0].code == "not_overweight":
        return _holding(case, score, gates)
    if gates.hits:
        return _refusal(case, score, gates)

    target = target_range(case.weight_kg, distribution, dog.lean_weight_kg)
    resting = resting_kcal_per_day(target.mid)
    floor = floor_of_band(case.vet_words, case.as_of) * resting
    late = (
        target_gate(
            target=target,
            weight_kg=case.weight_kg,
            vet_words=case.vet_words,
            as_of=case.as_of,
        ),
        _intake_hit(case, resting, floor),
    )
    if hits := tuple(hit for hit in late if hit):
        return _refusal(case, score, GateResult(hits, gates.lifted))

    kcal = _start_kcal(case.intake, resting, floor)
    reduction = _reduction(case, target, resting, kcal)
    budget = treat_budget_kcal(kcal, case.treat_kcal, case.foods)
    ration = ration_for(kcal, case.foods, case.treat_kcal, case.cup_ml)
    basis, shares = _nutrients(case.foods, ration, target.mid)
    step_rations = tuple(
        ration_for(step.kcal_per_day, case.foods, case.treat_kcal, case.cup_ml)
        for step in reduction.steps
    )
    return PlanResult(
        refused=None,
        score=score,
        reduction=reduction,
        kcal_per_day=kcal,
        kcal_band=(round(floor), round(BAND_HIGH * resting)),
        treat_kcal_max=budget,
        ration=ration,
        step_rations=step_rations,
        treats=treat_limits(case.foods, budget),
        nutrient_basis=basis,
        shortfalls=_shortfalls(shares),
        cautions=plan_cautions.of_reduction(
            case, score, target, gates.lifted, kcal, floor, budget, shares, len(step_rations)
        ),
        beside=beside_reduction(
            case,
            target,
            resting_kcal=resting,
            floor_kcal=floor,
            kcal=kcal,
            budget_kcal=budget,
            rations=[
                (step.on, rows) for step, rows in zip(reduction.steps, step_rations, strict=True)
            ],
            shares=shares,
            fed_per_metabolic_kg=(kcal - budget) / metabolic_kg(target.mid),
        ),
    )


def _eaten(case: PlanCase) -> tuple[FoodFacts, ...]:
    return (*case.foods, case.changing_from) if case.changing_from else case.foods


def _with_prescription(case: PlanCase) -> PlanCase:
    """Count a prescribed food and the condition as one: what follows from either is the same."""
    prescribed = PRESCRIPTION in case.dog.conditions
    if not prescribed and all(food.purpose != "prescription" for food in _eaten(case)):
        return case
    conditions = tuple(dict.fromkeys((*case.dog.conditions, PRESCRIPTION)))
    return replace(case, treat_kcal=0.0, dog=replace(case.dog, conditions=conditions))


def _refusal(case: PlanCase, score: ScoreRange, gates: GateResult) -> PlanResult:
    growth, more = None, list[Finding]()
    hits = {hit.code for hit in gates.hits}
    if case.dog.reproduction in hits:
        more.append(reproduction.needs_more(case.dog.reproduction, case.weight_kg))
    if "growing" in hits:
        growth = growing.growth_of(case.dog, case.weight_kg)
        more += growing.growth_findings(growth, case.as_of, case.weight_kg, case.earlier)
    return PlanResult(
        refused=gates.hits[0],
        score=score,
        reduction=None,
        kcal_per_day=None,
        kcal_band=None,
        treat_kcal_max=None,
        ration=(),
        step_rations=(),
        treats=(),
        nutrient_basis=None,
        shortfalls=(),
        cautions=(*gates.hits[1:], *more, *plan_cautions.of_condition(case, score)),
        beside=Beside(growth=growth),
    )


def _holding(case: PlanCase, score: ScoreRange, gates: GateResult) -> PlanResult:
    kcal = round(holding_kcal_per_day(case.weight_kg))
    band = (
        round(holding_kcal_per_day(case.weight_kg, HOLDING_LOW)),
        round(holding_kcal_per_day(case.weight_kg, HOLDING_HIGH)),
    )
    budget = treat_budget_kcal(kcal, case.treat_kcal, case.foods)
    ration = ration_for(kcal, case.foods, case.treat_kcal, case.cup_ml)
    basis, shares = _nutrients(case.foods, ration, case.weight_kg)
    return PlanResult(
        refused=gates.hits[0],
        score=score,
        reduction=None,
        kcal_per_day=kcal,
        kcal_band=band,
        treat_kcal_max=budget,
        ration=ration,
        step_rations=(),
        treats=treat_limits(case.foods, budget),
        nutrient_basis=basis,
        shortfalls=_shortfalls(shares),
        cautions=plan_cautions.of_holding(case, score, gates.lifted, kcal, band),
        beside=beside_holding(
            case, ration, shares, (kcal - budget) / metabolic_kg(case.weight_kg), budget
        ),
    )


def _intake_hit(case: PlanCase, resting: float, floor: float) -> Finding | None:
    intake = case.intake
    if intake is None or not (intake.weighed and intake.weight_steady):
        return None
    return intake_gate(
        intake_kcal=intake.kcal_per_day,
        resting_kcal=resting,
        floor_kcal=floor,
        vet_words=case.vet_words,
        as_of=case.as_of,
    )


def _start_kcal(intake: Intake | None, resting: float, floor: float) -> int:
    if intake is None or not (intake.weighed and intake.weight_steady):
        # A vet's word allows the lower floor; it does not move the usual start.
        return round(resting * (BAND_LOW + BAND_HIGH) / 2)
    return round(min(max(START_OF_INTAKE * intake.kcal_per_day, floor), BAND_HIGH * resting))


def _steps(as_of: date, intake: Intake | None, kcal: int) -> tuple[Step, ...]:
    if intake is None or kcal >= (1 - TWO_STEPS_ABOVE_CUT) * intake.kcal_per_day:
        return (Step(as_of, kcal),)
    halfway = round((intake.kcal_per_day + kcal) / 2)
    return (Step(as_of, halfway), Step(as_of + timedelta(days=STEP_APART_DAYS), kcal))


def _reduction(case: PlanCase, target: TargetRange, resting: float, kcal: int) -> Reduction:
    weight, intake = case.weight_kg, case.intake
    digits = weight_digits(weight)
    low = target.low
    if not word_for(TARGET_BELOW_70PCT, case.vet_words, case.as_of):
        low = max(low, LOWEST_OF_TODAY * weight)
    to_lose = weight - target.mid
    span = first_goal_span_kg(weight, target)
    return Reduction(
        target=TargetRange(
            round(low, digits),
            round(target.mid, digits),
            round(target.high, digits),
            target.from_record,
        ),
        first_goal_kg=round(first_goal_kg(weight, target), digits),
        first_goal_span_kg=(round(span[0], digits), round(span[1], digits)),
        resting_kcal=round(resting),
        steps=_steps(case.as_of, intake, kcal),
        weeks_low=_whole_weeks(weeks_to_lose(to_lose, weight, LOSS_HIGH_PCT)),
        weeks_high=_whole_weeks(weeks_to_lose(to_lose, weight, LOSS_LOW_PCT)),
        cut_pct=round(100 * (1 - kcal / intake.kcal_per_day), 1) if intake else None,
    )


def weeks_to_lose(to_lose_kg: float, weight_kg: float, pct_per_week: float) -> float:
    """Return how long a loss takes at a rate in percent of the initial weight, unrounded [weeks].

    Box 27-12 of Small Animal Clinical Nutrition, 5th ed.
    """
    return to_lose_kg / (pct_per_week / 100 * weight_kg)


def _whole_weeks(weeks: float) -> int:
    # Rounded up; the tiny amount keeps 25.000000001 from becoming 26.
    return ceil(weeks - 1e-9)


def _nutrients(
    foods: tuple[FoodFacts, ...], ration: tuple[RationRow, ...], weight_kg: float
) -> tuple[NutrientBasis, dict[str, float]]:
    if not ration:
        return "design", {}
    basis = energy_basis(foods)
    meal_foods = [food for food in foods if food.role == "meal"]
    shares = allowance_shares(
        [
            (row.kcal, kcal_per_kg(food, basis), food.nutrients_per_kg)
            for food, row in zip(meal_foods, ration, strict=True)
        ],
        metabolic_kg(weight_kg),
    )
    return ("label" if shares else "design"), shares


def _shortfalls(shares: dict[str, float]) -> tuple[Shortfall, ...]:
    return tuple(Shortfall(word, round(share, 2)) for word, share in shares.items() if share < 1)
