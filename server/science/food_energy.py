"""Energy of a food from its label, by the four steps of FEDIAF (after NRC 2006).

The four steps count; modified Atwater (the label formula of AAFCO) stands beside for comparison.
"""

from dataclasses import dataclass
from typing import Literal

from server.errors import BadInput

Form = Literal["dry", "wet"]

# Teaching sheet on modified Atwater: ash to assume where the label gives none [% as fed].
ASSUMED_ASH_PCT: dict[Form, float] = {"dry": 6.0, "wet": 2.0}
# FEDIAF Nutritional Guidelines, predictive equation, steps 1, 2 and 4.
GROSS_PROTEIN, GROSS_FAT, GROSS_CARBOHYDRATE = 5.7, 9.4, 4.1  # [kcal/g]
DIGESTIBLE_AT_NO_FIBRE_PCT, LOST_PER_FIBRE_PCT = 91.2, 1.43  # fibre in % of dry matter
URINE_PER_PROTEIN = 1.04  # [kcal/g]
READS_LOW_ABOVE_FIBRE_PCT = 8.0  # % of dry matter; same source, note
# AAFCO regulation PF9: modified Atwater for protein, fat, carbohydrate by difference.
MODIFIED_ATWATER = (3.5, 8.5, 3.5)  # [kcal/g]
# FEDIAF Nutritional Guidelines, Annex 1 (b): raw or highly digestible foods, the same parts.
ATWATER = (4.0, 9.0, 4.0)  # [kcal/g]
# Our guard against kcal per 100 g typed for kcal per kg: the equation is never off by half.
LEAST_OF_EQUATION = 0.5
SOURCE = "FEDIAF Nutritional Guidelines, predictive equation (after NRC 2006)"


@dataclass(frozen=True)
class Label:
    """Composition as fed [%]. ash_pct None: not printed."""

    protein_pct: float
    fat_pct: float
    fibre_pct: float
    moisture_pct: float
    ash_pct: float | None = None
    form: Form = "dry"


def nitrogen_free_extract_pct(label: Label) -> float:
    """Return what is left for starch and sugar [% as fed] (AAFCO regulation PF9).

    Raises BadInput where the printed parts sum to more than 100%.
    """
    ash = ASSUMED_ASH_PCT[label.form] if label.ash_pct is None else label.ash_pct
    rest = 100 - (label.protein_pct + label.fat_pct + label.fibre_pct + label.moisture_pct + ash)
    if rest < 0:
        raise BadInput("label", f"must sum to at most 100% with ash, not {100 - rest:g}%")
    return rest


def fibre_in_dry_matter_pct(label: Label) -> float:
    """Return crude fibre [% of dry matter]. Raises BadInput for a food that is all water."""
    if label.moisture_pct >= 100:
        raise BadInput("label.moisture_pct", f"must be below 100%, not {label.moisture_pct:g}")
    return 100 * label.fibre_pct / (100 - label.moisture_pct)


def as_fed(dry: Label) -> Label:
    """Return a label as fed from one whose parts are given in dry matter [% of dry matter].

    moisture_pct is that of the food as fed. Raises BadInput for a food that is all water.
    """
    if dry.moisture_pct >= 100:
        raise BadInput("label.moisture_pct", f"must be below 100%, not {dry.moisture_pct:g}")
    part = (100 - dry.moisture_pct) / 100
    return Label(
        protein_pct=dry.protein_pct * part,
        fat_pct=dry.fat_pct * part,
        fibre_pct=dry.fibre_pct * part,
        moisture_pct=dry.moisture_pct,
        ash_pct=None if dry.ash_pct is None else dry.ash_pct * part,
        form=dry.form,
    )


def per_dry_matter(kcal_per_kg: float, moisture_pct: float) -> float:
    """Return energy per kg of dry matter [kcal/kg] from energy as fed [kcal/kg].

    Raises BadInput for a food that is all water.
    """
    if moisture_pct >= 100:
        raise BadInput("label.moisture_pct", f"must be below 100%, not {moisture_pct:g}")
    return kcal_per_kg * 100 / (100 - moisture_pct)


def gross_kcal_per_kg(label: Label) -> float:
    """Return gross energy as fed [kcal/kg], step 1: no food gives more than this."""
    carbohydrate = nitrogen_free_extract_pct(label) + label.fibre_pct
    return 10 * (
        GROSS_PROTEIN * label.protein_pct
        + GROSS_FAT * label.fat_pct
        + GROSS_CARBOHYDRATE * carbohydrate
    )


def modified_atwater_kcal_per_kg(label: Label) -> float:
    """Return metabolisable energy as fed [kcal/kg] by modified Atwater, for comparison only."""
    return _atwater(label, MODIFIED_ATWATER)


def atwater_kcal_per_kg(label: Label) -> float:
    """Return metabolisable energy as fed [kcal/kg] of a raw or highly digestible food."""
    return _atwater(label, ATWATER)


def check_printed_energy(kcal_per_kg: float, label: Label) -> None:
    """Raise BadInput where a printed energy cannot belong to the composition beside it.

    More than gross energy is impossible; less than half of the equation is a slip of units.
    """
    most, least = gross_kcal_per_kg(label), LEAST_OF_EQUATION * label_kcal_per_kg(label)
    if not least <= kcal_per_kg <= most:
        raise BadInput(
            "kcal_per_kg",
            f"must be from {least:.0f} to {most:.0f} kcal/kg for the parts on this label, "
            f"not {kcal_per_kg:g}",
        )


def label_kcal_per_kg(label: Label) -> float:
    """Return metabolisable energy as fed [kcal/kg] by the four-step equation.

    Labels print least and most amounts where the equation wants means: the result is approximate.
    Raises BadInput for a composition that cannot be, or has no energy.
    """
    gross = gross_kcal_per_kg(label) / 10
    digestible_pct = DIGESTIBLE_AT_NO_FIBRE_PCT - LOST_PER_FIBRE_PCT * fibre_in_dry_matter_pct(
        label
    )
    per_100_g = gross * digestible_pct / 100 - URINE_PER_PROTEIN * label.protein_pct
    if per_100_g <= 0:
        raise BadInput("label", "must describe a food that has energy")
    return 10 * per_100_g


def _atwater(label: Label, factors: tuple[float, float, float]) -> float:
    protein, fat, carbohydrate = factors
    return 10 * (
        protein * label.protein_pct
        + fat * label.fat_pct
        + carbohydrate * nitrogen_free_extract_pct(label)
    )
