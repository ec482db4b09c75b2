"""Time zones as people's phones name them."""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones


@lru_cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


def known_zone(name: str) -> str | None:
    """The name, where it is one of the IANA time zones."""
    return name if name in _zones() else None


def day_in(zone: str, instant: datetime) -> date:
    """The calendar day it is in that zone at that instant; UTC for a zone nobody knows."""
    return instant.astimezone(ZoneInfo(known_zone(zone) or "UTC")).date()
