"""The typed published values themselves: complete, and equal to the reference where it is there."""

from __future__ import annotations

import csv

import pytest

from tests.needs import reference
from tests.science.published import FOLDER, rows

FILES = sorted(path.stem for path in FOLDER.glob("*.csv"))
PRACTICE = "practice"  # facts of the trade: no publication holds them, so no reference does


def test_there_are_files_of_published_values():
    assert len(FILES) >= 8


@pytest.mark.parametrize("name", FILES)
def test_every_value_has_source_status_and_reason(name: str):
    for row in rows(name).values():
        assert row.source, row.id
        assert row.place, row.id
        assert row.reason, row.id
        statuses = {PRACTICE} if name == PRACTICE else {"found", "memory"}
        assert row.status in statuses, row.id
        kinds = {PRACTICE} if name == PRACTICE else {"printed", "computed"}
        assert row.kind in kinds, row.id
        if name == PRACTICE:
            assert row.source == "common practice, no source", row.id
        assert row.numbers, row.id


@pytest.mark.parametrize("name", [name for name in FILES if name != PRACTICE])
def test_the_values_are_those_of_the_reference(name: str):
    path = next(reference().rglob("check_values.csv"))
    with path.open(encoding="utf-8", newline="") as file:
        known = {row["id"]: row for row in csv.DictReader(file)}
    for row in rows(name).values():
        kept = known[row.id]
        assert (row.expected, row.tolerance) == (kept["expected"], float(kept["tolerance"])), row.id
        assert (row.source, row.status) == (kept["source"], kept["status"]), row.id
        if "computed here" in kept["source"] or "derivation" in kept["source"]:
            assert row.kind == "computed", row.id


def test_no_id_stands_twice():
    ids = [row_id for name in FILES for row_id in rows(name)]
    assert len(ids) == len(set(ids))
