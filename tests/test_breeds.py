"""The breed table against printed standards, and its own promises."""

import csv
import importlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from server import breeds

FIXTURES = Path(breeds.TABLE).parent
POUND = 0.45359237  # [kg], by definition

# The printed figures [kg] were written down from memory of each standard, not copied from the
# table. "found" and "memory" are what the table says of its own row: whether the text of a source
# that agrees was read when the table was compiled.
PRINTED = [
    ("Azawakh", "male", 20, 25, "FCI standard 307", "found"),
    ("Azawakh", "female", 15, 20, "FCI standard 307", "found"),
    ("Hanoverian Scenthound", "male", 30, 40, "FCI standard 213", "found"),
    ("Karelian Bear Dog", "female", 17, 20, "FCI standard 48", "found"),
    ("Neapolitan Mastiff", "male", 60, 70, "FCI standard 197", "found"),
    ("Norwegian Buhund", "female", 12, 16, "FCI standard 237", "found"),
    ("Puli", "female", 10, 13, "FCI standard 55", "found"),
    ("Golden Retriever", "male", 65 * POUND, 75 * POUND, "AKC standard", "found"),
    ("Labrador Retriever", "female", 55 * POUND, 70 * POUND, "AKC standard", "found"),
    ("Canaan Dog", "female", 35 * POUND, 45 * POUND, "AKC standard", "found"),
    ("German Shepherd Dog", "female", 22, 32, "FCI standard 166", "memory"),
    ("Lagotto Romagnolo", "female", 11, 14, "FCI standard 298", "memory"),
    ("Eurasier", "female", 18, 26, "FCI standard 291", "memory"),
    ("Majorca Mastiff", "male", 35, 38, "FCI standard 249", "memory"),
]


@pytest.fixture(scope="module")
def script() -> Iterator[ModuleType]:
    """The script that makes the table, kept beside it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(FIXTURES)
        yield importlib.import_module("make_breeds")


@pytest.fixture(scope="module")
def table() -> list[dict[str, str]]:
    """The table as text, read without our reader."""
    with breeds.TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(("breed", "sex", "low", "high", "standard", "status"), PRINTED)
def test_row_holds_the_printed_standard(breed, sex, low, high, standard, status):
    row = breeds.adult_range(breed, sex)
    assert row is not None
    assert (row.sex, row.bound) == (sex, "range")
    # The table has one decimal, hence half of 0.1 (and a hair for binary fractions).
    assert row.low_kg == pytest.approx(low, abs=0.0501)
    assert row.high_kg == pytest.approx(high, abs=0.0501)
    assert standard in row.standard
    assert row.found == (status == "found")


@pytest.mark.parametrize(
    ("breed", "sex", "printed_kg", "standard"),
    [
        # All found. The Irish Terrier's text has 27 and 25 lb beside its rounded kg; the table
        # follows the pounds, hence 0.1.
        ("Irish Terrier", "male", 12.25, "FCI standard 139"),
        ("Irish Terrier", "female", 11.4, "FCI standard 139"),
        ("Norwegian Lundehund", "male", 7.0, "FCI standard 265"),
        ("Norwegian Lundehund", "female", 6.0, "FCI standard 265"),
    ],
)
def test_a_single_printed_weight_is_no_range(breed, sex, printed_kg, standard):
    row = breeds.adult_range(breed, sex)
    assert row is not None
    assert row.about_kg == pytest.approx((printed_kg,), abs=0.101)
    assert (row.low_kg, row.high_kg, row.bound) == (None, None, "about")
    assert standard in row.standard
    assert row.found


def test_holds_at_least_two_hundred_breeds():
    assert len(breeds.breed_names()) >= 200
    assert len(set(breeds.breed_names())) == len(breeds.breed_names())


def test_every_row_is_sane_and_names_its_source():
    for (breed, sex), row in breeds.ranges().items():
        ends = [kg for kg in (row.low_kg, row.high_kg, *row.about_kg) if kg is not None]
        assert ends, (breed, sex)
        assert all(0.5 <= kg <= 120 for kg in ends), (breed, sex)
        assert ends == sorted(ends), (breed, sex)
        assert max(ends) <= row.most_kg <= 120, (breed, sex)
        assert any(
            source in row.standard
            for source in ("FCI standard ", "AKC", "API", "Wikipedia", "club or rescue page")
        ), (breed, sex)
        assert row.agreement >= 1, (breed, sex)


def test_open_ends_stay_open():
    shape = {
        "range": (False, False),
        "at_most": (True, False),
        "at_least": (False, True),
        "about": (True, True),
    }
    seen = set()
    for row in breeds.ranges().values():
        assert (row.low_kg is None, row.high_kg is None) == shape[row.bound], row
        assert bool(row.about_kg) == (row.bound == "about"), row
        seen.add(row.bound)
    assert seen == set(shape)


def test_only_what_was_read_twice_is_called_agreed(table):
    agreed = [row for row in table if row["how_sure"] == "agreed"]
    assert len(agreed) > 30
    for row in agreed:
        read = {
            "AKC" if "AKC" in source else source
            for source in row["standard"].split("; ")
            if "from memory" not in source
        }
        assert len(read) >= 2, row
        assert row["found_or_memory"] == "found", row
        assert row["bound"] == "range", row
        for caution in ("no weight", "several sizes", "different standards", "by hand", "bigger"):
            assert caution not in row["note"], row


@pytest.mark.parametrize(
    "breed",
    [
        # Named in the reference's list of what is not safe to conclude.
        "Yorkshire Terrier", "Border Terrier", "Staffordshire Bull Terrier", "Havanese",
        "Pembroke Welsh Corgi", "Bulldog", "Kuvasz", "Affenpinscher", "Greyhound",
        # Several sizes in one row.
        "Beagle (both varieties)", "Dachshund (all varieties)", "German Spitz", "American Bully",
        "American Eskimo Dog (all varieties)", "Peruvian Inca Orchid (all varieties)",
        "Xoloitzcuintli (all varieties)",
    ],
)  # fmt: skip
def test_unsafe_breeds_are_doubtful_and_say_why(breed):
    rows = [row for (name, _), row in breeds.ranges().items() if name == breed]
    assert rows
    for row in rows:
        assert row.how_sure == "doubtful"
        assert row.note


@pytest.mark.parametrize("breed", ["Border Collie", "Whippet", "Poodle (Miniature)"])
def test_breeds_whose_standard_has_no_weight_are_never_agreed(breed):
    rows = [row for (name, _), row in breeds.ranges().items() if name == breed]
    assert {row.how_sure for row in rows} <= {"fair", "doubtful"}
    assert any("gives no weight" in row.note for row in rows)


def test_memory_only_is_doubtful(table):
    memory = [row for row in table if row["found_or_memory"] == "memory"]
    assert len(memory) > 100
    for row in memory:
        assert row["how_sure"] == "doubtful", row
        assert all(source.endswith("(from memory)") for source in row["standard"].split("; ")), row


def test_two_single_weights_are_not_joined_into_a_range():
    # Rhodesian Ridgeback: the AKC standard has one weight for dogs and one for bitches.
    row = breeds.adult_range("Rhodesian Ridgeback", "any")
    assert row is not None
    assert (row.bound, row.low_kg, row.high_kg) == ("about", None, None)
    assert row.about_kg == pytest.approx((70 * POUND, 85 * POUND), abs=0.0501)


def test_a_least_weight_is_not_taken_for_an_upper_end():
    # FCI standard 335 (from memory): dogs at least 50 kg, bitches at least 40 kg, no upper end.
    row = breeds.adult_range("Central Asian Shepherd Dog", "any")
    assert row is not None
    assert (row.bound, row.high_kg) == ("at_least", None)


def test_missing_sex_falls_back_to_the_row_for_either_and_says_so():
    row = breeds.adult_range("Airedale Terrier", "female")
    assert row is not None
    assert row.sex == "any"
    assert row == breeds.ranges()["Airedale Terrier", "any"]


def test_unknown_breed_has_no_range_and_no_size():
    assert breeds.adult_range("Longwater Setter", "male") is None
    assert breeds.breed_max_kg("Longwater Setter", "male") is None


def test_refuses_a_sex_it_does_not_know():
    with pytest.raises(ValueError, match="sex is 'm', must be one of any, male, female"):
        breeds.adult_range("Puli", "m")


@pytest.mark.parametrize(
    ("text", "breed"),
    [
        ("Border Collie", "Border Collie"),
        ("  border   COLLIE ", "Border Collie"),
        ("Beagle", "Beagle (both varieties)"),
        ("Toy Poodle", "Poodle (Toy)"),
        ("Dobermann", "Doberman Pinscher"),
        ("kleiner munsterlander", "Small Munsterlander"),
        ("Rough Collie", "Collie (Rough and Smooth)"),
        ("German Spitz", "German Spitz"),  # its own name wins over what the FCI calls a Keeshond
        ("Poodle", None),  # three sizes
        ("Cocker Spaniel", None),  # two breeds, one on each side of the Atlantic
        ("Collie cross", None),
        ("", None),
    ],
)
def test_names_are_found_and_never_guessed(text, breed):
    assert breeds.breed_named(text) == breed


def test_a_shared_name_lists_what_it_may_mean():
    assert breeds.breeds_called("poodle") == (
        "Poodle (Miniature)",
        "Poodle (Standard)",
        "Poodle (Toy)",
    )
    assert breeds.breeds_called("") == ()


def test_every_name_leads_to_its_own_breed():
    for name in breeds.breed_names():
        assert breeds.breed_named(name) == name


@pytest.mark.parametrize(
    ("breed", "sex", "kg"),
    [
        ("Azawakh", "female", 20.0),  # agreed: her own upper end
        ("Alaskan Malamute", "female", 45.4),  # a single weight: the largest any source gives
        ("Giant Schnauzer", "male", 47.0),  # FCI (from memory) above the AKC's 38.6
        ("Fila Brasileiro", "female", 50.0),  # no upper end: the dog's least weight
        ("Yorkshire Terrier", "female", 3.2),
    ],
)
def test_size_errs_to_the_dog_that_grows_longer(breed, sex, kg):
    assert breeds.breed_max_kg(breed, sex) == kg


def test_size_is_never_below_the_breeds_own_row():
    for (breed, sex), row in breeds.ranges().items():
        size = breeds.breed_max_kg(breed, sex)
        assert size is not None
        assert size >= max(kg for kg in (row.low_kg, row.high_kg, *row.about_kg) if kg), row


def test_missing_table_is_said_in_words(tmp_path):
    with pytest.raises(breeds.BreedTableError, match=r"gone\.csv cannot be read"):
        breeds.read_table(tmp_path / "gone.csv")


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("adult_min_kg", "60.0", "adult_min_kg 60.0 is above adult_max_kg 15.0"),
        ("adult_max_kg", "nan", "adult_max_kg nan is not within 0.5 to 120.0 kg"),
        ("adult_max_kg", "121", "not within"),
        ("adult_max_kg", "many", "could not convert"),
        ("adult_max_kg", "", "do not fit bound range"),
        ("bound", "roughly", "bound is 'roughly', must be one of range, about"),
        ("sex", "dog", "sex is 'dog'"),
        ("standard", "", "standard is empty"),
        ("how_sure", "sure", "how_sure is 'sure'"),
        ("found_or_memory", "", "found_or_memory is ''"),
        ("most_kg", "14.9", "most_kg must be given and not below the range"),
        ("agreement", "0", "agreement is '0'"),
        ("sex", "male", "no row for either sex"),
    ],
)
def test_malformed_row_is_named(tmp_path, table, column, cell, words):
    row = next(row for row in table if row["breed"] == "Finnish Lapphund" and row["sex"] == "any")
    assert (row["adult_min_kg"], row["adult_max_kg"]) == ("15.0", "24.0")
    broken = row | {"adult_max_kg": "15.0", "most_kg": "15.0"} | {column: cell}
    path = write(tmp_path, [broken])
    with pytest.raises(breeds.BreedTableError, match=words):
        breeds.read_table(path)


def test_a_row_that_stands_twice_is_named(tmp_path, table):
    path = write(tmp_path, [table[0], table[0]])
    with pytest.raises(
        breeds.BreedTableError, match="line 3: Affenpinscher, any stands there twice"
    ):
        breeds.read_table(path)


def test_a_missing_column_is_named(tmp_path, table):
    path = write(tmp_path, [{k: v for k, v in table[0].items() if k != "also_called"}])
    with pytest.raises(breeds.BreedTableError, match="line 2: no column 'also_called'"):
        breeds.read_table(path)


def test_an_empty_table_is_refused(tmp_path):
    path = tmp_path / "breeds.csv"
    path.write_text("breed,sex\n", encoding="utf-8")
    with pytest.raises(breeds.BreedTableError, match="has no rows"):
        breeds.read_table(path)


def write(folder: Path, rows: list[dict[str, str]]) -> Path:
    """Write a table that is broken on purpose."""
    path = folder / "breeds.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def test_the_phones_copy_is_what_the_script_makes_of_the_table(script):
    made = script.phone_json(script.rows_from_table())
    assert script.PHONE.read_text(encoding="utf-8") == made


def test_the_phones_copy_says_the_same_as_the_table(script, table):
    phone = json.loads(script.PHONE.read_text(encoding="utf-8"))
    assert phone["unit"] == "kg"
    by_name = {breed["name"]: breed for breed in phone["breeds"]}
    assert tuple(by_name) == breeds.breed_names()
    for row in table:
        bound, low, high, how_sure, source = by_name[row["breed"]][row["sex"]]
        assert (bound, how_sure) == (row["bound"], row["how_sure"])
        assert ["" if kg is None else f"{kg:.1f}" for kg in (low, high)] == [
            row["adult_min_kg"],
            row["adult_max_kg"],
        ]
        assert source
    assert sum(len(breed.keys() & {"any", "male", "female"}) for breed in by_name.values()) == len(
        table
    )


def test_an_unknown_caution_stops_the_script(script):
    cells = dict.fromkeys(script.COLUMNS, "") | {
        "source": "FCI standard no. 55 [FCI]",
        "status": "found",
        "confidence": "high",
        "adult_max_kg": "13.0",
        "note": "tends to burst",
    }
    with pytest.raises(ValueError, match="unknown note 'tends to burst'"):
        script.judge(cells)


def test_making_the_table_again_gives_the_same_bytes(script):
    folder = os.environ.get("TUCKLINE_REFERENCE")
    if not folder:
        if os.environ.get("TUCKLINE_NO_SKIP") == "1":
            pytest.fail("TUCKLINE_NO_SKIP=1 but TUCKLINE_REFERENCE is not set")
        pytest.skip("TUCKLINE_REFERENCE is not set: no reference to make the breed table from")
    rows = script.rows_from_reference(Path(folder) / "reference" / "breed_weights.csv")
    assert script.TABLE.read_bytes() == script.csv_text(rows).encode()
    assert script.PHONE.read_bytes() == script.phone_json(rows).encode()
