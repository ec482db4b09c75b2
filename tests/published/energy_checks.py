"""What the server makes of each row about energy: values to compare, or a test that must hold."""

from __future__ import annotations

from collections.abc import Callable

from server.science.condition import RIGHT_TO
from server.science.energy import (
    ACTIVE_HOME,
    QUIET_HOME,
    RESTING,
    holding_kcal_per_day,
    metabolic_kg,
    resting_kcal_per_day,
)
from server.science.energy_levels import (
    FACTOR_INACTIVE_HIGH,
    FACTOR_INACTIVE_LOW,
    FACTOR_INTACT,
    FACTOR_NEUTERED,
    LEVELS,
    level_at_age,
)
from server.science.energy_methods import (
    AFTER_LOSS,
    AFTER_LOSS_KJ,
    BERMINGHAM_MEAN,
    after_target_kcal_per_day,
    bermingham_kcal_per_day,
    divol_priymenko_kcal_per_day,
)
from server.science.gates import BAND_HIGH
from server.science.growing import (
    CHARTS_TO_KG,
    STAGE_LEVELS,
    growing_kcal_per_day,
    stage_kcal_per_day,
)
from server.science.growth import (
    GIANT_FROM_KG,
    LARGE_FROM_KG,
    LARGE_GROWN_MONTHS,
    SMALL_GROWN_MONTHS,
)
from server.science.reproduction import (
    LACTATION_WEEKS,
    gestation_kcal_per_day,
    lactation_kcal_per_day,
)
from server.science.target import weight_at_fat
from server.science.units import KG_PER_LB, KJ_PER_KCAL
from tests.science.published import Row

Values = Callable[[Row], tuple[float, ...]]
Holds = Callable[[Row], bool]

LEVEL = {level.word: level for level in LEVELS}


def _mid(word: str) -> Values:
    return lambda row: (LEVEL[word].mid or 0.0,)


def _ends(word: str) -> Values:
    return lambda row: (LEVEL[word].low or 0.0, LEVEL[word].high or 0.0)


def _age(years: float) -> Values:
    level = level_at_age(years)
    return lambda row: (level.mid or 0.0, level.low or 0.0, level.high or 0.0)


def _resting(row: Row) -> tuple[float, ...]:
    return (resting_kcal_per_day(row.inputs["bw_kg"]),)


def _pamphlet(row: Row) -> tuple[float, ...]:
    return (holding_kcal_per_day(row.inputs["bw_lb"] * KG_PER_LB, row.inputs["k"]),)


def _at_book_ideal(row: Row) -> tuple[float, ...]:
    return (resting_kcal_per_day(weight_at_fat(row.inputs["current_kg"], 40, 20)),)


VALUES: dict[str, Values] = {
    **{f"RER0{n}": _resting for n in range(1, 9)},
    "RER16": lambda row: (RESTING * KJ_PER_KCAL,),
    "RER17": _resting,
    "RER18": lambda row: (1.4 * resting_kcal_per_day(34), 1.6 * resting_kcal_per_day(34)),
    "MER01": lambda row: (QUIET_HOME,),
    "MER02": _mid("great_dane"),
    "MER03": lambda row: (QUIET_HOME, ACTIVE_HOME),
    "MER04": lambda row: (holding_kcal_per_day(row.inputs["bw_kg"], ACTIVE_HOME),),
    "MER05": lambda row: (holding_kcal_per_day(row.inputs["bw_kg"], QUIET_HOME),),
    "MER06": lambda row: (QUIET_HOME * KJ_PER_KCAL,),
    "MER07": lambda row: (ACTIVE_HOME * KJ_PER_KCAL,),
    "MER09": _ends("steady_pets"),
    "MER10": _ends("pets_over_a_year"),
    "MER11": _ends("resting_single_dogs"),
    "MER12": lambda row: (BERMINGHAM_MEAN,),
    "MER13": lambda row: (bermingham_kcal_per_day(row.inputs["bw_kg"]),),
    "MER14": lambda row: (divol_priymenko_kcal_per_day(row.inputs["bw_kg"], row.inputs["age_y"]),),
    **{f"NRCP{n}": _pamphlet for n in range(1, 6)},
    "NRCK1": _mid("active_or_kennel"),
    "NRCK2": _mid("young_active"),
    "NRCK3": _mid("older_active"),
    "NRCK4": _mid("terrier"),
    "FEDA1": _mid("under_1_h"),
    "FEDA2": _mid("1_to_3_h_calm"),
    "FEDA3": _mid("1_to_3_h_brisk"),
    "FEDA4": _ends("working"),
    "FEDA5": lambda row: (LEVEL["obesity_prone"].high or 0.0,),
    "FEDG1": _age(2),
    "FEDG2": _age(5),
    "FEDG3": _age(9),
    "FAC1": lambda row: (FACTOR_INTACT,),
    "FAC2": lambda row: (FACTOR_NEUTERED,),
    "FAC3": lambda row: (FACTOR_INACTIVE_HIGH,),
    "FAC4": lambda row: (FACTOR_INACTIVE_LOW,),
    "FAC5": lambda row: (BAND_HIGH,),
    "WX01": lambda row: (FACTOR_NEUTERED * resting_kcal_per_day(25),),
    "WX02": lambda row: (QUIET_HOME / RESTING,),
    "WX03": lambda row: (ACTIVE_HOME / RESTING,),
    "WX13": lambda row: (AFTER_LOSS,),
    "WX14": lambda row: (AFTER_LOSS / RESTING,),
    "WX15": lambda row: (after_target_kcal_per_day(25)[1],),
    "WL16": lambda row: (AFTER_LOSS_KJ,),
    **{f"BFT{n}b": _at_book_ideal for n in range(1, 6)},
    "GR01": lambda row: tuple(
        stage_kcal_per_day(share * 10, 10) / metabolic_kg(share * 10) for share in STAGE_LEVELS
    ),
    "GR04": lambda row: (LARGE_FROM_KG, GIANT_FROM_KG),
    "WX35": lambda row: (growing_kcal_per_day(row.inputs["now_kg"], row.inputs["adult_kg"]),),
    "WX36": lambda row: (growing_kcal_per_day(row.inputs["now_kg"], row.inputs["adult_kg"]),),
    "WX37": lambda row: (growing_kcal_per_day(30, 30) / metabolic_kg(30),),
    "RP01": lambda row: LACTATION_WEEKS,
    "WX38": lambda row: (lactation_kcal_per_day(row.inputs["bw_kg"], 6, 3),),
    "WX39": lambda row: (gestation_kcal_per_day(row.inputs["bw_kg"]),),
}

HOLDS: dict[str, Holds] = {
    # The level that counts is one that walked pets were measured at.
    "MER08": lambda row: row.numbers[0] <= QUIET_HOME <= row.numbers[1],
    "GR02": lambda row: (
        row.numbers[0] <= SMALL_GROWN_MONTHS <= row.numbers[1]
        and row.numbers[2] <= LARGE_GROWN_MONTHS <= row.numbers[3]
    ),
    "GR03": lambda row: row.numbers[0] == CHARTS_TO_KG,
    # Peak lactation by the equation, as times the level of an active adult.
    "RP02": lambda row: (
        row.numbers[0]
        <= lactation_kcal_per_day(22.7, 8, 4)
        / ((LEVEL["active_or_kennel"].mid or 0) * metabolic_kg(22.7))
        <= row.numbers[1]
    ),
    # Risk rises from 6 of 9: there a plan begins.
    "IW05": lambda row: row.numbers[0] == RIGHT_TO + 1,
}
