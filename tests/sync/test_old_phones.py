"""Operations in the form in which released apps write them are taken for at least a year.

The fixture is frozen: what it holds may only be removed a year after an app wrote it last.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.utils import timezone

from server.sync.body import PROTOCOL
from server.sync.kinds import KINDS
from server.sync.ops import read

FROZEN = json.loads(
    (Path(__file__).parents[2] / "fixtures" / "sync" / "ops_protocol_1.json").read_text("utf-8")
)


@pytest.mark.parametrize("op", FROZEN["ops"], ids=[op["kind"] for op in FROZEN["ops"]])
def test_an_operation_of_an_old_phone_is_read(op):
    kind, known = read(op, KINDS, now=timezone.now(), place=0)
    assert kind.name == op["kind"]
    assert str(known.op_id) == op["op_id"]
    told = known.data.model_dump(mode="json", exclude_unset=True)
    assert told == op["data"]


def test_every_kind_is_frozen():
    assert {op["kind"] for op in FROZEN["ops"]} == set(KINDS)
    assert FROZEN["protocol"] >= PROTOCOL
