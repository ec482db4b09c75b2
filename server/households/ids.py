"""Ids made on the server, of the same kind as those made on phones: UUID version 7 (RFC 9562)."""

from __future__ import annotations

import secrets
import uuid
from datetime import datetime


def uuid7(now: datetime) -> uuid.UUID:
    """A time-ordered id: 48 bits of milliseconds, then 74 random bits (RFC 9562, section 5.7)."""
    milliseconds = int(now.timestamp() * 1000)
    value = (milliseconds & (2**48 - 1)) << 80
    value |= 0x7 << 76 | secrets.randbits(12) << 64
    value |= 0b10 << 62 | secrets.randbits(62)
    return uuid.UUID(int=value)
