"""Read what a document says about a dog, its condition and a vet's word."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, get_args

from server.errors import BadInput
from server.science.condition import RIBS, TUCK, WAIST, Looks, Score
from server.science.dog import (
    Coat,
    DogFacts,
    Frame,
    Grown,
    Muscle,
    Reproduction,
    Sex,
    is_sighthound,
)
from server.science.reading import Fields, shown
from server.science.vet_first import CONDITION_WORDS
from server.science.vet_words import (
    CONDITION_PREFIX,
    FLOOR_0_7,
    PLAN,
    TARGET_BELOW_70PCT,
    VetWord,
)

DOG_KG = (0.3, 120.0)  # our guard against slips of the finger, not a finding
OLDEST_DOG = timedelta(days=40 * 365)


@dataclass(frozen=True)
class BreedFacts:
    """A breed of the table, for one sex [kg]; None where unknown.

    min_kg, max_kg: printed adult range. grown_kg: weight that tells how long the breed grows.
    """

    name: str
    min_kg: float | None
    max_kg: float | None
    grown_kg: float | None


FindBreed = Callable[[str, Sex], BreedFacts | None]


def read_dog(fields: Fields, as_of: date, find_breed: FindBreed) -> DogFacts:
    """Return the facts in a "dog" object. Raises BadInput."""
    name = fields.text("name")
    sex = fields.choice("sex", _words(Sex))
    neutered = fields.flag("neutered")
    birth_date, grown = _age(fields, as_of)
    breed = _breed(fields, sex, find_breed)
    frame: Frame | None = fields.choice("frame", _words(Frame)) if fields.has("frame") else None
    coat: Coat = fields.choice("coat", _words(Coat))
    reproduction: Reproduction = fields.choice("reproduction", _words(Reproduction))
    if sex == "male" and reproduction != "none":
        raise BadInput(fields.name("reproduction"), f"must be none for a male, not {reproduction}")
    conditions = tuple(_condition_word(path, word) for path, word in fields.items("conditions"))
    lean_weight_kg = fields.number_or_none("lean_weight_kg", *DOG_KG, "kg")
    adult_weight_kg = fields.number_or_none("adult_weight_kg", *DOG_KG, "kg")
    fields.close()
    return DogFacts(
        name=name,
        sex=sex,
        neutered=neutered,
        birth_date=birth_date,
        grown=grown,
        breed=breed.name if breed else None,
        frame=frame,
        coat=coat,
        reproduction=reproduction,
        conditions=tuple(dict.fromkeys(conditions)),
        lean_weight_kg=lean_weight_kg,
        adult_weight_kg=adult_weight_kg,
        breed_min_kg=breed.min_kg if breed else None,
        breed_max_kg=breed.max_kg if breed else None,
        breed_grown_kg=breed.grown_kg if breed else None,
        sighthound=is_sighthound(breed.name if breed else None),
    )


def read_condition(fields: Fields, as_of: date) -> tuple[Score | Looks, Muscle, date | None]:
    """Return the score or the three looks, the muscle, and the day of a "condition" object.

    `on`, the day of the check, may be left out. Raises BadInput.
    """
    muscle: Muscle = "normal"
    if fields.has("muscle"):
        muscle = fields.choice("muscle", _words(Muscle))
    on = fields.day("on", latest=as_of) if fields.has("on") else None
    condition: Score | Looks
    if fields.has("score"):
        for look in ("ribs", "waist", "tuck"):
            if fields.has(look):
                raise BadInput(fields.name(look), "must be left out beside a score")
        scattered = fields.flag("scatter") if fields.has("scatter") else False
        condition = Score(fields.whole("score", 1, 9), scattered)
        fields.close()
        return condition, muscle, on
    if fields.has("scatter"):
        raise BadInput(fields.name("scatter"), "must be left out unless a score is given")
    if not any(fields.has(look) for look in ("ribs", "waist", "tuck")):
        raise BadInput(fields.name("score"), "must be given, or the looks ribs, waist and tuck")
    condition = Looks(
        fields.choice("ribs", tuple(answer.word for answer in RIBS)),
        fields.choice("waist", tuple(answer.word for answer in WAIST)),
        fields.choice("tuck", tuple(answer.word for answer in TUCK)),
    )
    fields.close()
    return condition, muscle, on


def read_vet_words(fields: Fields, as_of: date) -> tuple[VetWord, ...]:
    """Return the vet's words under "vet_word"; none where the key is left out. Raises BadInput."""
    if not fields.has("vet_word"):
        return ()
    words = []
    for item in fields.objects("vet_word"):
        on = item.day("on", latest=as_of)
        by = item.text("by")
        covers = item.raw("covers")
        allowed = (PLAN, FLOOR_0_7, TARGET_BELOW_70PCT)
        if not (isinstance(covers, str) and (covers in allowed or _covers_condition(covers))):
            raise BadInput(
                item.name("covers"),
                f"must be one of {', '.join(allowed)} or {CONDITION_PREFIX}WORD with a word that "
                f"`tuckline conditions` prints, not {shown(covers)}",
            )
        until = item.day("until", earliest=on) if item.has("until") else None
        item.close()
        words.append(VetWord(on, by, covers, until))
    return tuple(words)


def _words(literal: object) -> tuple[Any, ...]:
    return get_args(literal)


def _age(fields: Fields, as_of: date) -> tuple[date | None, Grown | None]:
    if fields.has("birth_date"):
        if fields.has("grown"):
            raise BadInput(fields.name("grown"), "must be null or left out beside a birth_date")
        return fields.day("birth_date", earliest=as_of - OLDEST_DOG, latest=as_of), None
    if not fields.has("grown"):
        fields.raw("birth_date")
    answers: dict[bool | str, Grown] = {True: "yes", False: "no", "unknown": "unknown"}
    grown = fields.raw("grown") if fields.has("grown") else None
    if not isinstance(grown, bool | str) or grown not in answers:
        raise BadInput(
            fields.name("grown"),
            f'must be true, false or "unknown" where birth_date is null, not {shown(grown)}',
        )
    return None, answers[grown]


def _breed(fields: Fields, sex: Sex, find_breed: FindBreed) -> BreedFacts | None:
    if not fields.has("breed"):
        return None
    name = fields.text("breed")
    breed = find_breed(name, sex)
    if breed is None:
        raise BadInput(
            fields.name("breed"),
            f"must be a name of the breed table, or null for a mixed breed, not {shown(name)}",
        )
    return breed


def _condition_word(path: str, word: object) -> str:
    if not isinstance(word, str) or word not in CONDITION_WORDS:
        allowed = ", ".join(sorted(CONDITION_WORDS))
        raise BadInput(path, f"must be one of {allowed}, not {shown(word)}")
    return word


def _covers_condition(covers: str) -> bool:
    return (
        covers.startswith(CONDITION_PREFIX)
        and covers.removeprefix(CONDITION_PREFIX) in CONDITION_WORDS
    )
