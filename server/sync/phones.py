"""What each phone says of itself: how many entries it still holds unsent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from server.households.models import Person
from server.ledger.models import PhoneReport

AGAIN_AFTER = timedelta(hours=6)  # an unchanged report is not written more often


@dataclass(frozen=True)
class Lost:
    """Entries that a phone held unsent when it was last heard of, and holds no more."""

    entries: int
    last_seen: datetime


def heard_from(person: Person, device_id: str, *, pending: int, now: datetime) -> None:
    """Keep a phone's report."""
    report = PhoneReport.objects.filter(person=person, device_id=device_id).first()
    if report and report.pending == pending and now - report.seen_at < AGAIN_AFTER:
        return
    PhoneReport.objects.update_or_create(
        person=person, device_id=device_id, defaults={"pending": pending, "seen_at": now}
    )


def lost_on(person: Person, device_id: str) -> Lost | None:
    """What a phone that comes back empty had not sent; None where it had sent everything.

    The report stays until the phone is heard of again in the middle of things, so a lost answer
    does not hide the loss.
    """
    report = PhoneReport.objects.filter(person=person, device_id=device_id, pending__gt=0).first()
    return Lost(report.pending, report.seen_at) if report else None
