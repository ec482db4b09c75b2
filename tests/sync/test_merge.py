"""The later write of each field wins, and the two ways of telling an age win or lose as one."""

from __future__ import annotations

import itertools
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from server.sync import merge


def test_each_field_has_its_own_race():
    clocks = {"name": "2", "coat": "5"}
    assert merge.winners(clocks, {"name": "Otto", "coat": "long", "breed": None}, "3") == {
        "name",
        "breed",
    }


def test_a_tie_changes_nothing():
    assert merge.winners({"name": "3"}, {"name": "Otto"}, "3") == set()


def test_an_older_birth_date_does_not_push_grown_aside():
    clocks = {"birth_date": "1", "grown": "5"}
    assert merge.winners(clocks, merge.told({"birth_date": "2020-01-01"}), "3") == set()
    assert merge.winners(clocks, merge.told({"birth_date": "2020-01-01"}), "6") == {
        "birth_date",
        "grown",
    }


def test_telling_the_age_one_way_clears_the_other():
    assert merge.told({"birth_date": "2020-01-01"}) == {"birth_date": "2020-01-01", "grown": None}
    assert merge.told({"grown": True}) == {"grown": True, "birth_date": None}
    assert merge.told({"grown": False}) == {"grown": False, "birth_date": None}
    assert merge.told({"birth_date": None}) == {"birth_date": None, "grown": None}
    assert merge.told({"name": "Otto"}) == {"name": "Otto"}


Edit = tuple[str, dict[str, Any]]
FIELDS = st.fixed_dictionaries(
    {},
    optional={
        "name": st.sampled_from(["Otto", "Pim"]),
        "coat": st.sampled_from(["short", "long"]),
        "birth_date": st.sampled_from([None, "2019-06-10"]),
        "grown": st.sampled_from([None, True, "unknown"]),
    },
).filter(lambda fields: not (fields.get("birth_date") and fields.get("grown") is not None))


@given(st.lists(FIELDS, min_size=1, max_size=4))
def test_the_order_of_arrival_never_matters(edits: list[dict[str, Any]]):
    stamped = [(str(clock), merge.told(fields)) for clock, fields in enumerate(edits)]
    outcomes = []
    for order in itertools.permutations(stamped):
        dog: dict[str, Any] = {}
        clocks: dict[str, str] = {}
        for clock, fields in order:
            for name in merge.winners(clocks, fields, clock):
                dog[name], clocks[name] = fields[name], clock
        outcomes.append({name: value for name, value in dog.items() if value is not None})
        assert dog.get("birth_date") is None or dog.get("grown") is None
    assert all(outcome == outcomes[0] for outcome in outcomes)
