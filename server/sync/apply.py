"""Push: what a phone sends is applied in order, each operation at most once, with one answer each.

The whole batch goes into one transaction first. Where anything in it is refused or fails, that
transaction is undone and the batch runs again with a savepoint around each operation, so that one
bad entry spoils no other.

Three ways to fail, and why none loses an entry:
- The operation is refused (Rejected): answered "rejected" and not remembered. The phone keeps it
  in sight until a person settles it; sent again it is judged anew, since a role or a dog may have
  come meanwhile.
- The database is busy or gone (OperationalError): nothing is answered, the phone keeps the whole
  batch and sends it again. What was committed is known by its receipts.
- A fault of ours: answered "rejected" with code "server_error" and logged. No answer at all would
  hold up every entry behind it for as long as the fault stands; any other status would let the
  phone forget the entry. It has no receipt, so after a repair it can be sent again as it is.
"""

from __future__ import annotations

import logging
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import InterfaceError, OperationalError, transaction

from server.errors import BadInput, Rejected
from server.households.models import Person
from server.ledger import changes, receipts
from server.ledger.models import Receipt
from server.ledger.turns import in_turn
from server.plans.answers import Stale
from server.sync.kinds import KINDS
from server.sync.ops import Kind, Op, Outcome, Who, read

log = logging.getLogger(__name__)

Result = dict[str, Any]

NO_DATABASE = (OperationalError, InterfaceError)
OUR_FAULT = (
    "This entry could not be stored because of a fault on our side. It stays on this phone; "
    "send it again later."
)


class _Again(Exception):
    """Something in the batch was refused or failed."""


@dataclass(frozen=True)
class _Sent:
    """An operation as it was sent: read, or refused before anything was looked up."""

    op_id: Any
    fingerprint: str
    read: tuple[Kind[Any], Op[Any]] | Result


def push(*, ops: Sequence[Any], person: Person, now: datetime) -> list[Result]:
    """Apply operations in order and answer each. What is answered is on disk.

    Raises OperationalError or InterfaceError where the database cannot be had; then nothing is
    answered, and sending the same again is right.
    """
    sent = [_read(raw, now=now, place=place) for place, raw in enumerate(ops)]
    with in_turn():
        return _apply(sent, Who(person, now))


def _apply(sent: list[_Sent], who: Who) -> list[Result]:
    try:
        with transaction.atomic(durable=True):
            return _all_or_none(sent, who)
    except _Again:
        pass
    with transaction.atomic(durable=True):
        return _one_by_one(sent, who)


def _read(raw: Any, *, now: datetime, place: int) -> _Sent:
    if not isinstance(raw, dict):
        refused = Rejected("bad_op", "an operation must be an object")
        return _Sent(None, "", _refusal(None, refused))
    said = raw.get("op_id")
    op_id = said if isinstance(said, str) else None  # given back, so that the phone knows which
    try:
        return _Sent(op_id, receipts.payload_hash(raw), read(raw, KINDS, now=now, place=place))
    except Rejected as error:
        return _Sent(op_id, "", _refusal(op_id, error))
    except RecursionError:
        return _Sent(op_id, "", _refusal(op_id, Rejected("bad_op", "data is nested too deeply")))


def _all_or_none(sent: list[_Sent], who: Who) -> list[Result]:
    known = _begin(sent, who)
    results = []
    for one in sent:
        try:
            results.append(_settle(one, who, known))
        except NO_DATABASE:
            raise
        except Exception as error:
            raise _Again from error
    receipts.keep(known.new)
    return results


def _one_by_one(sent: list[_Sent], who: Who) -> list[Result]:
    known = _begin(sent, who)
    results = []
    for one in sent:
        try:
            with transaction.atomic():
                results.append(_settle(one, who, known))
        except (Rejected, BadInput) as error:
            results.append(_refusal(one.op_id, error))
        except NO_DATABASE:
            raise
        except Exception:
            log.exception("A fault while applying operation %s", one.op_id)
            results.append(_refusal(one.op_id, Rejected("server_error", OUR_FAULT)))
    receipts.keep(known.new)
    return results


@dataclass
class _Known:
    """Receipts from before, and those that this push adds."""

    receipts: dict[uuid.UUID, Receipt]
    new: list[Receipt] = field(default_factory=list)

    def add(self, receipt: Receipt) -> None:
        """Remember what was just applied."""
        self.receipts[receipt.op_id] = receipt
        self.new.append(receipt)


def _begin(sent: list[_Sent], who: Who) -> _Known:
    changes.hold()
    op_ids = [one.read[1].op_id for one in sent if isinstance(one.read, tuple)]
    return _Known(receipts.known(who.person.pk, op_ids))


def _settle(one: _Sent, who: Who, known: _Known) -> Result:
    if isinstance(one.read, dict):
        return one.read
    kind, op = one.read
    receipt = known.receipts.get(op.op_id)
    if receipt:
        return _answered_before(one, receipt)
    result = _result(one.op_id, kind.apply(op, who))
    known.add(
        receipts.receipt(
            person_id=who.person.pk,
            op_id=op.op_id,
            fingerprint=one.fingerprint,
            result=result,
            now=who.now,
        )
    )
    return result


def _answered_before(one: _Sent, receipt: Receipt) -> Result:
    if receipt.payload_hash != one.fingerprint:
        raise Rejected("op_reused", "This operation's id was used for another one.", "op_id")
    first: Result = receipt.result
    return {**first, "status": "duplicate"} if first["status"] == "applied" else first


def _result(op_id: Any, outcome: Outcome) -> Result:
    result: Result = {"op_id": op_id, "status": outcome.status, "seq": outcome.seq}
    if outcome.winner is not None:
        result["winner"] = outcome.winner
    return result


def _refusal(op_id: Any, error: Rejected | BadInput) -> Result:
    if isinstance(error, BadInput):
        error = Rejected("bad_value", f"{error.field} {error.message}", error.field)
    result: Result = {
        "op_id": op_id,
        "status": "rejected",
        "code": error.code,
        "text": error.text,
    }
    if error.field:
        result["field"] = error.field
    if isinstance(error, Stale):
        result["winner"] = error.winner
    return result
