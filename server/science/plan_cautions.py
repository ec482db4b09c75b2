"""What a person must hear beside the numbers of a plan."""

from server.science import food_energy, nutrients, ration
from server.science.condition import Looks, ScoreRange, belly_without_fat, looks_disagree
from server.science.energy import metabolic_kg
from server.science.findings import COMMON_PRACTICE, Finding
from server.science.food_change import CHANGE_DAYS_HIGH, CHANGE_DAYS_LOW
from server.science.food_compare import food_findings
from server.science.foods import FoodFacts, energy_basis, meals
from server.science.gates import BAND_LOW, FLOOR_WITH_VET
from server.science.kitchen import extras_of
from server.science.plan_case import STEP_APART_DAYS, PlanCase
from server.science.target import HIGHEST_OF_TODAY, TargetRange
from server.science.units import weight_digits
from server.science.vet_first import PRESCRIPTION
from server.science.vet_words import FLOOR_0_7, VetWord, word_for

WIDE_SCORE = 3  # [scores] from low to high: our choice of when to look again
# Most dry foods: 200 to 660 kcal per cup (secondary web article); wet foods are not judged.
DRY_CUP_LOW_KCAL, DRY_CUP_HIGH_KCAL = 200.0, 660.0
# Eastland-Jones et al. 2014, abstract: 110 owners with a chart; too low: of those wrong [%].
OWNERS_WRONG_PCT, OWNERS_TOO_LOW_PCT = 64, 89

_START = "AAHA Weight Management Guidelines 2014, 'Designing a program': 80% of intake"
_EXAMINE = "AAHA Weight Management Guidelines 2014, 'Initial assessment'"
_OWNERS = "Eastland-Jones et al. 2014, J Nutr Sci 3:e45, abstract: 110 owners with a chart"
_SIGHTHOUND = "Jeusette et al. 2010, quoted in Clinician's Brief"
_BREEDS = (
    "veterinary sample: of 28 dogs recorded at their ideal weight, 18 were above the breed range"
)
_GAYLORD = "Gaylord et al. 2018, JSAP 59:695; Linder et al. 2012, Vet Q 32:123"
_CUPS = "University of Guelph, Vet Record 2019 (summary): 100 owners, three devices"
_TREATS = "Small Animal Clinical Nutrition, 5th ed. (Hand et al., 2010), p. 522"


def of_condition(case: PlanCase, score: ScoreRange) -> tuple[Finding, ...]:
    """Return cautions about how the score was found; they hold with and without a plan."""
    cautions = []
    if isinstance(case.condition, Looks):
        if belly_without_fat(case.condition):
            cautions.append(Finding("belly_without_fat", {}, COMMON_PRACTICE))
        apart = looks_disagree(case.condition, coat=case.dog.coat, sighthound=case.dog.sighthound)
        if apart or score.high - score.low >= WIDE_SCORE:
            cautions.append(Finding("looks_disagree", {"low": score.low, "high": score.high}))
        if case.dog.coat == "long":
            cautions.append(Finding("coat_hides_waist", {}, COMMON_PRACTICE))
        bias = {"wrong_pct": OWNERS_WRONG_PCT, "too_low_pct": OWNERS_TOO_LOW_PCT}
        cautions.append(Finding("owners_score_low", bias, _OWNERS))
    if case.dog.sighthound:
        cautions.append(Finding("sighthound_ribs", {}, _SIGHTHOUND))
    return tuple(cautions)


def of_holding(
    case: PlanCase,
    score: ScoreRange,
    lifted: tuple[VetWord, ...],
    kcal: int,
    band: tuple[int, int],
) -> tuple[Finding, ...]:
    """Return the cautions of a holding ration [kcal/day]."""
    values = {"kcal_per_day": kcal, "low": band[0], "high": band[1]}
    cautions = [
        Finding("holding_varies", values, "Am J Vet Res 2011;72:1151, introduction (n = 55)")
    ]
    intake = case.intake
    if intake and intake.weighed and intake.weight_steady:
        measured = {"kcal_per_day": round(intake.kcal_per_day)}
        cautions.append(Finding("measured_intake_holds", measured))
    return (
        *cautions,
        *of_condition(case, score),
        *_of_words(lifted),
        *_of_treats(case, kcal),
        *_of_foods(case.foods),
    )


def of_reduction(
    case: PlanCase,
    score: ScoreRange,
    target: TargetRange,
    lifted: tuple[VetWord, ...],
    kcal: int,
    floor_kcal: float,
    budget_kcal: int,
    shares: dict[str, float],
    steps: int,
) -> tuple[Finding, ...]:
    """Return the cautions of a plan that reduces, the weightiest first.

    kcal, floor_kcal, budget_kcal [kcal/day]; shares: of allowances, empty without nutrients.
    steps: in how many steps the food goes down.
    """
    return (
        Finding("vet_check", {}, _EXAMINE),
        *_of_words(lifted),
        *_of_floor(case, kcal, floor_kcal),
        *_of_intake(case, kcal),
        *_of_steps(steps),
        *_of_target(case, target),
        *of_condition(case, score),
        *_of_nutrients(case, target, kcal - budget_kcal, shares),
        *_of_treats(case, kcal),
        *_of_foods(case.foods),
    )


def _of_words(lifted: tuple[VetWord, ...]) -> list[Finding]:
    return [
        Finding(
            "vet_word_used",
            {
                "by": word.by,
                "covers": word.covers,
                "until": word.until.isoformat() if word.until else None,
            },
        )
        for word in lifted
    ]


def _of_floor(case: PlanCase, kcal: int, floor_kcal: float) -> list[Finding]:
    cautions = []
    if word := word_for(FLOOR_0_7, case.vet_words, case.as_of):
        values = {"share": FLOOR_WITH_VET, "usual": BAND_LOW, "by": word.by}
        cautions.append(Finding("floor_lowered", values))
    if kcal <= round(floor_kcal):
        cautions.append(Finding("at_floor", {"kcal_per_day": kcal}))
    return cautions


def _of_intake(case: PlanCase, kcal: int) -> list[Finding]:
    intake = case.intake
    if intake is None:
        return [Finding("intake_unknown", {}, _EXAMINE)]
    cautions = []
    if not (intake.weighed and intake.weight_steady):
        why = "unweighed" if not intake.weighed else "weight_moving"
        cautions.append(Finding("intake_not_used", {"why": why}, _EXAMINE))
    if intake.kcal_per_day <= kcal:
        values = {"intake_kcal": round(intake.kcal_per_day), "kcal_per_day": kcal}
        cautions.append(
            Finding("intake_below_plan", values, "Veterinary Practice News, August 2019")
        )
    return cautions


def _of_steps(steps: int) -> list[Finding]:
    if steps < 2:
        return []
    # In practice a cut of 30 to 40% at once is common; publications start at 80% of intake.
    values = {"steps": steps, "days_apart": STEP_APART_DAYS}
    return [Finding("deep_cut_in_steps", values, _START)]


def _of_target(case: PlanCase, target: TargetRange) -> list[Finding]:
    dog, digits = case.dog, weight_digits(case.weight_kg)
    cautions = []
    if dog.lean_weight_kg and not target.from_record:
        values = {
            "lean_weight_kg": dog.lean_weight_kg,
            "highest_kg": round(HIGHEST_OF_TODAY * case.weight_kg, digits),
        }
        cautions.append(Finding("lean_weight_not_used", values))
    above = dog.breed_max_kg is not None and target.low > dog.breed_max_kg
    below = dog.breed_min_kg is not None and target.high < dog.breed_min_kg
    if above or below:
        question = {
            "breed": dog.breed,
            "breed_min_kg": dog.breed_min_kg,
            "breed_max_kg": dog.breed_max_kg,
            "target_low_kg": round(target.low, digits),
            "target_high_kg": round(target.high, digits),
        }
        cautions.append(Finding("outside_breed_range", question, _BREEDS))
    return cautions


def _of_nutrients(
    case: PlanCase, target: TargetRange, meal_kcal: int, shares: dict[str, float]
) -> list[Finding]:
    fed = meal_kcal / metabolic_kg(target.mid)
    low, high = nutrients.design_share(fed)
    values = {
        "fed_per_metabolic_kg": round(fed),
        "low_pct": round(100 * low),
        "high_pct": round(100 * high),
    }
    cautions = []
    if short := [word for word, share in shares.items() if share < 1]:
        cautions.append(Finding("nutrients_short", {"nutrients": short}, nutrients.SOURCE))
    if not shares:
        cautions.append(Finding("below_design", values, nutrients.DESIGN_SOURCE))
    elif unnamed := [word for word in nutrients.ALLOWANCES if word not in shares]:
        cautions.append(Finding("nutrients_not_named", {"nutrients": unnamed}, nutrients.SOURCE))
    if any(food.purpose == "maintenance" for food in meals(case.foods)) or not case.foods:
        why = {
            "days_low": CHANGE_DAYS_LOW,
            "days_high": CHANGE_DAYS_HIGH,
            "short_from": round(nutrients.SHORT_FROM),
            "several_from": round(nutrients.SEVERAL_SHORT_FROM),
        }
        cautions.append(Finding("food_for_loss", why, _GAYLORD))
    return cautions


def _of_treats(case: PlanCase, kcal: int) -> list[Finding]:
    cautions = []
    tenth = round(ration.TREAT_SHARE_MAX * kcal)
    if case.treat_kcal is not None and case.treat_kcal > tenth:
        values = {"asked_kcal": round(case.treat_kcal), "most_kcal": tenth}
        cautions.append(Finding("treats_capped", values, _TREATS))
    budget = ration.treat_budget_kcal(kcal, case.treat_kcal, case.foods)
    extras = extras_of(case.foods, budget)
    if extras and extras.kcal > budget:
        over = {"extras_kcal": extras.kcal, "most_kcal": budget}
        cautions.append(Finding("extras_over_budget", over, _TREATS))
    if PRESCRIPTION in case.dog.conditions:
        cautions.append(Finding("prescription_diet", {}, COMMON_PRACTICE))
    return cautions


def _of_foods(foods: tuple[FoodFacts, ...]) -> list[Finding]:
    cautions = []
    eaten = meals(foods)
    if eaten and energy_basis(foods) == "equation":
        high_fibre = [
            food.name
            for food in eaten
            if food.label
            and food_energy.fibre_in_dry_matter_pct(food.label)
            > food_energy.READS_LOW_ABOVE_FIBRE_PCT
        ]
        values = {"foods": [food.name for food in eaten], "may_read_low": high_fibre}
        cautions.append(Finding("energy_from_label_parts", values, food_energy.SOURCE))
    for food in eaten:
        if food.grams_per_cup is None or food.kcal_per_kg is None:
            continue
        per_cup = food.kcal_per_kg * food.grams_per_cup / 1000
        dry = food.label is None or food.label.form == "dry"
        if dry and not DRY_CUP_LOW_KCAL <= per_cup <= DRY_CUP_HIGH_KCAL:
            odd = {"food": food.name, "kcal_per_cup": round(per_cup)}
            cautions.append(
                Finding("cup_energy_odd", odd, "secondary web article: 200 to 660 kcal per cup")
            )
    if any(food.grams_per_cup for food in eaten):
        error = {"low_pct": ration.CUP_ERROR_LOW_PCT, "high_pct": ration.CUP_ERROR_HIGH_PCT}
        cautions.append(Finding("weigh_grams", error, _CUPS))
    return cautions + food_findings(foods)
