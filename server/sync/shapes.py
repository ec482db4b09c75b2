"""The data of each kind of operation: fields, types and ranges. Unknown fields are refused.

Phones run old code for months: a field may be added with a default, none may be removed or
narrowed before its promised time.
"""

from __future__ import annotations

import uuid
from datetime import date
from typing import Annotated, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from server.errors import BadInput
from server.records.models import HEAVIEST_G, LIGHTEST_G
from server.science.condition import RIBS, SCORES, TUCK, WAIST
from server.science.foods import SHARES_MAY_MISS
from server.science.ration import US_CUP_ML
from server.science.vet_first import CONDITION_WORDS
from server.science.vet_words import CONDITION_PREFIX, FLOOR_0_7, PLAN, TARGET_BELOW_70PCT
from server.sync.fields import (
    Breed,
    Covers,
    Day,
    Flag,
    Grown,
    Id,
    Number,
    Text,
    Whole,
    Word,
    Words,
)

NOTE_LENGTH, SCALE_LENGTH, NAME_LENGTH, DOG_NAME_LENGTH = 200, 40, 80, 60
# Guards against slips: below the first nothing feeds a dog, pure fat has about 9,000 kcal/kg.
LEAST_KCAL_PER_KG, MOST_KCAL_PER_KG = 100, 9500
LIGHTEST_CUP_G, HEAVIEST_CUP_G = 20, 400  # [g] of one level cup of food
SMALLEST_CUP_ML, LARGEST_CUP_ML = 50, 500  # [mL]
MOST_KCAL_A_DAY = 10_000  # [kcal] the guard of the ration
MOST_FOODS = 12  # of one plan

Grams = Annotated[int, Whole(LIGHTEST_G, HEAVIEST_G, "g")]
Note = Annotated[str, Text(NOTE_LENGTH, lines=True)]
Ref = Annotated[uuid.UUID, Id()]
ADay = Annotated[date, Day()]
YesNo = Annotated[bool, Flag()]
Percent = Annotated[float, Number(0, 100, "%")]


class Shape(BaseModel):
    """An object of exactly these fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Pause(Shape):
    """Why a dog's plan, reviews and reminders rest."""

    reason: Annotated[str, Word("illness", "boarding", "surgery", "heat", "lost", "other")]
    since: ADay
    note: Note = ""


class Closing(Shape):
    """Why a dog's record is closed."""

    reason: Annotated[str, Word("rehomed", "died", "other")]
    on: ADay
    note: Note = ""


class _AgeToldOnce(Shape):
    birth_date: ADay | None = None
    grown: Annotated[bool | str, Grown()] | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if self.birth_date is not None and self.grown is not None:
            raise BadInput("grown", "must be null where birth_date is given")
        return self


class DogAdd(_AgeToldOnce):
    """A new dog."""

    household_id: Ref
    name: Annotated[str, Text(DOG_NAME_LENGTH, 1)]
    sex: Annotated[str, Word("female", "male")]
    neutered: YesNo
    breed: Annotated[str, Breed()] | None = None
    frame: Annotated[str, Word("small", "medium", "large")] | None = None
    coat: Annotated[str, Word("short", "medium", "long")] = "medium"
    reproduction: Annotated[str, Word("none", "pregnant", "nursing")] = "none"
    conditions: Annotated[list[str], Words(CONDITION_WORDS)] = Field(default_factory=list)
    lean_weight_g: Grams | None = None
    adult_weight_g: Grams | None = None


class DogEdit(_AgeToldOnce):
    """Any of a dog's fields. Only those that are sent count; see `sent`."""

    name: Annotated[str, Text(DOG_NAME_LENGTH, 1)] = ""
    sex: Annotated[str, Word("female", "male")] = ""
    neutered: YesNo = False
    breed: Annotated[str, Breed()] | None = None
    frame: Annotated[str, Word("small", "medium", "large")] | None = None
    coat: Annotated[str, Word("short", "medium", "long")] = ""
    reproduction: Annotated[str, Word("none", "pregnant", "nursing")] = ""
    conditions: Annotated[list[str], Words(CONDITION_WORDS)] = Field(default_factory=list)
    lean_weight_g: Grams | None = None
    adult_weight_g: Grams | None = None
    carer_may_accept: YesNo = False

    @model_validator(mode="after")
    def _something(self) -> Self:
        if not self.model_fields_set:
            raise BadInput("data", "must hold at least one field of the dog")
        return self


class DogPause(Shape):
    """A pause, or its end."""

    paused: Pause | None


class DogArchive(Shape):
    """The closing of a dog's record, or its reopening."""

    closed: Closing | None


class WeighInAdd(Shape):
    """One reading of one scale."""

    weight_g: Grams
    scale: Annotated[str, Text(SCALE_LENGTH, 1)]
    note: Note = ""
    method: Annotated[str, Word("platform", "held")] = "platform"


class WeighInReplace(WeighInAdd):
    """The right reading for one that was entered wrongly."""

    replaces: Ref


class WeighInUse(Shape):
    """A person's word on a reading that a review set aside."""

    use: YesNo


class Void(Shape):
    """An entry taken back, or given again."""

    void: YesNo = True
    reason: Note = ""


class CheckAdd(Shape):
    """Three looks, or one score; and the muscle question."""

    ribs: Annotated[str, Word(*(look.word for look in RIBS))] | None = None
    waist: Annotated[str, Word(*(look.word for look in WAIST))] | None = None
    tuck: Annotated[str, Word(*(look.word for look in TUCK))] | None = None
    score: Annotated[int, Whole(SCORES[0], SCORES[-1])] | None = None
    muscle: Annotated[str, Word("normal", "mild", "moderate", "severe")] = "normal"
    note: Note = ""

    @model_validator(mode="after")
    def _looks_or_score(self) -> Self:
        looks = {"ribs": self.ribs, "waist": self.waist, "tuck": self.tuck}
        missing = [name for name, word in looks.items() if word is None]
        if self.score is not None and len(missing) < len(looks):
            raise BadInput("score", "must be left out where ribs, waist and tuck are given")
        if self.score is None and missing:
            raise BadInput(missing[0], "must be given with the other two looks, or a score instead")
        return self


class CheckReplace(CheckAdd):
    """The right check for one that was entered wrongly."""

    replaces: Ref


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


class IntakeData(Shape):
    """What the dog eats now."""

    kcal_per_day: Annotated[float, Number(1, MOST_KCAL_A_DAY, "kcal a day")]
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
    treat_kcal: Annotated[float, Number(0, MOST_KCAL_A_DAY, "kcal a day")] | None = None
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


class VetWordAdd(Shape):
    """What a vet allowed, as a lead wrote it down."""

    on: ADay
    by: Annotated[str, Text(NAME_LENGTH, 1)]
    covers: Annotated[
        str, Covers((PLAN, FLOOR_0_7, TARGET_BELOW_70PCT), CONDITION_WORDS, CONDITION_PREFIX)
    ]
    until: ADay | None = None

    @model_validator(mode="after")
    def _until_after(self) -> Self:
        if self.until is not None and self.until < self.on:
            raise BadInput("until", f"must be a day from {self.on} on, or null")
        return self


class VetWordEnd(Shape):
    """The last word on a vet's word."""

    on: ADay
