"""Facts about a dog, as its people state them."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Sex = Literal["female", "male"]
Coat = Literal["short", "medium", "long"]
Frame = Literal["small", "medium", "large"]
Reproduction = Literal["none", "pregnant", "nursing"]
Muscle = Literal["normal", "mild", "moderate", "severe"]
Grown = Literal["yes", "no", "unknown"]


@dataclass(frozen=True)
class DogFacts:
    """One dog.

    birth_date: or None, and then `grown` says what its people know ("yes", "no", "unknown").
    conditions: words of `vet_first.CONDITIONS`.
    lean_weight_kg: weight on record at right condition [kg]; adult_weight_kg: grown weight [kg].
    breed_min_kg, breed_max_kg: printed adult range of the breed for this sex [kg], None where
    unknown. breed_grown_kg: the breed's weight [kg] that tells how long it grows.
    """

    name: str
    sex: Sex
    neutered: bool
    birth_date: date | None
    grown: Grown | None = None
    breed: str | None = None
    frame: Frame | None = None
    coat: Coat = "short"
    reproduction: Reproduction = "none"
    conditions: tuple[str, ...] = ()
    lean_weight_kg: float | None = None
    adult_weight_kg: float | None = None
    breed_min_kg: float | None = None
    breed_max_kg: float | None = None
    breed_grown_kg: float | None = None
    sighthound: bool = False


# Common practice, no source: the breeds usually grouped as sighthounds, by their table names.
SIGHTHOUNDS = frozenset(
    {
        "Afghan Hound",
        "Azawakh",
        "Borzoi",
        "Greyhound",
        "Irish Wolfhound",
        "Italian Greyhound",
        "Saluki",
        "Scottish Deerhound",
        "Sloughi",
        "Whippet",
    }
)


def is_sighthound(breed: str | None) -> bool:
    """Say whether a breed of this name may show its last ribs at a right weight."""
    return breed in SIGHTHOUNDS
