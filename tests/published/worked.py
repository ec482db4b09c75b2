"""Whole plans by hand, in decimal arithmetic, from the published rows alone.

Imports nothing of the server. Every step goes into a sheet with the row it rests on (fixtures/
published), or "policy" for a choice of this project and "definition" for a unit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal, getcontext

getcontext().prec = 40
D = Decimal
HUNDRED = D(100)
POLICY, DEFINITION = "policy", "definition"


@dataclass
class Sheet:
    """The steps of one hand calculation: row, what was found, value."""

    steps: list[tuple[str, str, Decimal]] = field(default_factory=list)

    def step(self, row: str, what: str, value: Decimal) -> Decimal:
        """Write one step down and return its value."""
        self.steps.append((row, what, value))
        return value


def whole(value: Decimal, places: int = 0) -> Decimal:
    """Round half to even."""
    return value.quantize(D(1).scaleb(-places), ROUND_HALF_EVEN)


def up(value: Decimal) -> Decimal:
    """Round up to a whole number; a millionth over is not a whole one more."""
    return (value - D("1e-9")).quantize(D(1), ROUND_CEILING)


def down(value: Decimal) -> Decimal:
    """Round down to a whole number."""
    return value.quantize(D(1), ROUND_FLOOR)


def metabolic(kg: Decimal) -> Decimal:
    """Weight^0.75 by two square roots and a cube, not by a power function."""
    return kg.sqrt().sqrt() ** 3


def power(base: Decimal, exponent: Decimal) -> Decimal:
    """base^exponent by logarithm."""
    return (base.ln() * exponent).exp()


def resting(sheet: Sheet, kg: Decimal) -> Decimal:
    """70 kcal per kg^0.75."""
    return sheet.step("RER03", "resting energy, 70 x kg^0.75", 70 * metabolic(kg))


def resting_linear(sheet: Sheet, kg: Decimal) -> Decimal:
    """30 x kg + 70, stated for 2 to 25 or 2 to 45 kg; only here, since the server leaves it out."""
    return sheet.step("RER09", "resting energy, 30 x kg + 70", 30 * kg + 70)


def fat_pct(sheet: Sheet, score: int) -> Decimal:
    """20% at 5 of 9, and 5 points for each step."""
    at_goal = sheet.step("BF02", "fat at ideal condition", D(20))
    return sheet.step("BF03", "fat at this score", at_goal + D(5) * (score - 5))


def lean_kept(sheet: Sheet, kg: Decimal, fat: Decimal, goal_fat: Decimal) -> Decimal:
    """Weight at the goal fat when lean mass is kept."""
    return sheet.step("WX17", "weight at the goal fat", kg * (HUNDRED - fat) / (HUNDRED - goal_fat))


def target_from_score(sheet: Sheet, kg: Decimal, score: int) -> tuple[Decimal, Decimal, Decimal]:
    """Low, mid and high for a score taken as exact; goal fat triangular over 15, 20, 25%.

    P(goal fat <= g) = (g - 15)^2 / 50 below 20, so its 5th percentile is 15 + sqrt(2.5).
    """
    fat = fat_pct(sheet, score)
    off = sheet.step("BF02", "5th percentile of the goal fat over 15", D("2.5").sqrt())
    highest = sheet.step(POLICY, "a target is at most 95% of today", D("0.95") * kg)
    mid = min(lean_kept(sheet, kg, fat, D(20)), highest)
    low = min(lean_kept(sheet, kg, fat, D(15) + off), mid)
    high = max(min(lean_kept(sheet, kg, fat, D(25) - off), highest), mid)
    return low, mid, high


def target_from_record(
    sheet: Sheet, kg: Decimal, lean: Decimal
) -> tuple[Decimal, Decimal, Decimal]:
    """A lean weight on record, give or take 3%."""
    highest = sheet.step(POLICY, "a target is at most 95% of today", D("0.95") * kg)
    return D("0.97") * lean, lean, min(D("1.03") * lean, highest)


def first_goal(sheet: Sheet, kg: Decimal, high: Decimal) -> Decimal:
    """7.5% off, never below the target's high end."""
    return sheet.step("WL24", "first goal, within 5 to 10% off", max(kg * D("0.925"), high))


def start(sheet: Sheet, rest: Decimal, intake: Decimal | None, floor: Decimal) -> Decimal:
    """80% of a steady, weighed intake within the band; else the middle of 0.8 and 1.0."""
    low, high = sheet.step("WL02", "0.8 x resting", D("0.8") * rest), rest
    if intake is None:
        return whole(sheet.step(POLICY, "middle of the band", (low + high) / 2))
    eighty = sheet.step("WL01", "80% of intake", D("0.8") * intake)
    return whole(min(max(eighty, floor), high))


def start_by_deficit(sheet: Sheet, maintenance: Decimal, kg: Decimal, pct: Decimal) -> Decimal:
    """Maintenance less the energy of the tissue to lose."""
    daily = sheet.step("WX11", "deficit, kg a week x 7920 / 7", kg * pct / HUNDRED * 7920 / 7)
    return sheet.step("WX12", "intake by deficit", maintenance - daily)


def weeks(sheet: Sheet, kg: Decimal, target: Decimal, pct: str, row: str) -> Decimal:
    """Weeks to a target at a rate of the initial weight."""
    return sheet.step(row, "weeks", (kg - target) / (D(pct) / HUNDRED * kg))


def treat_budget(sheet: Sheet, kcal: Decimal, asked: Decimal | None) -> Decimal:
    """At most a tenth of the day."""
    tenth = sheet.step("TRT1", "a tenth of the day", kcal / 10)
    return whole(tenth if asked is None else min(asked, tenth))


def parts(total: Decimal, shares: list[Decimal]) -> list[Decimal]:
    """Whole kcal by shares, the largest remainders rounded up."""
    exact = [total * share / sum(shares) for share in shares]
    found = [down(part) for part in exact]
    by_rest = sorted(range(len(exact)), key=lambda n: (found[n] - exact[n], n))
    for n in by_rest[: int(total - sum(found))]:
        found[n] += 1
    return found


def four_steps(
    sheet: Sheet, protein: str, fat: str, fibre: str, moisture: str, ash: str
) -> Decimal:
    """Metabolisable energy [kcal/kg as fed] by the four steps."""
    p, f, c, m, a = (D(part) for part in (protein, fat, fibre, moisture, ash))
    extract = sheet.step("WX22", "carbohydrate by difference", HUNDRED - p - f - c - m - a)
    gross = sheet.step(
        "WX24a", "gross energy", D("5.7") * p + D("9.4") * f + D("4.1") * (extract + c)
    )
    dry = HUNDRED * c / (HUNDRED - m)
    digestible = sheet.step("WX24b", "digestibility", D("91.2") - D("1.43") * dry)
    energy = sheet.step("WX24c", "digestible energy", gross * digestible / HUNDRED)
    return 10 * sheet.step("WX24d", "metabolisable energy", energy - D("1.04") * p)


def modified_atwater(
    sheet: Sheet, protein: str, fat: str, fibre: str, moisture: str, ash: str
) -> Decimal:
    """Metabolisable energy [kcal/kg as fed] by the label formula."""
    p, f, c, m, a = (D(part) for part in (protein, fat, fibre, moisture, ash))
    extract = HUNDRED - p - f - c - m - a
    return 10 * sheet.step(
        "WX23", "3.5, 8.5, 3.5", D("3.5") * p + D("8.5") * f + D("3.5") * extract
    )


def growing(sheet: Sheet, kg: Decimal, adult: Decimal) -> Decimal:
    """130 x W^0.75 x 3.2 x (e^(-0.87 p) - 0.1)."""
    share = kg / adult
    return sheet.step(
        "WX35",
        "growth equation",
        130 * metabolic(kg) * D("3.2") * ((D("-0.87") * share).exp() - D("0.1")),
    )


def lactation(sheet: Sheet, kg: Decimal, to_four: int, beyond: int, week: Decimal) -> Decimal:
    """145 x kg^0.75 + kg x (24 n + 12 m) x L."""
    milk = kg * (24 * to_four + 12 * beyond) * sheet.step("RP01", "week factor", week)
    return sheet.step("WX38", "lactation", 145 * metabolic(kg) + milk)


def gestation(sheet: Sheet, kg: Decimal) -> Decimal:
    """130 x kg^0.75 + 26 x kg."""
    return sheet.step("WX39", "late gestation", 130 * metabolic(kg) + 26 * kg)


def after_loss(sheet: Sheet, kg: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    """285 (SD 54.8) kJ per kg^0.75: mean and the ends of 90%."""
    kcal = sheet.step("U01", "kJ to kcal", D("4.184"))
    mean = sheet.step("WL16", "held after a loss", D(285) / kcal * metabolic(kg))
    half = D("1.645") * D("54.8") / kcal * metabolic(kg)
    return mean - half, mean, mean + half


def weeks_on_ration(kcal: Decimal, need: Decimal, kg: Decimal, target: Decimal) -> Decimal:
    """Weeks on one ration while the need falls with weight^0.75; Simpson, 2000 strips."""
    per = need / metabolic(kg)
    strips = 2000
    width = (kg - target) / strips

    def per_kg(w: Decimal) -> Decimal:
        return 7920 / (7 * (per * metabolic(w) - kcal))

    total = per_kg(target) + per_kg(kg)
    for n in range(1, strips):
        total += per_kg(target + n * width) * (4 if n % 2 else 2)
    return total * width / 3
