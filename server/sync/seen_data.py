"""What operations on facts say: weigh-ins, condition checks, a vet's words."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from server.errors import BadInput
from server.science.condition import RIBS, SCORES, TUCK, WAIST
from server.science.vet_first import CONDITION_WORDS
from server.science.vet_words import CONDITION_PREFIX, FLOOR_0_7, PLAN, TARGET_BELOW_70PCT
from server.sync.fields import Covers, Text, Whole, Word
from server.sync.shape import NAME_LENGTH, ADay, Grams, Note, Ref, Shape, YesNo

SCALE_LENGTH = 40


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
