"""At least 25 whole cases: `tuckline plan` against a hand calculation that knows no server."""

from __future__ import annotations

import ast
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from server.cli.plan import answer
from tests.published import whole_plans, whole_sides, worked
from tests.published.test_rows import BY_HAND_ONLY, ROWS
from tests.published.worked import DEFINITION, POLICY, D, Sheet

CASES = {case.name: case for case in (*whole_plans.CASES, *whole_sides.CASES)}


def at(answered: Any, path: str) -> Any:
    """The value under a path; a number picks from a list."""
    for step in path.split("."):
        answered = answered[int(step) if isinstance(answered, list) else step]
    return answered


@pytest.mark.parametrize("name", CASES)
def test_the_server_agrees_with_the_hand(name: str):
    case = CASES[name]
    expected = case.expected(Sheet())
    answered = answer(case.document)
    found = {path: at(answered, path) for path in expected}
    # Both are rounded for people alike; a float cannot show two decimals exactly, hence 1e-9.
    assert found == {
        path: pytest.approx(float(value), abs=1e-9) if isinstance(value, Decimal) else value
        for path, value in expected.items()
    }


@pytest.mark.parametrize("name", CASES)
def test_every_step_names_a_row_of_the_published_values(name: str):
    sheet = Sheet()
    CASES[name].expected(sheet)
    rows = [row for row, _, _ in sheet.steps]
    assert rows
    assert all(row in ROWS or row in {POLICY, DEFINITION} for row in rows), rows


def test_there_are_enough_whole_cases():
    assert len(CASES) >= 25
    assert len(CASES) == len(whole_plans.CASES) + len(whole_sides.CASES)


@pytest.mark.parametrize("module", [worked, whole_plans, whole_sides])
def test_the_hand_knows_no_server(module):
    tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
    assert names
    assert not [name for name in names if name.split(".")[0] == "server"]
    assert not [name for name in names if name.startswith("tests.science")]


def _linear_error(kg: int) -> Decimal:
    power = worked.resting(Sheet(), D(kg))
    return 100 * (worked.resting_linear(Sheet(), D(kg)) / power - 1)


BY_HAND = {
    "RER09": lambda: [worked.resting_linear(Sheet(), D(10))],
    **{
        f"RER{n}": lambda kg=kg: [_linear_error(kg)]
        for n, kg in ((10, 10), (11, 25), (12, 45), (13, 60))
    },
    # The linear form crosses the power form twice; within its stated ranges it is off by less
    # than 17.5%, far outside by more: why the server keeps to the power form.
    "RER14": lambda: [D(2), D(25)] if abs(_linear_error(25)) < 5 else [],
    "RER15": lambda: [D(2), D(45)] if abs(_linear_error(45)) < D("17.5") else [],
    "WX06": lambda: [(D("28.0") - D("27.6")) / D("28.0") * 100 / 2],
    "WX09": lambda: [(D(30) / D(25)).ln() / (1 / D("0.99")).ln()],
    "WX16": lambda: [D("13.9") / 12],
    "WX19": lambda: [D(40) / (1 + D("0.1") * 3)],
    "WX43": lambda: [600 + D("0.27") * 7700 / 7],
}


@pytest.mark.parametrize("row_id", sorted(BY_HAND_ONLY))
def test_forms_the_server_leaves_out(row_id: str):
    row = ROWS[row_id]
    assert row.close_to(*(float(value) for value in BY_HAND[row_id]()))


def test_the_start_by_each_method():
    # AAHA 2014 (A: 80% of intake, B: 0.8 x resting), C: 1.0 x resting (memory), and D: Small
    # Animal Clinical Nutrition, Table 27-15.
    sheet = Sheet()
    assert float(D("0.8") * worked.resting(sheet, D(25))) == pytest.approx(626.1, abs=0.05)
    assert ROWS["WX05"].close_to(float(worked.resting(sheet, D(25))))
    maintenance = D("1.4") * worked.resting(sheet, D(36))
    by_deficit = worked.start_by_deficit(sheet, maintenance, D(36), D(1))
    assert ROWS["WX12"].close_to(float(by_deficit))
    rest = worked.resting(sheet, D(25))
    assert worked.start(sheet, rest, D(900), D("0.8") * rest) == 720
    assert [row for row, _, _ in sheet.steps].count("WL01") == 1
