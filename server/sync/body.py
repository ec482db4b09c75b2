"""The body of a push: its size, its JSON, and what it says around the operations."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict

from server.sync.fields import Id, Text, Whole
from server.sync.ops import checked

MOST_OPS = 100
MOST_BYTES = 256 * 1024
PROTOCOL = 1  # the oldest that is understood
MOST_PENDING = 1_000_000


class TooLarge(Exception):
    """More than one push may carry; the phone sends less at a time."""


class NotJson(ValueError):
    """Not a JSON document."""


@dataclass(frozen=True)
class Push:
    """What a phone sends, its operations not yet read.

    pending: entries that the phone holds unsent, those of this push included.
    """

    protocol: int
    device_id: str
    epoch: uuid.UUID
    pending: int
    ops: list[Any]


class _Body(BaseModel):
    # Unknown keys are let pass: a newer phone may say more than this server understands.
    model_config = ConfigDict(extra="ignore")

    protocol: Annotated[int, Whole(0, 1_000_000)]
    device_id: Annotated[str, Text(64, 1)]
    epoch: Annotated[uuid.UUID, Id()]
    pending: Annotated[int, Whole(0, MOST_PENDING)] = 0
    ops: list[Any]


def read_push(body: bytes) -> Push:
    """Read a push. Raises TooLarge, NotJson, or Rejected with the field to blame."""
    if len(body) > MOST_BYTES:
        raise TooLarge
    try:
        raw = json.loads(body)
    except (ValueError, RecursionError) as error:
        raise NotJson from error
    said = checked(_Body, raw)
    if len(said.ops) > MOST_OPS:
        raise TooLarge
    return Push(said.protocol, said.device_id, said.epoch, said.pending, said.ops)
