"""A receipt remembers what an operation said, whatever the order of its keys."""

from __future__ import annotations

from server.ledger.receipts import payload_hash


def test_the_order_of_keys_says_nothing():
    op = {"a": 1, "b": {"c": [1, 2], "d": None}}
    assert payload_hash(op) == payload_hash({"b": {"d": None, "c": [1, 2]}, "a": 1})
    assert payload_hash(op) != payload_hash({"a": 1, "b": {"c": [2, 1], "d": None}})


def test_every_value_counts():
    ops = [{"a": 1}, {"a": "1"}, {"a": [1]}, {"a": None}, {"b": 1}, {"a": True}, {"a": 1.5}, {}]
    assert len({payload_hash(op) for op in ops}) == len(ops)


def test_half_of_a_pair_has_a_fingerprint():
    assert payload_hash({"a": "\ud83d"}) != payload_hash({"a": "\ud83e"})
