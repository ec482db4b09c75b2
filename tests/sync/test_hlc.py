"""The clock that orders edits: text order is time order, and no phone is refused for its clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from server.sync import hlc

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
NOW_MS = int(NOW.timestamp() * 1000)
NODE = "00c0ffee"


def said(moved: timedelta, counter: int = 0) -> str:
    return hlc.written(int((NOW + moved).timestamp() * 1000), counter, NODE)


@pytest.mark.parametrize(
    "moved", [timedelta(), timedelta(minutes=5), timedelta(days=-1), timedelta(days=-9000)]
)
def test_a_phone_that_is_behind_or_a_little_ahead_is_taken_at_its_word(moved):
    text = said(moved)
    assert hlc.clamped(text, now=NOW, place=3) == hlc.Reading(text, text)


@pytest.mark.parametrize("moved", [timedelta(minutes=5, milliseconds=1), timedelta(days=4000)])
def test_a_phone_further_ahead_is_put_back_to_our_time(moved):
    reading = hlc.clamped(said(moved, 42), now=NOW, place=3)
    assert reading == hlc.Reading(hlc.written(NOW_MS, 3, NODE), said(moved, 42))


def test_edits_that_are_both_put_back_keep_their_order():
    far = [said(timedelta(days=1), counter) for counter in (7, 8)]
    first, second = (hlc.clamped(text, now=NOW, place=n).value for n, text in enumerate(far))
    assert first < second


def test_text_order_is_time_order():
    readings = [
        said(timedelta(days=-3), 9999),
        said(timedelta(), 2),
        said(timedelta(), 10),
        said(timedelta(milliseconds=1), 0),
    ]
    assert readings == sorted(readings)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1772438400000-0000-00c0ffe",
        "1772438400000-0000-00C0FFEE",
        "1772438400000-000-00c0ffee",
        "177243840000-0000-00c0ffee",
        "-772438400000-0000-00c0ffee",
        "1772438400000-0000-00c0ffee\n",
        "١٧٧٢٤٣٨٤٠٠٠٠٠-0000-00c0ffee",
    ],
)
def test_anything_else_is_no_reading(text):
    assert not hlc.well_formed(text)
    with pytest.raises(ValueError, match="not a clock reading"):
        hlc.clamped(text, now=NOW, place=0)
