"""When a dog is grown. A growing dog gets no reduction plan."""

import calendar
from datetime import date

# Veterinary Nursing Journal 37(4), 2022: large from 23 kg adult weight, giant from 45 kg.
LARGE_FROM_KG, GIANT_FROM_KG = 23.0, 45.0
# From memory (Merck, older edition quoted: about 9-12 months small, 12-18 large; giants to 24).
SMALL_GROWN_MONTHS, LARGE_GROWN_MONTHS, GIANT_GROWN_MONTHS = 12, 18, 24
SOURCE = (
    "Merck Veterinary Manual (older edition quoted) for 12 and 18 months; 24 months from memory; "
    "sizes: Veterinary Nursing Journal 37(4), 2022"
)


def grown_after_months(adult_kg: float) -> int:
    """Return the age [months] until which a dog of this adult weight counts as growing."""
    if adult_kg < LARGE_FROM_KG:
        return SMALL_GROWN_MONTHS
    return LARGE_GROWN_MONTHS if adult_kg <= GIANT_FROM_KG else GIANT_GROWN_MONTHS


def months_later(day: date, months: int) -> date:
    """Return the same day of the month some months later, or that month's last day."""
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def whole_months(birth: date, as_of: date) -> int:
    """Return the age in whole months."""
    months = (as_of.year - birth.year) * 12 + as_of.month - birth.month
    return months if months_later(birth, months) <= as_of else months - 1
