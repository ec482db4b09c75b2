"""Facts of the trade (common practice, no source) against what the server does with such dogs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from server.science.condition import Looks, Score, score_distribution, score_range
from server.science.dog import Coat, DogFacts
from server.science.foods import FoodFacts
from server.science.growth import months_later
from server.science.human_terms import human_terms
from server.science.kitchen import cut_of
from server.science.plan import make_plan
from server.science.plan_case import Intake, PlanCase
from server.science.plan_result import PlanResult
from server.science.units import KG_PER_LB
from tests.published.energy_checks import Holds
from tests.science.published import Row

TODAY = date(2026, 3, 2)
LOW_LB, HIGH_LB = 13.0, 18.0
SMALL = DogFacts(
    "Bracken",
    "female",
    True,
    date(2020, 5, 1),
    breed="a small companion breed",
    breed_min_kg=LOW_LB * KG_PER_LB,
    breed_max_kg=HIGH_LB * KG_PER_LB,
    breed_grown_kg=HIGH_LB * KG_PER_LB,
)
CUP = FoodFacts("dry", kcal_per_kg=3600, grams_per_cup=100)


def _plan(weight_lb: float, score: int, dog: DogFacts = SMALL) -> PlanResult:
    return make_plan(PlanCase(TODAY, dog, weight_lb * KG_PER_LB, Score(score), foods=(CUP,)))


def _refused(result: PlanResult) -> str:
    return result.refused.code if result.refused else ""


def _score(ribs: str, sighthound: bool = False) -> int:
    looks = Looks(ribs, "clear", "rising")
    return score_range(score_distribution(looks, sighthound=sighthound)).mid


def _over_the_limit(row: Row) -> bool:
    # Just over 20 lb and overweight by the hand: a plan, whose target is about the breed's top.
    plan = _plan(row.numbers[0] + 0.5, 7)
    assert plan.reduction
    return LOW_LB < plan.reduction.target.mid / KG_PER_LB <= HIGH_LB


def _a_question_and_no_target(row: Row) -> bool:
    # 13 to 18 lb stands beside the target of a dog of 21 lb; without it the target is the same.
    plain = replace(SMALL, breed=None, breed_min_kg=None, breed_max_kg=None)
    asked, unasked = _plan(21, 7), _plan(21, 7, plain)
    assert asked.reduction == unasked.reduction
    assert unasked.beside.breed_range is None
    shown = asked.beside.breed_range
    assert shown
    return [round(kg / KG_PER_LB, 6) for kg in (shown.low_kg, shown.high_kg)] == row.numbers


def _three_quarters_to_half(row: Row) -> bool:
    kcal = [360 * row.inputs[key] for key in ("from_cups", "to_cups")]
    cut = cut_of(kcal[0], round(kcal[1]), (CUP,), "label")
    assert cut
    assert cut.cups_less == 0.25
    # A cut this deep goes in two steps a week apart.
    dog = replace(SMALL, lean_weight_kg=4.0)
    case = PlanCase(TODAY, dog, 5.0, Score(7), intake=Intake(320, True, True), foods=(CUP,))
    plan = make_plan(case)
    assert plan.reduction
    assert len(plan.reduction.steps) == (2 if (plan.reduction.cut_pct or 0) > 30 else 1)
    return row.numbers[0] <= 100 * (1 - cut.part_left) <= row.numbers[1]


def _nothing_beyond_the_day(row: Row) -> bool:
    treats = (CUP, FoodFacts("biscuit", role="treat", kcal_per_piece=12))
    plan = make_plan(PlanCase(TODAY, SMALL, 9.5, Score(7), foods=treats))
    given = sum(item.kcal for item in plan.ration) + (plan.treat_kcal_max or 0)
    return given - (plan.kcal_per_day or 0) == row.numbers[0]


def _part_of_the_look_from_above(row: Row) -> bool:
    """How far the waist alone moves the score of a long-coated dog, beside the ribs and tuck."""

    def mean(waist: str, coat: Coat) -> float:
        shares = score_distribution(Looks("thin_cover", waist, "rising"), coat=coat)
        return sum(score * share for score, share in enumerate(shares, start=1))

    moved = mean("straight", "long") - mean("clear", "long")
    return row.numbers[0] < 100 * moved / (7.3 - 4.6) < row.numbers[1]


PRACTICE: dict[str, Holds] = {
    "TP01": lambda row: row.numbers[0] <= _score("thin_cover") <= row.numbers[1],
    "TP02": lambda row: (
        _score("sharp") <= row.numbers[0] and _score("sharp", sighthound=True) > row.numbers[0]
    ),
    "TP03": _a_question_and_no_target,
    "TP04": _over_the_limit,
    "TP05": lambda row: all(_refused(_plan(lb, 5)) == "not_overweight" for lb in row.numbers),
    "TP06": lambda row: _refused(_plan(row.numbers[0], 5)) == "not_overweight",
    "TP07": lambda row: (
        _refused(_plan(14, 6, replace(SMALL, birth_date=months_later(TODAY, -int(row.numbers[0])))))
        == "growing"
    ),
    "TP08": _three_quarters_to_half,
    "TP09": lambda row: (
        abs(human_terms(21, 18, 10 * 18).person_excess_kg - row.numbers[0]) <= row.tolerance
    ),
    "TP10": _nothing_beyond_the_day,
    "TP11": _part_of_the_look_from_above,
}
