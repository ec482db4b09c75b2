"""A receipt remembers what an operation said, whatever the order of its keys."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from server.ledger.receipts import payload_hash

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=10,
)


@given(st.dictionaries(st.text(), JSON, min_size=1))
def test_the_order_of_keys_says_nothing(op):
    assert payload_hash(op) == payload_hash(dict(reversed(op.items())))


def test_every_value_counts():
    ops = [{"a": 1}, {"a": "1"}, {"a": [1]}, {"a": None}, {"b": 1}, {"a": True}, {"a": 1.5}, {}]
    assert len({payload_hash(op) for op in ops}) == len(ops)


def test_half_of_a_pair_has_a_fingerprint():
    assert payload_hash({"a": "\ud83d"}) != payload_hash({"a": "\ud83e"})
