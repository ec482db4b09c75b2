"""A phone of the demo: makes operations as the app does and sends them through the same door."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from server.households.ids import uuid7
from server.households.models import Person
from server.ledger import changes
from server.sync import hlc
from server.sync.kinds import KINDS
from server.sync.ops import Who, read


class Phone:
    """One person's phone. Times are given; it asks no clock."""

    def __init__(self, person: Person) -> None:
        self.person = person
        self._node = uuid.uuid5(uuid.NAMESPACE_URL, person.email).hex[:8]
        self._said = 0

    def send(
        self,
        kind: str,
        data: dict[str, Any],
        *,
        at: datetime,
        dog: uuid.UUID | None = None,
        entity: uuid.UUID | None = None,
        base: int | None = None,
    ) -> uuid.UUID:
        """Send one operation; returns the id of the thing it is about.

        at: when it was seen and sent. entity: None for a new thing. base: version of a plan that
        the person saw. Must run inside a transaction; raises Rejected where the server refuses.
        """
        about = entity or uuid7(at)
        whose = about if kind == "dog.add" else dog
        op = {
            "op_id": str(uuid7(at)),
            "kind": kind,
            "entity_id": str(about),
            "dog_id": str(whose) if whose else None,
            "hlc": self._clock(at),
            "measured_at": at.isoformat(timespec="seconds"),
            "local_date": at.astimezone(ZoneInfo(self.person.tz)).date().isoformat(),
            "tz": self.person.tz,
            "data": data,
        }
        if base is not None:
            op["base"] = {"state": base}
        changes.hold()
        known_kind, read_op = read(op, KINDS, now=at, place=0)
        known_kind.apply(read_op, Who(self.person, at))
        return about

    def _clock(self, at: datetime) -> str:
        self._said += 1
        return hlc.written(int(at.timestamp() * 1000), self._said % 10_000, self._node)
