"""What the server makes of each row about targets, plans, foods, rations and nutrients."""

from __future__ import annotations

import math
from datetime import date, timedelta

from server.science import decision, nutrients, plan_cautions, ration
from server.science.condition import RIGHT_FROM, RIGHT_TO
from server.science.energy import RESTING, resting_kcal_per_day
from server.science.energy_levels import FACTOR_INACTIVE_HIGH
from server.science.extras import EXTRA_OF
from server.science.food_energy import (
    ASSUMED_ASH_PCT,
    ATWATER,
    MODIFIED_ATWATER,
    URINE_PER_PROTEIN,
    Label,
    atwater_kcal_per_kg,
    fibre_in_dry_matter_pct,
    gross_kcal_per_kg,
    label_kcal_per_kg,
    modified_atwater_kcal_per_kg,
    nitrogen_free_extract_pct,
)
from server.science.foods import FoodFacts
from server.science.gates import BAND_HIGH, BAND_LOW, FLOOR_WITH_VET
from server.science.loss_rate import LOSS_HIGH_PCT, LOSS_LOW_PCT
from server.science.need import KCAL_PER_KG, expenditure_kcal, weight_slope
from server.science.nutrients import ALLOWANCES, density_needed
from server.science.plan import START_OF_INTAKE, weeks_to_lose
from server.science.target import (
    FAT_PER_STEP_PCT,
    FIRST_GOAL_OFF_HIGH,
    FIRST_GOAL_OFF_LOW,
    GOAL_FAT_HIGH_PCT,
    GOAL_FAT_LOW_PCT,
    GOAL_FAT_PCT,
    fat_pct,
    weight_at_fat,
)
from server.science.units import DAYS_PER_WEEK, KG_PER_LB, KJ_PER_KCAL
from server.science.unsafe_foods import UNSAFE
from tests.published.energy_checks import LEVEL, Holds, Values
from tests.science.published import Row

START = date(2026, 3, 2)
DRY = Label(27, 14, 2, 10, 6)
FIBROUS = Label(30, 9, 12, 9, 7)
WET = Label(9, 5, 0.5, 78, 2, "wet")
ARTICLE = Label(31, 18, 2, 10, 9)  # 30% carbohydrate by difference
DOSES = {food.code: food.doses for food in UNSAFE}
G_PER_OZ = 28.35  # from memory, as in the row


def _doses(code: str) -> tuple[float, ...]:
    return tuple(DOSES[code].values())


def _extra(word: str) -> Values:
    return lambda row: (EXTRA_OF[word].kcal_per_kg / 10,)


def _slope_error(row: Row) -> tuple[float, ...]:
    points = int(row.inputs["points"])
    days = [START + timedelta(weeks=n) for n in range(points)]
    return (DAYS_PER_WEEK * weight_slope(days, [100.0] * points, 1.0).error,)


def _slope() -> float:
    days = [START + timedelta(weeks=n) for n in range(4)]
    return weight_slope(days, [30.0, 29.8, 29.5, 29.2], 1.0).kg_per_day


def _over_ideal_pct(score: int) -> float:
    """How far a dog of this score is over its ideal weight [%]."""
    return 100 * (1 / weight_at_fat(1.0, fat_pct(score), GOAL_FAT_PCT) - 1)


def _step_pct(score: int) -> float:
    """What one more step of score adds to the weight at the same lean mass [%]."""
    return 100 * (weight_at_fat(1.0, fat_pct(score), fat_pct(score + 1)) - 1)


def _within(value: float) -> Holds:
    return lambda row: row.numbers[0] <= value <= row.numbers[1]


def _worked_ration() -> ration.RationRow:
    food = FoodFacts("dry", kcal_per_kg=3570, grams_per_cup=90)
    return ration.ration_for(626, (food,), 62)[0]


VALUES: dict[str, Values] = {
    **{
        f"BFT{n}a": lambda row: (weight_at_fat(row.inputs["current_kg"], fat_pct(9), 20),)
        for n in range(1, 6)
    },
    "BFT6": lambda row: (weight_at_fat(row.inputs["current_kg"], fat_pct(7), 20),),
    "BF01": lambda row: (fat_pct(5), fat_pct(7), fat_pct(9)),
    "BF02": lambda row: (GOAL_FAT_PCT, GOAL_FAT_LOW_PCT, GOAL_FAT_HIGH_PCT),
    "BF03": lambda row: (FAT_PER_STEP_PCT,),
    "BF04": lambda row: (fat_pct(7) - fat_pct(5),),
    "WX17": lambda row: (weight_at_fat(100, 40, 20),),
    "WX18": lambda row: (weight_at_fat(100, 40, 15), weight_at_fat(100, 40, 24)),
    "WX21": lambda row: (weight_at_fat(40, fat_pct(8), 20),),
    "WL01": lambda row: (START_OF_INTAKE,),
    "WL02": lambda row: (BAND_LOW,),
    "WL03": lambda row: (BAND_LOW * RESTING,),
    "WL04": lambda row: (LOSS_HIGH_PCT,),
    "WL05": lambda row: (LOSS_LOW_PCT,),
    "WL07": lambda row: (KCAL_PER_KG,),
    "WL08": lambda row: (decision.FIRST_DAYS / DAYS_PER_WEEK,),
    "WL09": lambda row: (decision.DAYS_BETWEEN_CHANGES / DAYS_PER_WEEK,),
    "WL17": lambda row: (100 * decision.LARGE_STEP,),
    "WL25": lambda row: (100 * decision.SMALL_STEP, 100 * decision.LARGE_STEP),
    "WL26": lambda row: (100 * decision.LARGE_STEP,),
    "WL27": lambda row: (START_OF_INTAKE,),
    "WX04": lambda row: (BAND_LOW * resting_kcal_per_day(row.inputs["ideal_kg"]),),
    "WX05": lambda row: (BAND_HIGH * resting_kcal_per_day(row.inputs["ideal_kg"]),),
    "WX07": lambda row: (weeks_to_lose(6, 36, LOSS_HIGH_PCT),),
    "WX08": lambda row: (weeks_to_lose(6, 36, LOSS_LOW_PCT),),
    "WX10": lambda row: (
        1 / weeks_to_lose(1, 36, LOSS_LOW_PCT),
        1 / weeks_to_lose(1, 36, LOSS_HIGH_PCT),
    ),
    "WX11": lambda row: (0.36 * KCAL_PER_KG / DAYS_PER_WEEK,),
    "WX12": lambda row: (
        FACTOR_INACTIVE_HIGH * resting_kcal_per_day(36) - 0.36 * KCAL_PER_KG / DAYS_PER_WEEK,
    ),
    "WX41": lambda row: (DAYS_PER_WEEK * _slope(),),
    "WX42": lambda row: (expenditure_kcal(600, _slope()),),
    **{f"ST0{n}": _slope_error for n in range(1, 5)},
    "ME01": lambda row: MODIFIED_ATWATER,
    "ME02": lambda row: ATWATER,
    "ME03": lambda row: (ASSUMED_ASH_PCT["dry"], ASSUMED_ASH_PCT["wet"]),
    "WX22": lambda row: (nitrogen_free_extract_pct(DRY),),
    "WX23": lambda row: (modified_atwater_kcal_per_kg(DRY),),
    "WX24a": lambda row: (gross_kcal_per_kg(DRY) / 10,),
    "WX24b": lambda row: (91.2 - 1.43 * fibre_in_dry_matter_pct(DRY),),
    "WX24c": lambda row: (label_kcal_per_kg(DRY) / 10 + URINE_PER_PROTEIN * DRY.protein_pct,),
    "WX24d": lambda row: (label_kcal_per_kg(DRY) / 10,),
    "WX25a": lambda row: (label_kcal_per_kg(FIBROUS) / 10,),
    "WX25b": lambda row: (modified_atwater_kcal_per_kg(FIBROUS) / 10,),
    "WX26a": lambda row: (label_kcal_per_kg(WET) / 10,),
    "WX26b": lambda row: (modified_atwater_kcal_per_kg(WET) / 10,),
    "WX27": lambda row: (
        modified_atwater_kcal_per_kg(ARTICLE) / 10,
        atwater_kcal_per_kg(ARTICLE) / 10,
    ),
    "TRT1": lambda row: (100 * ration.TREAT_SHARE_MAX,),
    "CUP3": lambda row: (ration.CUP_ERROR_LOW_PCT, ration.CUP_ERROR_HIGH_PCT),
    "WX28": lambda row: (ration.TREAT_SHARE_MAX * row.inputs["daily_kcal"],),
    "WX29": lambda row: (_worked_ration().grams,),
    "WX30": lambda row: (_worked_ration().cups or 0.0,),
    "EXT1": _extra("carrot_raw"),
    "EXT2": _extra("cheddar"),
    "EXT3": _extra("chicken_breast"),
    "EXT4": _extra("oat_rings"),
    "EXT5": _extra("peanut_butter"),
    "EXT6": _extra("green_beans"),
    "EXT7": _extra("apple"),
    "WX31": lambda row: (8 * EXTRA_OF["oat_rings"].kcal_per_kg / 1000,),
    "WX32": lambda row: (16 * EXTRA_OF["peanut_butter"].kcal_per_kg / 1000,),
    "U01": lambda row: (KJ_PER_KCAL,),
    "U02": lambda row: (round(KG_PER_LB, 4),),
    "NU02": lambda row: (LEVEL["active_or_kennel"].mid or 0.0,),
    "NU04": lambda row: (ALLOWANCES["zinc"].per_metabolic_kg * 15**0.75,),
    # A food of 400 kcal per 100 g of dry matter: 1000 kcal are 250 g.
    "NU05": lambda row: (
        density_needed(ALLOWANCES["zinc"].per_metabolic_kg, 110) / 2.5,
        density_needed(ALLOWANCES["zinc"].per_metabolic_kg, 95) / 2.5,
    ),
    "NU06": lambda row: (nutrients.SHORT_FROM,),
    "NU07": lambda row: (nutrients.SEVERAL_SHORT_FROM,),
    "WX33": lambda row: (density_needed(ALLOWANCES["protein"].per_metabolic_kg, 56),),
    "WX34": lambda row: (
        100 * nutrients.allowance_shares([(56, 1000, {"protein": 60})], 1.0)["protein"],
    ),
    "SF01": lambda row: (DOSES["xylitol"]["low_blood_sugar_g_per_kg"],),
    "SF02": lambda row: (DOSES["xylitol"]["liver_g_per_kg"],),
    "SF03": lambda row: (DOSES["onion"]["onion_g_per_kg"],),
    "WX40": lambda row: _doses("grapes"),
}


def _allowance(word: str) -> Holds:
    # The two printed forms rest on 130 kcal per kg^0.75 and are rounded: 8%.
    per_metabolic = ALLOWANCES[word].per_metabolic_kg
    return lambda row: (
        row.numbers[1] == per_metabolic
        and abs(density_needed(per_metabolic, 130) / row.numbers[0] - 1) <= 0.08
    )


HOLDS: dict[str, Holds] = {
    "IW03": lambda row: row.numbers[0] < _over_ideal_pct(7) < row.numbers[1] < _over_ideal_pct(8),
    "IW04": lambda row: row.numbers[:2] == [RIGHT_FROM, RIGHT_TO],
    "IW06": lambda row: all(_within(_step_pct(score))(row) for score in (5, 6)),
    "IW08": lambda row: row.numbers[1] == plan_cautions.OWNERS_WRONG_PCT,
    "WL06": lambda row: LOSS_LOW_PCT <= row.numbers[0] <= row.numbers[1] <= LOSS_HIGH_PCT,
    "WL11": _within(decision.DAYS_BETWEEN_CHANGES / DAYS_PER_WEEK),
    "WL13": lambda row: BAND_LOW * RESTING <= row.numbers[0] <= BAND_HIGH * RESTING,
    "WL14": lambda row: row.numbers[0] < FLOOR_WITH_VET * RESTING,
    "WL22": lambda row: LOSS_LOW_PCT <= row.numbers[0] <= LOSS_HIGH_PCT,
    "WL23": lambda row: LOSS_LOW_PCT <= row.numbers[0] <= LOSS_HIGH_PCT,
    "WL24": lambda row: 100 * FIRST_GOAL_OFF_LOW <= row.numbers[0] <= 100 * FIRST_GOAL_OFF_HIGH,
    "ME04": lambda row: (
        plan_cautions.DRY_CUP_LOW_KCAL <= row.numbers[0] < row.numbers[1]
        and row.numbers[1] <= plan_cautions.DRY_CUP_HIGH_KCAL
    ),
    "ME08": lambda row: (
        plan_cautions.DRY_CUP_LOW_KCAL <= row.numbers[0] < row.numbers[1]
        and row.numbers[1] <= plan_cautions.DRY_CUP_HIGH_KCAL
    ),
    "CUP1": lambda row: (
        ration.CUP_ERROR_LOW_PCT <= row.numbers[0] < row.numbers[1] <= ration.CUP_ERROR_HIGH_PCT
    ),
    "U03": lambda row: round(row.numbers[0], 1) == ration.US_CUP_ML,
    "NU01": lambda row: math.isclose(
        density_needed(ALLOWANCES["protein"].per_metabolic_kg, 130), row.numbers[0], rel_tol=0.01
    ),
    **{f"NR{n:02d}": _allowance(word) for n, word in enumerate(ALLOWANCES, start=1)},
    "SF04": lambda row: _doses("macadamia") == (row.numbers[0], row.numbers[2], row.numbers[1]),
    # Ounces are printed; ours are grams to a tenth.
    "SF05": lambda row: _doses("grapes") == tuple(round(G_PER_OZ * n, 1) for n in row.numbers),
    # "40-50" is a span: the second number is no negative one.
    "SF06": lambda row: _doses("chocolate") == tuple(abs(number) for number in row.numbers),
}
