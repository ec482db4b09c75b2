"""What operations on foods say."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from server.errors import BadInput
from server.sync.fields import Number, Text, Word
from server.sync.shape import NAME_LENGTH, Ref, Shape, YesNo

# Guards against slips: below the first nothing feeds a dog, pure fat has about 9,000 kcal/kg.
LEAST_KCAL_PER_KG, MOST_KCAL_PER_KG = 100, 9500
LIGHTEST_CUP_G, HEAVIEST_CUP_G = 20, 400  # [g] of one level cup of food

Percent = Annotated[float, Number(0, 100, "%")]


class LabelData(Shape):
    """Composition as fed [%]."""

    protein_pct: Percent
    fat_pct: Percent
    fibre_pct: Percent
    moisture_pct: Percent
    ash_pct: Percent | None = None
    form: Annotated[str, Word("dry", "wet")]


class FoodAdd(Shape):
    """A food with its printed energy or its composition."""

    household_id: Ref
    name: Annotated[str, Text(NAME_LENGTH, 1)]
    role: Annotated[str, Word("meal", "treat", "extra")]
    kcal_per_kg: Annotated[float, Number(LEAST_KCAL_PER_KG, MOST_KCAL_PER_KG, "kcal/kg")] | None = (
        None
    )
    label: LabelData | None = None
    grams_per_cup: Annotated[float, Number(LIGHTEST_CUP_G, HEAVIEST_CUP_G, "g")] | None = None
    purpose: Annotated[str, Word("maintenance", "weight_loss", "prescription")] = "maintenance"

    @model_validator(mode="after")
    def _some_energy(self) -> Self:
        if self.kcal_per_kg is None and self.label is None:
            raise BadInput(
                "kcal_per_kg",
                f"must be a number from {LEAST_KCAL_PER_KG} to {MOST_KCAL_PER_KG} kcal/kg, "
                "or label must be given",
            )
        return self


class FoodVersion(FoodAdd):
    """A changed recipe."""

    replaces: Ref


class FoodRetire(Shape):
    """A food put away, or taken out again."""

    retired: YesNo
