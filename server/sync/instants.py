"""Days, moments, time zones and clock readings as phones write them."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from typing import Any

from server.households.zones import known_zone
from server.sync import hlc
from server.sync.fields import Checked, only

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_MOMENT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
    r"(Z|[+-][0-9]{2}:[0-9]{2})",
    re.ASCII,
)
# A phone with an empty battery may believe it is 1970; whatever it says is kept.
FIRST_DAY, LAST_DAY = date(1970, 1, 1), date(2099, 12, 31)
_FIRST = datetime(1969, 12, 31, tzinfo=UTC)  # 1970 had begun somewhere
_LAST = datetime(2100, 1, 1, tzinfo=UTC)


class Day(Checked):
    """A calendar day."""

    def words(self) -> str:
        """Form and range."""
        return f"a day from {FIRST_DAY} to {LAST_DAY} as YYYY-MM-DD"

    def check(self, value: Any) -> date:
        """A day that exists."""
        only(isinstance(value, str) and _DAY.fullmatch(value) is not None)
        day = date.fromisoformat(value)
        only(FIRST_DAY <= day <= LAST_DAY)
        return day


class Moment(Checked):
    """An instant, with its offset."""

    def words(self) -> str:
        """Form and range."""
        return f"a time from {FIRST_DAY} to {LAST_DAY} as YYYY-MM-DDTHH:MM:SS with Z or an offset"

    def check(self, value: Any) -> datetime:
        """The instant in UTC."""
        only(isinstance(value, str) and _MOMENT.fullmatch(value) is not None)
        try:
            instant = datetime.fromisoformat(value).astimezone(UTC)
        except OverflowError as error:
            raise ValueError from error
        only(_FIRST <= instant < _LAST)
        return instant


class Zone(Checked):
    """A time zone by its name."""

    def words(self) -> str:
        """An example says more than "IANA"."""
        return "the name of a time zone, such as Europe/Lisbon"

    def check(self, value: Any) -> str:
        """A zone that this server knows."""
        only(isinstance(value, str) and len(value) <= 64 and known_zone(value) is not None)
        return str(value)


class Clock(Checked):
    """A reading of the phone's logical clock."""

    def words(self) -> str:
        """The form."""
        return "a clock reading: 13 digits, 4 digits and 8 hex digits, joined by -"

    def check(self, value: Any) -> str:
        """The text itself; `hlc.clamped` makes sense of it."""
        only(isinstance(value, str) and hlc.well_formed(value))
        return str(value)
