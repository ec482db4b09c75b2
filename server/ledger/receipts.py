"""Receipts: what was answered to an operation, so that sending it again changes nothing."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from server.ledger.models import Receipt


def payload_hash(op: dict[str, Any]) -> str:
    """A fingerprint of everything the operation says."""
    text = json.dumps(op, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def known(person_id: uuid.UUID, op_ids: list[uuid.UUID]) -> dict[uuid.UUID, Receipt]:
    """Receipts this person already holds for these operations."""
    rows = Receipt.objects.filter(person_id=person_id, op_id__in=op_ids)
    return {row.op_id: row for row in rows}


def receipt(
    *,
    person_id: uuid.UUID,
    op_id: uuid.UUID,
    fingerprint: str,
    result: dict[str, Any],
    now: datetime,
) -> Receipt:
    """A receipt that `keep` will write down."""
    return Receipt(
        person_id=person_id,
        op_id=op_id,
        payload_hash=fingerprint,
        result=result,
        received_at=now,
    )


def keep(new: Iterable[Receipt]) -> None:
    """Write receipts down, in the transaction that applied their operations."""
    Receipt.objects.bulk_create(new)
