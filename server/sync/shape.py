"""What the data of operations is made of: objects of exactly their fields.

Phones run old code for months: a field may be added with a default, none may be removed or
narrowed before its promised time.
"""

from __future__ import annotations

import uuid
from datetime import date
from typing import Annotated

from pydantic import BaseModel, ConfigDict

from server.records.models import HEAVIEST_G, LIGHTEST_G
from server.sync.fields import Flag, Id, Text, Whole
from server.sync.instants import Day

NOTE_LENGTH, NAME_LENGTH = 200, 80

Grams = Annotated[int, Whole(LIGHTEST_G, HEAVIEST_G, "g")]
Note = Annotated[str, Text(NOTE_LENGTH, lines=True)]
Ref = Annotated[uuid.UUID, Id()]
ADay = Annotated[date, Day()]
YesNo = Annotated[bool, Flag()]


class Shape(BaseModel):
    """An object of exactly these fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)
