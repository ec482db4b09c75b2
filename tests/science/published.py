"""The published values in fixtures/published, with their sources and reasons."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"


@dataclass(frozen=True)
class Row:
    """One value. numbers: those of `expected`, in its order; status: found, memory or practice.

    place: where in the source. kind: printed there, computed by us from it, or practice.
    """

    id: str
    what: str
    inputs: dict[str, float]
    expected: str
    tolerance: float
    source: str
    place: str
    status: str
    kind: str
    reason: str

    @property
    def numbers(self) -> list[float]:
        return [float(number) for number in re.findall(r"[-+]?\d+(?:\.\d+)?", self.expected)]

    def close_to(self, *values: float) -> bool:
        """Say whether the values are the printed ones, within the row's tolerance."""
        assert len(values) == len(self.numbers), f"{self.id} prints {self.expected}"
        return list(values) == [
            pytest.approx(number, abs=self.tolerance + 1e-9) for number in self.numbers
        ]


def rows(name: str) -> dict[str, Row]:
    """Return the rows of one file by id."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["id"]: Row(
                id=row["id"],
                what=row["what"],
                inputs=_numbers(row["inputs"]),
                expected=row["expected"],
                tolerance=float(row["tolerance"]),
                source=row["source"],
                place=row["place"],
                status=row["status"],
                kind=row["kind"],
                reason=row["reason"],
            )
            for row in csv.DictReader(file)
        }


def _numbers(inputs: str) -> dict[str, float]:
    pairs = re.findall(r"([A-Za-z_]+)=(\d+(?:\.\d+)?)", inputs)
    return {name: float(number) for name, number in pairs}
