"""Energy of a food from its label, by the four steps of FEDIAF (after NRC 2006)."""

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


def label_kcal_per_kg(label: Label) -> float:
    """Return metabolisable energy as fed [kcal/kg] by the four-step equation.

    Labels print least and most amounts where the equation wants means: the result is approximate.
    Raises BadInput for a composition that cannot be, or has no energy.
    """
    extract = nitrogen_free_extract_pct(label)
    gross = (
        GROSS_PROTEIN * label.protein_pct
        + GROSS_FAT * label.fat_pct
        + GROSS_CARBOHYDRATE * (extract + label.fibre_pct)
    )
    digestible_pct = DIGESTIBLE_AT_NO_FIBRE_PCT - LOST_PER_FIBRE_PCT * fibre_in_dry_matter_pct(
        label
    )
    per_100_g = gross * digestible_pct / 100 - URINE_PER_PROTEIN * label.protein_pct
    if per_100_g <= 0:
        raise BadInput("label", "must describe a food that has energy")
    return 10 * per_100_g
