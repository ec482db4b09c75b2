"""What printed standards and breed pages say adult dogs of a breed weigh.

A breed's range is a question, never a target. It describes show dogs, not health: of 28 dogs that
a vet recorded at their ideal weight, 18 were above it. So it may prompt "is this dog big in the
frame, or fat?", and the hand on the ribs answers. It says nothing about puppies or crosses.

The figures are in fixtures/breeds.csv; fixtures/make_breeds.py tells how each was chosen and how
its sureness was judged. Nothing here is Django, and the file is read once.
"""

import csv
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal, cast, get_args

TABLE = Path(__file__).resolve().parent.parent / "fixtures" / "breeds.csv"
LIGHTEST_KG, HEAVIEST_KG = 0.5, 120.0  # our guard against slips, not a source's

Sex = Literal["any", "male", "female"]
Bound = Literal["range", "about", "at_most", "at_least"]
Sureness = Literal["agreed", "fair", "doubtful"]

# Which cells of a row must hold a weight (low, high).
ENDS: Mapping[Bound, tuple[bool, bool]] = MappingProxyType(
    {
        "range": (True, True),
        "about": (True, True),
        "at_most": (False, True),
        "at_least": (True, False),
    }
)


class BreedTableError(Exception):
    """The breed table is missing or holds something it must not; says where and what."""


@dataclass(frozen=True, slots=True)
class BreedRange:
    """The adult weight of one breed, from one or more sources that agree.

    sex: "any" means the row does not tell the sexes apart.
    low_kg, high_kg: ends of the printed range [kg]; None where the source leaves that end open,
        and both None for bound "about".
    bound: range; at_most (no low end); at_least (no high end); about (see about_kg).
    about_kg: single weights printed without a range [kg]: one, or the bitch's and the dog's.
        Nothing is known of the spread around them, so they are never ends. Empty otherwise.
    most_kg: the largest weight that any source prints here, those that disagree too [kg].
    standard: the sources in words; those that were not read say "(from memory)".
    found: at least one source that agrees was read; False: all from memory.
    how_sure: agreed (two independent publishers, both read), fair, or doubtful.
    agreement: independent publishers that agree. note: where sources differ, cautions.
    """

    breed: str
    sex: Sex
    low_kg: float | None
    high_kg: float | None
    bound: Bound
    standard: str
    found: bool
    how_sure: Sureness
    about_kg: tuple[float, ...]
    most_kg: float
    agreement: int
    note: str


@dataclass(frozen=True, slots=True)
class BreedTable:
    """All rows by breed and sex, and which breeds each name (folded) may mean."""

    rows: Mapping[tuple[str, Sex], BreedRange]
    names: tuple[str, ...]
    called: Mapping[str, tuple[str, ...]]


def breed_names() -> tuple[str, ...]:
    """Return the names of all breeds and size varieties, in the order of the table."""
    return read_table(TABLE).names


def breeds_called(text: str) -> tuple[str, ...]:
    """Return every breed that a name may mean: "Poodle" gives its three sizes, "" none.

    Case, accents and spacing do not matter. A breed's own name means that breed alone.
    """
    return read_table(TABLE).called.get(folded(text), ())


def breed_named(text: str) -> str | None:
    """Return the table's name for a breed, or None if there is none or more than one."""
    breeds = breeds_called(text)
    return breeds[0] if len(breeds) == 1 else None


def ranges() -> Mapping[tuple[str, Sex], BreedRange]:
    """Return every row by (breed, sex), read-only, for code that may not touch files."""
    return read_table(TABLE).rows


def adult_range(breed: str, sex: str) -> BreedRange | None:
    """Return what is printed for a breed and sex: a question to ask, never a target.

    breed: any name that `breed_named` knows. sex: "male", "female" or "any".
    Without a row for that sex it is the row for either, whose `sex` says "any".
    None for an unknown breed. Raises ValueError for another sex.
    """
    wanted = one_of(sex, get_args(Sex), "sex")
    name = breed_named(breed)
    if name is None:
        return None
    rows = ranges()
    return rows.get((name, cast(Sex, wanted))) or rows[name, "any"]


def breed_max_kg(breed: str, sex: str) -> float | None:
    """Return the weight [kg] that sorts a breed by how long it grows. For nothing else.

    The printed upper end where publishers agree on one; otherwise the largest weight that any
    row or source of the breed gives, because taking a growing dog for grown is the harmful
    mistake. None for an unknown breed. Raises ValueError as `adult_range` does.
    """
    row = adult_range(breed, sex)
    if row is None:
        return None
    if row.how_sure == "agreed" and row.high_kg is not None:
        return row.high_kg
    return max(other.most_kg for other in ranges().values() if other.breed == row.breed)


@lru_cache(maxsize=4)
def read_table(path: Path) -> BreedTable:
    """Read and check the breed table. Raises BreedTableError, which names file and line."""
    rows: dict[tuple[str, Sex], BreedRange] = {}
    called: dict[str, list[str]] = {}
    try:
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            for cells in reader:
                try:
                    row, aliases = parsed(cells), cells["also_called"].split("; ")
                    if (row.breed, row.sex) in rows:
                        raise ValueError(f"{row.breed}, {row.sex} stands there twice")
                except (KeyError, ValueError) as error:
                    why = f"no column {error}" if isinstance(error, KeyError) else error
                    raise BreedTableError(f"{path}, line {reader.line_num}: {why}.") from error
                rows[row.breed, row.sex] = row
                for name in filter(None, aliases):
                    breeds = called.setdefault(folded(name), [])
                    if row.breed not in breeds:
                        breeds.append(row.breed)
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BreedTableError(f"The breed table {path} cannot be read: {error}") from error
    names = tuple(dict.fromkeys(breed for breed, _ in rows))
    if not names:
        raise BreedTableError(f"The breed table {path} has no rows.")
    for breed in names:
        if (breed, "any") not in rows:
            raise BreedTableError(f"{path}: {breed} has no row for either sex.")
    meant = {name: tuple(breeds) for name, breeds in called.items()}
    meant |= {folded(breed): (breed,) for breed in names}
    return BreedTable(MappingProxyType(rows), names, MappingProxyType(meant))


def parsed(cells: Mapping[str, str | None]) -> BreedRange:
    """Check one line of the table. Raises KeyError (a column) or ValueError (a cell)."""
    text = {name: cell for name, cell in cells.items() if cell is not None}
    for name in ("breed", "standard"):
        if not text[name].strip():
            raise ValueError(f"{name} is empty")
    bound = cast(Bound, one_of(text["bound"], get_args(Bound), "bound"))
    low, high = kg(text, "adult_min_kg"), kg(text, "adult_max_kg")
    if (low is not None, high is not None) != ENDS[bound]:
        raise ValueError(f"the weights given do not fit bound {bound}")
    if low is not None and high is not None and low > high:
        raise ValueError(f"adult_min_kg {low} is above adult_max_kg {high}")
    most = kg(text, "most_kg")
    if most is None or any(end is not None and end > most for end in (low, high)):
        raise ValueError("most_kg must be given and not below the range")
    if not text["agreement"].isdecimal() or int(text["agreement"]) < 1:
        raise ValueError(f"agreement is {text['agreement']!r}, must be 1 or more")
    about = bound == "about"
    weights = dict.fromkeys(end for end in (low, high) if end is not None)
    return BreedRange(
        breed=text["breed"],
        sex=cast(Sex, one_of(text["sex"], get_args(Sex), "sex")),
        low_kg=None if about else low,
        high_kg=None if about else high,
        bound=bound,
        standard=text["standard"],
        found=one_of(text["found_or_memory"], ("found", "memory"), "found_or_memory") == "found",
        how_sure=cast(Sureness, one_of(text["how_sure"], get_args(Sureness), "how_sure")),
        about_kg=tuple(weights) if about else (),
        most_kg=most,
        agreement=int(text["agreement"]),
        note=text["note"],
    )


def kg(cells: Mapping[str, str], name: str) -> float | None:
    """Return a weight cell [kg], None if empty. Raises ValueError outside 0.5 to 120 kg."""
    if not cells[name]:
        return None
    weight = float(cells[name])
    if not LIGHTEST_KG <= weight <= HEAVIEST_KG:
        raise ValueError(f"{name} {weight} is not within {LIGHTEST_KG} to {HEAVIEST_KG} kg")
    return weight


def one_of(text: str, allowed: tuple[str, ...], name: str) -> str:
    """Return the text if it is allowed. Raises ValueError that lists what is."""
    if text not in allowed:
        raise ValueError(f"{name} is {text!r}, must be one of {', '.join(allowed)}")
    return text


def folded(text: str) -> str:
    """Return a name without case, accents and spare spaces, for looking it up."""
    bare = unicodedata.normalize("NFKD", text)
    bare = "".join(sign for sign in bare if not unicodedata.combining(sign))
    return " ".join(bare.casefold().split())
