"""What stands beside a plan: documents, and what it comes to by hand.

Imports nothing of the server: the expected numbers are those of `worked`.
"""

from __future__ import annotations

from decimal import Decimal

from tests.published import worked
from tests.published.whole_plans import DRY, Case, Expected, document, reduced, steady
from tests.published.worked import DEFINITION, POLICY, D, Sheet, whole

LB = D("0.45359237")
NUTRIENTS = {"protein": 250, "zinc": 60, "selenium": 0.35e3}


def _mid(sheet: Sheet, kg: str = "15.2", score: int = 7) -> Decimal:
    return worked.target_from_score(sheet, D(kg), score)[1]


def _kilojoules(sheet: Sheet) -> Expected:
    energy = sheet.step("U01", "1506 kJ per 100 g in kcal per kg", D(1506) * 10 / D("4.184"))
    return reduced(sheet, "15.2", score=7, intake="820", energies=(energy,))


def _weighed_cup(sheet: Sheet) -> Expected:
    numbers = reduced(sheet, "15.2", score=7, intake="820")
    cups = sheet.step(
        DEFINITION, "grams by the cup that was weighed", numbers["ration.0.grams"] / 97
    )
    eighths = whole(cups * 8)
    measured = eighths / 8 * 97 * D("3.6")
    return numbers | {
        "ration.0.cups": whole(cups, 2),
        "rounding.0.cups_error_pct": whole(100 * (measured / numbers["ration.0.kcal"] - 1), 1),
        "rounding.0.grams_error_pct": whole(
            100 * (numbers["ration.0.grams"] * D("3.6") / numbers["ration.0.kcal"] - 1), 1
        ),
    }


def _dry_matter(sheet: Sheet) -> Expected:
    parts = [str(D(part) * D("0.9")) for part in ("30", "15", "3")]
    energy = worked.four_steps(sheet, *parts, "10", str(D(7) * D("0.9")))
    return reduced(sheet, "15.2", score=7, intake="820", energies=(energy,))


def _nutrients(sheet: Sheet) -> Expected:
    mid = _mid(sheet)
    kcal = worked.start(sheet, worked.resting(sheet, mid), D(820), D(0))
    meals = kcal - worked.treat_budget(sheet, kcal, None)
    kg_of_food, metabolic = meals / 3600, worked.metabolic(mid)
    zinc = sheet.step("NR10", "zinc, of 2.0 mg", kg_of_food * 60 / (2 * metabolic))
    protein = sheet.step("NR01", "protein, of 3.28 g", kg_of_food * 250 / (D("3.28") * metabolic))
    selenium = sheet.step(
        "NR11", "selenium, of 11.8 ug", kg_of_food * 350 / (D("11.8") * metabolic)
    )
    needed = sheet.step("NU05", "zinc per 1000 kcal", 2 * 1000 / (meals / metabolic))
    return {
        "nutrient_basis": "label",
        "nutrient_shares.0.share_of_allowance": whole(protein, 2),
        "nutrient_shares.1.share_of_allowance": whole(zinc, 2),
        "nutrient_shares.1.needed_per_1000_kcal": whole(needed, 2),
        "nutrient_shares.2.share_of_allowance": whole(selenium, 2),
        "shortfalls.0.nutrient": "zinc",
        "shortfalls.0.share_of_allowance": whole(zinc, 2),
    }


def _puppy(kg: str, adult: str, level: int) -> Case:
    def expected(sheet: Sheet) -> Expected:
        stage = sheet.step("GR01", "level of its stage", level * worked.metabolic(D(kg)))
        return {
            "refused.code": "growing",
            "kcal_per_day": None,
            "growth.share_of_adult": whole(D(kg) / D(adult), 2),
            "growth.kcal_per_day": whole(worked.growing(sheet, D(kg), D(adult))),
            "growth.kcal_by_stage": whole(stage),
        }

    puppy = {"birth_date": "2025-09-20", "adult_weight_kg": float(adult)}
    return Case(
        f"a puppy of {kg} kg, {adult} kg grown", document(float(kg), 6, dog=puppy), expected
    )


def _pregnant(sheet: Sheet) -> Expected:
    late = worked.gestation(sheet, D("22.7"))
    times = late / (130 * worked.metabolic(D("22.7")))
    return {
        "refused.code": "pregnant",
        "kcal_per_day": None,
        "cautions.0.code": "needs_more",
        "cautions.0.values.times": whole(times, 1),
    }


def _nursing(sheet: Sheet) -> Expected:
    most = worked.lactation(sheet, D("22.7"), 4, 4, D("1.2"))
    times = most / (145 * worked.metabolic(D("22.7")))
    return {
        "refused.code": "nursing",
        "cautions.0.code": "needs_more",
        "cautions.0.values.times": whole(times, 1),
    }


def _after_target(sheet: Sheet) -> Expected:
    low, mean, high = worked.after_loss(sheet, D(25))
    age = D(2457) / D("365.25")  # 2019-06-10 to 2026-03-02
    by_hand = D(128) * worked.power(D(25), D("0.740")) * worked.power(age, D("-0.050"))
    pets = sheet.step("MER14", "pet dogs of this age", by_hand)
    fit = sheet.step("MER13", "meta-analysis", D("81.5") * worked.power(D(25), D("0.93")))
    return {
        "after_target_kcal.low": whole(low),
        "after_target_kcal.mid": whole(mean),
        "after_target_kcal.high": whole(high),
        "need_by_source.0.kcal_per_day": whole(95 * worked.metabolic(D(25))),
        "need_by_source.2.kcal_per_day": whole(110 * worked.metabolic(D(25))),
        "need_by_source.3.kcal_per_day": whole(pets),
        "need_by_source.4.kcal_per_day": whole(D("1.6") * worked.resting(sheet, D(25))),
        "need_by_source.6.kcal_per_day": whole(fit),
    }


def _what_if(sheet: Sheet) -> Expected:
    mid = _mid(sheet)
    rest = worked.resting(sheet, mid)
    expected: Expected = {}
    for n, share in enumerate(("1.00", "0.95", "0.90", "0.85", "0.80")):
        kcal = whole(D(share) * rest)
        loss = sheet.step("WL07", "loss a week", (820 - kcal) * 7 / D(7920))
        time = worked.weeks_on_ration(kcal, D(820), D("15.2"), mid)
        expected |= {
            f"what_if.{n}.kcal_per_day": kcal,
            f"what_if.{n}.loss_pct_per_week.mid": whole(100 * loss / D("15.2"), 1),
            f"what_if.{n}.weeks.mid": worked.up(time),
            f"what_if.{n}.cut_pct": whole(100 * (1 - kcal / 820), 1),
        }
    return expected | {"what_if.5.kcal_per_day": D(300), "what_if.5.weeks": None}


def _change(sheet: Sheet) -> Expected:
    mid = _mid(sheet)
    last = worked.start(sheet, worked.resting(sheet, mid), D(820), D(0))
    first = whole((820 + last) / 2)
    expected: Expected = {}
    for day in range(1, 11):
        kcal = first if day <= 7 else last
        meals = kcal - worked.treat_budget(sheet, kcal, None)
        new = sheet.step(POLICY, "a tenth more each day", meals * day / 10)
        expected |= {
            f"food_change.{day - 1}.new_pct": D(10 * day),
            f"food_change.{day - 1}.old.grams": whole(1000 * (meals - new) / 4000),
            f"food_change.{day - 1}.new.0.grams": whole(1000 * new / 3600),
        }
    return expected


def _treats(sheet: Sheet) -> Expected:
    numbers = reduced(sheet, "15.2", score=7, intake="820")
    budget = numbers["treat_kcal_max"]
    carrot = sheet.step("EXT1", "carrot, kcal per gram", D("0.41"))
    return numbers | {
        "treats.0.pieces_max": worked.down(budget / 12),
        "treats.0.grams_max": None,
        "treats.1.grams_max": worked.down(budget / carrot),
        "treat_costs.0.main_food_grams": whole(12 / D("3.6"), 1),
        "treat_costs.1.kcal": whole(10 * carrot, 1),
        "treat_costs.1.main_food_grams": whole(10 * carrot / D("3.6"), 1),
    }


def _pounds(sheet: Sheet) -> Expected:
    over, right = (21 - 18) * LB, 18 * LB
    person = sheet.step("TP09", "ratio of weights, on 80 kg", over / right * 80)
    return {
        "target_kg.mid": whole(right, 2),
        "human_terms.excess_kg": whole(over, 1),
        "human_terms.person_excess_kg": whole(person, 1),
    }


def _cut(sheet: Sheet) -> Expected:
    numbers = reduced(sheet, "15.2", score=7, intake="820")
    less = 820 - numbers["kcal_per_day"]
    return {
        "cut.kcal_less": less,
        "cut.part_left": whole(numbers["kcal_per_day"] / 820, 2),
        "cut.eighths_left": whole(8 * numbers["kcal_per_day"] / 820),
        "cut.grams_less": whole(less / D("3.6")),
        "cut.cups_less": whole(less / D("3.6") / 100, 2),
    }


BISCUIT = {"name": "biscuit", "role": "treat", "kcal_per_piece": 12}
CARROT = {"name": "carrot", "role": "extra", "common_extra": "carrot_raw"}
OLD = {"name": "old food", "kcal_per_kg": 4000}
BY_KJ = {"name": "by kJ", "role": "meal", "share": 1, "kj_per_100g": 1506}
RICH = DRY | {"label": {"nutrients_per_kg": NUTRIENTS}}
DRIED = {
    "name": "by dry matter",
    "role": "meal",
    "share": 1,
    "label": {
        "protein_pct": 30,
        "fat_pct": 15,
        "fibre_pct": 3,
        "moisture_pct": 10,
        "ash_pct": 7,
        "form": "dry",
        "basis": "dry_matter",
    },
}

CASES = (
    Case("a label in kilojoules", document(15.2, 7, BY_KJ, **steady(820)), _kilojoules),
    Case(
        "a cup that was weighed beats the label's",
        document(15.2, 7, DRY | {"cup_weighed_g": 97}, **steady(820)),
        _weighed_cup,
    ),
    Case("a label in dry matter", document(15.2, 7, DRIED, **steady(820)), _dry_matter),
    Case("nutrients of the label", document(15.2, 7, RICH, **steady(820)), _nutrients),
    _puppy("10", "30", 210),
    _puppy("2", "5", 210),
    _puppy("18", "30", 175),
    Case("pregnant", document(22.7, 7, dog={"reproduction": "pregnant"}), _pregnant),
    Case("nursing", document(22.7, 7, dog={"reproduction": "nursing"}), _nursing),
    Case("after the target", document(30, 7, DRY, dog={"lean_weight_kg": 25}), _after_target),
    Case("what if", document(15.2, 7, DRY, what_if_kcal=300, **steady(820)), _what_if),
    Case("a change of food", document(15.2, 7, DRY, changing_from=OLD, **steady(820)), _change),
    Case("treats by piece", document(15.2, 7, DRY, BISCUIT, CARROT, **steady(820)), _treats),
    Case(
        "21 lb where 18 is right",
        document(float(21 * LB), 7, DRY, dog={"lean_weight_kg": float(18 * LB)}),
        _pounds,
    ),
    Case("the cut in bowls", document(15.2, 7, DRY, **steady(820)), _cut),
)
