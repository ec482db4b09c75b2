"""What operations on plans say."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from server.errors import BadInput
from server.science.foods import SHARES_MAY_MISS
from server.science.ration import US_CUP_ML
from server.sync.fields import Number
from server.sync.shape import Note, Ref, Shape, YesNo

# Guards against slips of the finger, within those of the science.
SMALLEST_CUP_ML, LARGEST_CUP_ML = 50, 500  # [mL]
LEAST_INTAKE_KCAL, MOST_INTAKE_KCAL = 10, 10_000  # [kcal a day]
MOST_TREAT_KCAL = 5_000  # [kcal a day]
MOST_FOODS = 12  # of one plan


class IntakeData(Shape):
    """What the dog eats now."""

    kcal_per_day: Annotated[float, Number(LEAST_INTAKE_KCAL, MOST_INTAKE_KCAL, "kcal a day")]
    weighed: YesNo
    weight_steady: YesNo


class FoodShare(Shape):
    """A food of the plan. share: its part of the meals' energy."""

    food_id: Ref
    share: Annotated[float, Number(0, 1)] = 0.0


class PlanRequest(Shape):
    """What a plan is to be made from."""

    weigh_in_id: Ref
    check_id: Ref
    intake: IntakeData | None = None
    foods: Annotated[list[FoodShare], Field(max_length=MOST_FOODS)]
    treat_kcal: Annotated[float, Number(0, MOST_TREAT_KCAL, "kcal a day")] | None = None
    cup_ml: Annotated[float, Number(SMALLEST_CUP_ML, LARGEST_CUP_ML, "mL")] = US_CUP_ML

    @model_validator(mode="after")
    def _shares(self) -> Self:
        if len({food.food_id for food in self.foods}) < len(self.foods):
            raise BadInput("foods", "must name each food once")
        total = sum(food.share for food in self.foods)
        if self.foods and abs(total - 1) > SHARES_MAY_MISS:
            raise BadInput("foods", f"must have shares that sum to 1, not {total:g}")
        return self


class PlanAnswer(Shape):
    """A person's answer to a plan, or to the change that a review proposes."""

    review_id: Ref | None = None


class PlanDecline(PlanAnswer):
    """A no, with its reason."""

    reason: Note = ""


class Nothing(Shape):
    """No data."""
