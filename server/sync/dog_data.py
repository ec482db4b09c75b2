"""What operations on dogs say."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from server.errors import BadInput
from server.science.vet_first import CONDITION_WORDS
from server.sync.fields import Breed, Grown, Text, Word, Words
from server.sync.shape import ADay, Grams, Note, Ref, Shape, YesNo

DOG_NAME_LENGTH = 60


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
