"""Whole plans and holding rations: documents, and what they come to by hand.

Imports nothing of the server: the expected numbers are those of `worked`. Weights are such that no
number ends on an exact half, where a float may round the other way.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from tests.published import worked
from tests.published.worked import POLICY, D, Sheet, whole

Document = dict[str, Any]
Expected = dict[str, Any]

DRY: Document = {
    "name": "dry food A",
    "role": "meal",
    "share": 1.0,
    "kcal_per_kg": 3600,
    "grams_per_cup": 100,
}
WET: Document = {"name": "wet food B", "role": "meal", "share": 0.3, "kcal_per_kg": 850}
PARTS = {"protein_pct": 27, "fat_pct": 14, "fibre_pct": 2, "moisture_pct": 10, "ash_pct": 6}
WET_PARTS = {"protein_pct": 9, "fat_pct": 5, "fibre_pct": 0.5, "moisture_pct": 78, "ash_pct": 2}
DOG: Document = {
    "name": "Juniper",
    "sex": "female",
    "neutered": True,
    "birth_date": "2019-06-10",
    "coat": "short",
    "reproduction": "none",
    "conditions": [],
}


@dataclass(frozen=True)
class Case:
    """One whole case. expected: path in the answer -> value, worked out on a sheet."""

    name: str
    document: Document
    expected: Callable[[Sheet], Expected]


def document(kg: float, score: int, *foods: Document, **more: Any) -> Document:
    """A plan document of the invented dog; `dog` in more changes facts of the dog."""
    dog = DOG | more.pop("dog", {})
    return {
        "as_of": "2026-03-02",
        "dog": copy.deepcopy(dog),
        "weight_kg": kg,
        "condition": {"score": score},
        "foods": [copy.deepcopy(food) for food in foods],
        **more,
    }


def steady(kcal: float) -> Document:
    """A weighed intake on which the weight is steady."""
    return {"intake": {"kcal_per_day": kcal, "weighed": True, "weight_steady": True}}


def word(covers: str) -> Document:
    """A vet's word in force."""
    return {"vet_word": [{"on": "2026-03-01", "by": "Dr Amadi", "covers": covers, "until": None}]}


def reduced(
    sheet: Sheet,
    kg: str,
    *,
    score: int = 0,
    lean: str | None = None,
    intake: str | None = None,
    used: bool = True,
    floor: str = "0.8",
    treats: str | None = None,
    energies: tuple[Decimal, ...] = (D(3600),),
    shares: tuple[str, ...] = ("1",),
) -> Expected:
    """The numbers of a plan that reduces: targets, energy, steps, weeks, treats, meals."""
    today = D(kg)
    low, mid, high = (
        worked.target_from_record(sheet, today, D(lean))
        if lean
        else worked.target_from_score(sheet, today, score)
    )
    digits = 2 if today < 10 else 1
    goal = worked.first_goal(sheet, today, high)
    rest = worked.resting(sheet, mid)
    least = sheet.step("WL02" if floor == "0.8" else POLICY, "least energy", D(floor) * rest)
    kcal = worked.start(sheet, rest, D(intake) if intake and used else None, least)
    budget = worked.treat_budget(sheet, kcal, None if treats is None else D(treats))
    meals = worked.parts(kcal - budget, [D(share) for share in shares])
    expected = {
        "refused": None,
        "target_kg.low": whole(low, digits),
        "target_kg.mid": whole(mid, digits),
        "target_kg.high": whole(high, digits),
        "first_goal_kg": whole(goal, digits),
        "resting_kcal_at_target": whole(rest),
        "kcal_per_day": kcal,
        "kcal_band.0": whole(least),
        "kcal_band.1": whole(rest),
        "weeks.low": worked.up(worked.weeks(sheet, today, mid, "2.0", "WL04")),
        "weeks.high": worked.up(worked.weeks(sheet, today, mid, "0.5", "WL05")),
        "treat_kcal_max": budget,
    }
    for n, (part, energy) in enumerate(zip(meals, energies, strict=True)):
        expected[f"ration.{n}.kcal"] = part
        expected[f"ration.{n}.grams"] = whole(1000 * part / energy)
    if intake:
        expected["cut_pct"] = whole(100 * (1 - kcal / D(intake)), 1)
        deep = kcal < D("0.7") * D(intake)
        halfway = whole((D(intake) + kcal) / 2)
        first = sheet.step(POLICY, "first step of two", halfway) if deep else kcal
        expected["steps.0.kcal_per_day"] = first
        expected["steps.-1.kcal_per_day"] = kcal
    return expected


def held(sheet: Sheet, kg: str, treats: str | None = None) -> Expected:
    """The holding ration of a dog at its right weight."""
    metabolic = worked.metabolic(D(kg))
    kcal = whole(sheet.step("MER05", "95 x kg^0.75", 95 * metabolic))
    budget = worked.treat_budget(sheet, kcal, None if treats is None else D(treats))
    return {
        "refused.code": "not_overweight",
        "target_kg": None,
        "kcal_per_day": kcal,
        "kcal_band.0": whole(sheet.step("MER09", "65 x kg^0.75", 65 * metabolic)),
        "kcal_band.1": whole(sheet.step("MER09", "120 x kg^0.75", 120 * metabolic)),
        "ration.0.kcal": kcal - budget,
        "ration.0.grams": whole(1000 * (kcal - budget) / 3600),
    }


def _by_label(sheet: Sheet) -> Expected:
    energy = worked.four_steps(sheet, "27", "14", "2", "10", "6")
    compared = worked.modified_atwater(sheet, "27", "14", "2", "10", "6")
    return reduced(sheet, "15.2", score=7, intake="820", energies=(energy,)) | {
        "food_energy.0.kcal_per_kg": whole(energy),
        "food_energy.0.modified_atwater_kcal_per_kg": whole(compared),
        "food_energy.0.difference_pct": whole(100 * (compared / energy - 1), 1),
        "food_energy.0.kcal_per_kg_dry_matter": whole(energy / D("0.9")),
    }


def _two_labels(sheet: Sheet) -> Expected:
    dry = worked.four_steps(sheet, "27", "14", "2", "10", "6")
    wet = worked.four_steps(sheet, "9", "5", "0.5", "78", "2")
    return reduced(sheet, "40", score=8, treats="0", energies=(dry, wet), shares=("0.6", "0.4"))


def _label(name: str, share: float, form: str, **parts: float) -> Document:
    return {"name": name, "role": "meal", "share": share, "label": parts | {"form": form}}


TWO = (DRY | {"share": 0.7}, WET)
PRESCRIBED = {"purpose": "prescription"}

CASES = (
    Case(
        "the printed example",
        document(15.2, 7, DRY, **steady(820)),
        lambda s: reduced(s, "15.2", score=7, intake="820"),
    ),
    Case(
        "30 kg with 25 kg on record, intake unknown: AAHA 2014",
        document(30, 7, DRY, dog={"lean_weight_kg": 25}),
        lambda s: reduced(s, "30", lean="25"),
    ),
    Case(
        "40 kg at 8 of 9",
        document(40, 8, DRY),
        lambda s: reduced(s, "40", score=8),
    ),
    Case(
        "a toy dog, told in hundredths",
        document(2.4, 6, DRY),
        lambda s: reduced(s, "2.4", score=6),
    ),
    Case(
        "a giant at the top of the band",
        document(60, 7, DRY, **steady(2100)),
        lambda s: reduced(s, "60", score=7, intake="2100"),
    ),
    Case(
        "the book's 34 kg: Small Animal Clinical Nutrition, p. 540",
        document(45, 8, DRY, dog={"lean_weight_kg": 34}),
        lambda s: reduced(s, "45", lean="34"),
    ),
    Case(
        "80% of intake within the band",
        document(15.2, 7, DRY, **steady(560)),
        lambda s: reduced(s, "15.2", score=7, intake="560"),
    ),
    Case(
        "80% of intake just above the floor, in one step",
        document(15.2, 7, DRY, **steady(500)),
        lambda s: reduced(s, "15.2", score=7, intake="500"),
    ),
    Case(
        "a deep cut in two steps",
        document(22, 6, DRY, **steady(1500)),
        lambda s: reduced(s, "22", score=6, intake="1500"),
    ),
    Case(
        "an intake nobody weighed",
        document(
            15.2, 7, DRY, intake={"kcal_per_day": 700, "weighed": False, "weight_steady": True}
        ),
        lambda s: reduced(s, "15.2", score=7, intake="700", used=False),
    ),
    Case(
        "no treats",
        document(18.3, 8, DRY, treats=0),
        lambda s: reduced(s, "18.3", score=8, treats="0"),
    ),
    Case(
        "twenty kcal of treats",
        document(18.3, 8, DRY, treats=20),
        lambda s: reduced(s, "18.3", score=8, treats="20"),
    ),
    Case(
        "more treats than a tenth",
        document(18.3, 8, DRY, treats=400),
        lambda s: reduced(s, "18.3", score=8, treats="400"),
    ),
    Case(
        "dry and wet, 70 to 30",
        document(31, 7, *TWO, **steady(1100)),
        lambda s: reduced(
            s, "31", score=7, intake="1100", energies=(D(3600), D(850)), shares=("0.7", "0.3")
        ),
    ),
    Case(
        "a food by its label: the four steps",
        document(15.2, 7, _label("by label", 1.0, "dry", **PARTS), **steady(820)),
        _by_label,
    ),
    Case(
        "two foods by their labels, dry and wet",
        document(
            40,
            8,
            _label("dry", 0.6, "dry", **PARTS),
            _label("wet", 0.4, "wet", **WET_PARTS),
            treats=0,
        ),
        _two_labels,
    ),
    Case(
        "a floor lowered by a vet",
        document(15.2, 7, DRY, **steady(520), **word("floor_0_7")),
        lambda s: reduced(s, "15.2", score=7, intake="520", floor="0.7"),
    ),
    Case(
        "a target below 70% with a vet's word",
        document(40, 8, DRY, dog={"lean_weight_kg": 26}, **word("target_below_70pct")),
        lambda s: reduced(s, "40", lean="26"),
    ),
    Case(
        "a prescribed food: no treats",
        document(15.2, 7, DRY | PRESCRIBED, **steady(820), **word("condition:prescription_diet")),
        lambda s: reduced(s, "15.2", score=7, intake="820", treats="0"),
    ),
    Case("right weight at 5", document(15.2, 5, DRY), lambda s: held(s, "15.2")),
    Case(
        "right weight at 4, no treats",
        document(27.5, 4, DRY, treats=0),
        lambda s: held(s, "27.5", "0"),
    ),
    Case("a toy dog at its right weight", document(1.9, 5, DRY), lambda s: held(s, "1.9")),
)
