"""The exchange of conversions that the phone's tests replay too: both must print the same."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from server.science.foods import FoodFacts
from server.science.ration import cups_label, ration_for

EXCHANGE = Path(__file__).parents[1] / "frontend" / "portions.json"
ROWS = json.loads(EXCHANGE.read_text(encoding="utf-8"))["rows"]


# Rows without an energy only turn cups into words.
CUPS_ONLY = [row for row in ROWS if row["kcal"] is None]


def test_the_exchange_is_worth_replaying():
    assert len(ROWS) >= 10
    assert any(row["grams_per_cup"] is None for row in ROWS)


@pytest.mark.parametrize("row", [row for row in ROWS if row["kcal"]])
def test_the_server_portions_as_the_phone_does(row: dict[str, Any]):
    food = FoodFacts(
        name="Millstone dry adult",
        role="meal",
        share=1.0,
        kcal_per_kg=row["kcal_per_kg"],
        grams_per_cup=row["grams_per_cup"],
    )
    (portion,) = ration_for(row["kcal"], (food,), treat_kcal=0)
    assert (portion.kcal, portion.grams) == (row["kcal"], row["grams"])
    assert portion.cups_label == row["cups_label"]


@pytest.mark.parametrize("row", CUPS_ONLY)
def test_the_server_words_cups_as_the_phone_does(row: dict[str, Any]):
    assert cups_label(row["grams"] / row["grams_per_cup"]) == row["cups_label"]
