"""Every gate a dog must pass before food is reduced: one place, for plans and weekly reviews."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from server.science import growth
from server.science.condition import (
    PLAN_TO,
    RIGHT_TO,
    UNDERWEIGHT_TO,
    Looks,
    Score,
    belly_over_seen_ribs,
)
from server.science.dog import DogFacts, Muscle
from server.science.findings import COMMON_PRACTICE, PROJECT_POLICY, Finding
from server.science.target import LOWEST_OF_TODAY, TargetRange
from server.science.vet_first import CONSENSUS
from server.science.vet_words import (
    CONDITION_PREFIX,
    FLOOR_0_7,
    PLAN,
    TARGET_BELOW_70PCT,
    VetWord,
    word_for,
)

# Of resting energy at the target weight. AAHA 2014 starts at 0.8; the rest is policy: no source
# gives an evidence-based least intake for a dog.
BAND_LOW, BAND_HIGH = 0.8, 1.0
FLOOR_WITH_VET = 0.7
CEILING_WITHOUT_VET = 1.2

_REPRODUCTION = "Strombeck, home-prepared diets, online chapter; Merck Veterinary Manual"
_MUSCLE = "AAHA Nutritional Assessment Guidelines 2010: illness takes muscle more than fat"
_SCORE = "AAHA Nutritional Assessment Guidelines 2010: 4 to 5 of 9 is ideal"
_LOW_INTAKE = (
    "Veterinary Practice News, August 2019: recheck the diet history, consider the thyroid"
)


@dataclass(frozen=True)
class GateResult:
    """hits: gates that were hit, the weightiest first. lifted: vet's words that opened a gate."""

    hits: tuple[Finding, ...]
    lifted: tuple[VetWord, ...]


def check_gates(
    *,
    as_of: date,
    dog: DogFacts,
    weight_kg: float,
    muscle: Muscle,
    score: int | None,
    vet_words: tuple[VetWord, ...],
    condition: Score | Looks | None = None,
) -> GateResult:
    """Return the gates that a dog hits today.

    weight_kg: today's weight [kg], used for the age limit when no adult weight is known.
    score: today's score 1 to 9, or None when nobody has looked: then the score gates are skipped.
    condition: what that score was found from, where it is known.
    """
    hits: list[Finding] = []
    lifted: list[VetWord] = []
    if dog.reproduction != "none":
        hits.append(Finding(dog.reproduction, {}, _REPRODUCTION))
    if growing := _growing(as_of, dog, weight_kg):
        hits.append(growing)
    swollen = isinstance(condition, Looks) and belly_over_seen_ribs(condition)
    if reasons := _vet_reasons(as_of, dog, muscle, score, swollen, vet_words, lifted):
        source = reasons[0].pop("source") if len(reasons) == 1 else CONSENSUS
        for reason in reasons:
            reason.pop("source", None)
        hits.append(Finding("vet_first", {"reasons": reasons}, source))
    if score is not None and score <= RIGHT_TO:
        code = "underweight" if score <= UNDERWEIGHT_TO else "not_overweight"
        hits.append(Finding(code, {"score": score}, _SCORE))
    return GateResult(tuple(hits), tuple(lifted))


def floor_of_band(vet_words: tuple[VetWord, ...], as_of: date) -> float:
    """Return the least energy allowed, as a part of resting energy at target: 0.8, or 0.7."""
    return FLOOR_WITH_VET if word_for(FLOOR_0_7, vet_words, as_of) else BAND_LOW


def intake_gate(
    *,
    intake_kcal: float,
    resting_kcal: float,
    floor_kcal: float,
    vet_words: tuple[VetWord, ...],
    as_of: date,
) -> Finding | None:
    """Refuse a dog that holds its weight on food at or below resting energy at its target.

    All energies [kcal/day]; the intake was weighed and the weight is steady. A vet's word for the
    plan opens the gate only while there is room above the floor.
    """
    if intake_kcal > BAND_HIGH * resting_kcal:
        return None
    if word_for(PLAN, vet_words, as_of) and intake_kcal > floor_kcal:
        return None
    values = {"intake_kcal": round(intake_kcal), "resting_kcal": round(resting_kcal)}
    return Finding("already_low", values, _LOW_INTAKE)


def target_gate(
    *, target: TargetRange, weight_kg: float, vet_words: tuple[VetWord, ...], as_of: date
) -> Finding | None:
    """Refuse a target below 70% of today's weight unless a vet's word covers it."""
    if target.mid >= LOWEST_OF_TODAY * weight_kg:
        return None
    if word_for(TARGET_BELOW_70PCT, vet_words, as_of):
        return None
    reason = {"why": TARGET_BELOW_70PCT, "target_pct": round(100 * target.mid / weight_kg, 1)}
    return Finding("vet_first", {"reasons": [reason]}, PROJECT_POLICY)


def _growing(as_of: date, dog: DogFacts, weight_kg: float) -> Finding | None:
    if dog.birth_date is None:
        if dog.grown == "yes":
            return None
        return Finding("growing", {"age_known": False, "grown": dog.grown}, growth.SOURCE)
    adult_kg = dog.adult_weight_kg or dog.breed_grown_kg or weight_kg
    months = growth.grown_after_months(adult_kg)
    grown_on = growth.months_later(dog.birth_date, months)
    if as_of >= grown_on:
        return None
    values = {
        "age_known": True,
        "age_months": growth.whole_months(dog.birth_date, as_of),
        "until_months": months,
        "until": grown_on.isoformat(),
    }
    return Finding("growing", values, growth.SOURCE)


def _vet_reasons(
    as_of: date,
    dog: DogFacts,
    muscle: Muscle,
    score: int | None,
    swollen: bool,
    vet_words: tuple[VetWord, ...],
    lifted: list[VetWord],
) -> list[dict[str, Any]]:
    reasons: list[dict[str, Any]] = []

    def meet(covers: str, reason: dict[str, Any]) -> None:
        if word := word_for(covers, vet_words, as_of):
            if word not in lifted:
                lifted.append(word)
        else:
            reasons.append(reason)

    for word in dog.conditions:
        meet(CONDITION_PREFIX + word, {"why": "condition", "word": word, "source": CONSENSUS})
    if muscle != "normal":
        meet(PLAN, {"why": "muscle", "muscle": muscle, "source": _MUSCLE})
    if score is not None and score > PLAN_TO:
        meet(PLAN, {"why": "score", "score": score, "source": CONSENSUS})
    if swollen:
        meet(PLAN, {"why": "belly", "source": COMMON_PRACTICE})
    return reasons
