"""When a fact was seen, and when the phone's clock says it was written down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True)
class Heard:
    """As the phone told it.

    local_date: the day it was for the person, whatever zone that was.
    hlc: what orders it among edits; hlc_said: before it was put back to our time.
    flagged_future: over a day ahead of our clock; kept, but somebody should look.
    """

    measured_at: datetime
    local_date: date
    tz: str
    hlc: str
    hlc_said: str
    flagged_future: bool = False
