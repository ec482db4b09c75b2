"""Every row of fixtures/published is held against a formula or a constant of the server."""

from __future__ import annotations

import pytest

from tests.published import energy_checks, plan_checks
from tests.published.practice_checks import PRACTICE
from tests.science.published import FOLDER, Row, rows

ROWS: dict[str, Row] = {
    row_id: row for path in sorted(FOLDER.glob("*.csv")) for row_id, row in rows(path.stem).items()
}
VALUES = energy_checks.VALUES | plan_checks.VALUES
HOLDS = energy_checks.HOLDS | plan_checks.HOLDS | PRACTICE
# Forms that the server leaves out on purpose; `worked` computes them, test_worked compares.
BY_HAND_ONLY = {
    *(f"RER{n:02d}" for n in range(9, 16)),
    *("WX06", "WX09", "WX16", "WX19", "WX43"),
}


@pytest.mark.parametrize("row_id", VALUES)
def test_the_server_gives_the_printed_values(row_id: str):
    row = ROWS[row_id]
    assert row.close_to(*VALUES[row_id](row)), f"{row_id}: {row.source}, {row.place}"


@pytest.mark.parametrize("row_id", HOLDS)
def test_the_servers_choice_fits_the_printed_values(row_id: str):
    row = ROWS[row_id]
    assert HOLDS[row_id](row), f"{row_id}: {row.source}, {row.place}"


def test_no_row_is_left_unchecked_and_no_check_has_no_row():
    assert not set(VALUES) & set(HOLDS)
    assert set(VALUES) | set(HOLDS) | BY_HAND_ONLY == set(ROWS)
    assert not BY_HAND_ONLY & (set(VALUES) | set(HOLDS))


def test_at_least_120_printed_rows_are_checked_against_the_server():
    checked = [ROWS[row_id] for row_id in (*VALUES, *HOLDS)]
    assert sum(row.kind == "printed" for row in checked) >= 120
    assert sum(row.kind == "computed" for row in checked) >= 40


def off(row: Row) -> Row:
    """The same row with every number a fifth higher (a zero becomes one)."""
    numbers = [1.2 * number if number else 1.0 for number in row.numbers]
    return Row(**{**vars(row), "expected": " / ".join(f"{n:.6f}" for n in numbers)})


@pytest.mark.parametrize("row_id", VALUES)
def test_a_wrong_printed_value_would_be_noticed(row_id: str):
    row = ROWS[row_id]
    assert not off(row).close_to(*VALUES[row_id](row))
