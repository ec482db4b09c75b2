"""When a dog counts as grown."""

from __future__ import annotations

from datetime import date

import pytest

from server.science import growth
from tests.science.published import rows


def test_size_limits_are_the_published_ones():
    # Veterinary Nursing Journal 37(4), 2022.
    assert rows("growth")["GR04"].close_to(growth.LARGE_FROM_KG, growth.GIANT_FROM_KG)


@pytest.mark.parametrize(
    ("adult_kg", "months"), [(5, 12), (22.9, 12), (23, 18), (45, 18), (45.1, 24), (80, 24)]
)
def test_larger_dogs_grow_longer(adult_kg: float, months: int):
    # Merck (older edition quoted) for 12 and 18 months; 24 from memory.
    assert growth.grown_after_months(adult_kg) == months


def test_months_are_calendar_months():
    assert growth.months_later(date(2025, 3, 31), 11) == date(2026, 2, 28)
    assert growth.months_later(date(2024, 2, 29), 12) == date(2025, 2, 28)
    assert growth.whole_months(date(2025, 3, 3), date(2026, 3, 2)) == 11
    assert growth.whole_months(date(2025, 3, 2), date(2026, 3, 2)) == 12
