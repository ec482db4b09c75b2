"""Every field of every command, with every kind of wrong value: named, with what is allowed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.cli.documents import PLAN, REVIEW, changed, run
from tests.cli.full_documents import (
    AGELESS,
    FULL_BASIS,
    FULL_ENERGIES,
    FULL_EXTRA,
    FULL_LOOKS,
    FULL_PLAN,
    FULL_REVIEW,
    FULL_TREAT,
    LABEL,
    WORD,
)

NAN, INFINITY = float("nan"), float("inf")
WRONG: list[Any] = [{"a": 1}, [1], NAN, INFINITY, -INFINITY, -1, 1e12, 10**40, "no such word", True]
NAMES = {"name", "by", "scale"}  # any text will do
FLAGS = {"neutered", "weighed", "weight_steady", "complete", "grown", "scatter"}  # true will do


def leaves(value: Any, path: str = "") -> list[str]:
    if isinstance(value, dict):
        return [
            leaf
            for key, inner in value.items()
            for leaf in leaves(inner, f"{path}.{key}" if path else key)
        ]
    if isinstance(value, list):
        # One entry stands for all of a list; the list itself is tried, too.
        return [path, *(leaves(value[0], f"{path}[0]") if value else [])]
    return [path]


def wrong_values() -> list[tuple[str, str, dict[str, Any], str, Any]]:
    tried = []
    for name, command, document, only in [
        ("plan", "plan", FULL_PLAN, None),
        ("looks", "plan", FULL_LOOKS, "condition."),
        ("ageless", "plan", AGELESS, "dog.grown"),
        *((key, "plan", given, f"foods[0].{key}") for key, given in FULL_ENERGIES.items()),
        ("treat", "plan", FULL_TREAT, "foods[0].kcal_per_piece"),
        ("treat", "plan", FULL_TREAT, "foods[0].grams_per_piece"),
        ("treat", "plan", FULL_TREAT, "foods[0].pieces_per_day"),
        ("extra", "plan", FULL_EXTRA, "foods[0].common_extra"),
        ("extra", "plan", FULL_EXTRA, "foods[0].grams_per_day"),
        ("basis", "plan", FULL_BASIS, "foods[0].label.basis"),
        ("review", "review", FULL_REVIEW, None),
    ]:
        for path in leaves(document):
            if not path.startswith(only or "") or (path == "dog.grown" and not only):
                continue
            key = path.rsplit(".", 1)[-1]
            for value in WRONG:
                fits = (key in NAMES and isinstance(value, str)) or (key in FLAGS and value is True)
                if not fits:
                    tried.append((name, command, document, path, value))
    return tried


@pytest.mark.parametrize(("name", "command"), [("plan", "plan"), ("review", "review")])
def test_the_full_documents_are_good(capsys, name, command):
    document = {"plan": FULL_PLAN, "review": FULL_REVIEW}[name]
    outcome = run(capsys, command, json.dumps(document))
    assert (outcome.status, outcome.err) == (0, "")
    assert run(capsys, "plan", json.dumps(FULL_LOOKS)).status == 0
    assert run(capsys, "plan", json.dumps(AGELESS)).status == 0
    for given in (*FULL_ENERGIES.values(), FULL_TREAT, FULL_EXTRA, FULL_BASIS):
        assert run(capsys, "plan", json.dumps(given)).status == 0


def test_every_wrong_value_is_refused_by_name(capsys):
    tried = wrong_values()
    assert len(tried) > 600
    for name, command, document, path, value in tried:
        outcome = run(capsys, command, json.dumps(changed(document, path, value)))
        case = f"{name}: {path} = {value!r} -> {outcome.status} {outcome.err}{outcome.out[:200]}"
        assert outcome.status == 2, case
        assert outcome.out == "", case
        assert outcome.err.count("\n") == 1, case
        # A wrong entry of a list is named itself: conditions[0] for [1].
        assert outcome.err.startswith(
            (f"tuckline {command}: {path}: ", f"tuckline {command}: {path}[0]: ")
        ), case
        assert "must be" in outcome.err, case


@pytest.mark.parametrize(
    ("path", "allowed"),
    [
        ("weight_kg", "a number from 0.3 to 120 kg, not -1"),
        ("condition.score", "a whole number from 1 to 9"),
        ("intake.kcal_per_day", "a number from 10 to 10000 kcal"),
        ("foods[0].kcal_per_kg", "a number from 50 to 9500 kcal/kg"),
        ("foods[0].grams_per_cup", "a number from 5 to 1000 g"),
        ("foods[0].share", "a number from 0.001 to 1"),
        ("foods[0].role", "one of meal, treat, extra"),
        ("dog.coat", "one of short, medium, long"),
        ("dog.conditions", "a list"),
        ("as_of", "a date from 1990-01-01 to 2199-12-31, written YYYY-MM-DD"),
        ("dog.birth_date", "a date from 1986-03-12 to 2026-03-02, written YYYY-MM-DD"),
        ("cup_ml", "a number from 50 to 1000 mL"),
        ("treats", "a number from 0 to 5000 kcal"),
    ],
)
def test_the_allowed_range_is_said(capsys, path, allowed):
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, path, -1)))
    assert outcome.status == 2
    assert f"{path}: must be {allowed}" in outcome.err


@pytest.mark.parametrize("value", ["", "   ", "x" * 201, "\ud800"])
@pytest.mark.parametrize("path", ["dog.name", "foods[0].name"])
def test_texts_are_short_and_can_be_written(capsys, path, value):
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, path, value)))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline plan: {path}: must be a text of 1 to 200 characters")


@pytest.mark.parametrize("value", ["2026-3-2", "20260302", "2026-02-30", "2026-03-02T10:00", ""])
def test_dates_are_iso_8601(capsys, value):
    outcome = run(capsys, "plan", json.dumps(changed(PLAN, "as_of", value)))
    assert outcome.status == 2
    assert "written YYYY-MM-DD" in outcome.err


@pytest.mark.parametrize(
    ("command", "document", "path"),
    [
        ("plan", FULL_PLAN, "dog.birth_date"),
        ("plan", FULL_PLAN, "vet_word[0].on"),
        ("plan", FULL_PLAN, "condition.on"),
        ("review", FULL_REVIEW, "plan.started_on"),
        ("review", FULL_REVIEW, "plan.changes[0].on"),
        ("review", FULL_REVIEW, "weigh_ins[3].on"),
        ("review", FULL_REVIEW, "feedings[3].on"),
    ],
)
def test_days_in_the_future_are_refused(capsys, command, document, path):
    outcome = run(capsys, command, json.dumps(changed(document, path, "2027-01-01")))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline {command}: {path}: must be a date from")


@pytest.mark.parametrize(
    "path", ["", "dog", "condition", "intake", "foods[0]", "foods[0].label", "vet_word[0]",
             "foods[0].label.nutrients_per_kg"]
)  # fmt: skip
def test_unknown_keys_of_a_plan_are_refused(capsys, path):
    key = f"{path}.colour" if path else "colour"
    outcome = run(capsys, "plan", json.dumps(changed(FULL_PLAN, key, "red")))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline plan: {key}: is unknown; known are ")


@pytest.mark.parametrize(
    "path", ["", "plan", "plan.target_kg", "plan.changes[0]", "weigh_ins[0]", "feedings[0]"]
)
def test_unknown_keys_of_a_review_are_refused(capsys, path):
    key = f"{path}.colour" if path else "colour"
    outcome = run(capsys, "review", json.dumps(changed(FULL_REVIEW, key, "red")))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline review: {key}: is unknown; known are ")


REQUIRED = {
    "plan": [
        "as_of", "dog", "dog.name", "dog.sex", "dog.neutered", "dog.birth_date", "dog.coat",
        "dog.reproduction", "dog.conditions", "weight_kg", "condition", "condition.score",
        "intake.kcal_per_day", "intake.weighed", "intake.weight_steady", "foods", "foods[0].name",
        "foods[0].role", "foods[0].share", "foods[0].kcal_per_kg",
    ],
    "review": [
        "as_of", "dog", "plan", "plan.kind", "plan.started_on", "plan.start_kg", "plan.target_kg",
        "plan.target_kg.mid", "plan.kcal_per_day", "plan.changes", "weigh_ins", "weigh_ins[0].kg",
        "weigh_ins[0].on", "weigh_ins[0].scale", "feedings", "feedings[0].kcal",
        "feedings[0].complete",
    ],
}  # fmt: skip


@pytest.mark.parametrize(
    ("command", "path"), [(command, path) for command, paths in REQUIRED.items() for path in paths]
)
def test_missing_keys_are_named(capsys, command, path):
    document = changed({"plan": PLAN, "review": REVIEW}[command], path, None)
    *parents, last = path.split(".")
    place: Any = document
    for step in parents:
        name, _, index = step.partition("[")
        place = place[name][int(index[:-1])] if index else place[name]
    del place[last]
    outcome = run(capsys, command, json.dumps(document))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline {command}: {path}: must be given")


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"dog.grown": True}, "dog.grown: must be null or left out beside a birth_date"),
        ({"dog.birth_date": None}, 'dog.grown: must be true, false or "unknown"'),
        ({"dog.sex": "male", "dog.reproduction": "pregnant"}, "dog.reproduction: must be none"),
        ({"condition.ribs": "pressed"}, "condition.ribs: must be left out beside a score"),
        ({"condition": {"ribs": "pressed"}}, "condition.waist: must be given"),
        ({"condition": {}}, "condition.score: must be given"),
        ({"foods[0].share": 0.5}, "foods: must have meal shares that sum to 1, not 0.5"),
        ({"foods[0].role": "treat"}, "foods[0].share: must be left out unless role is meal"),
        ({"foods[0].kcal_per_kg": None}, "foods[0].kcal_per_kg: must be given, or label"),
        ({"dog.breed": "Griffon of nowhere"}, "dog.breed: must be a name of the breed table"),
        ({"dog.conditions": ["plague"]}, "dog.conditions[0]: must be one of adrenal_disease"),
        (
            {"vet_word": [WORD | {"covers": "condition:plague"}]},
            "vet_word[0].covers: must be one of plan, floor_0_7, target_below_70pct",
        ),
        (
            {"vet_word": [WORD | {"until": "2026-02-01"}]},
            "vet_word[0].until: must be a date from 2026-03-01",
        ),
        (
            {"foods[0].label": LABEL | {"fat_pct": 90}, "foods[0].kcal_per_kg": None},
            "foods[0].label: must sum to at most 100%",
        ),
        (
            {"foods[0].label": LABEL, "foods[0].kcal_per_kg": 4700},
            "foods[0].kcal_per_kg: must be from 1892 to 4618 kcal/kg for the parts on this label",
        ),
        (
            {"foods[0].label": LABEL, "foods[0].kcal_per_kg": 360},
            "foods[0].kcal_per_kg: must be from 1892 to 4618 kcal/kg for the parts on this label",
        ),
        (
            {"foods[0].kj_per_kg": 15000},
            "foods[0].kj_per_kg: must be left out beside kcal_per_kg",
        ),
        (
            {"foods[0].kcal_per_piece": 12},
            "foods[0].kcal_per_piece: must be left out unless role is treat or extra",
        ),
        (
            {
                "foods[0].label": {**LABEL, "basis": "dry_matter", "protein_pct": 95},
                "foods[0].kcal_per_kg": None,
            },
            "foods[0].label: must sum to at most 100%",
        ),
        (
            {"foods[0].grams_per_day": 12},
            "foods[0].grams_per_day: must be left out unless role is treat or extra",
        ),
        (
            {"changing_from": {"name": "old", "label": LABEL}},
            "changing_from.kcal_per_kg: must be given: the new food is counted by printed energy",
        ),
        (
            {"changing_from": {"name": "old", "role": "treat", "kcal_per_kg": 3000}},
            "changing_from.role: must be meal or left out",
        ),
        (
            {"earlier_weights": [{"on": "2026-03-02", "kg": 15}]},
            "earlier_weights[0].on: must be a date from 1990-01-01 to 2026-03-01",
        ),
        (
            {"earlier_weights": [{"on": "2026-03-01", "kg": 15}, {"on": "2026-03-01", "kg": 16}]},
            "earlier_weights[1].on: must be a day not listed before",
        ),
        (
            {"condition": {"ribs": "pressed", "waist": "slight", "tuck": "level", "scatter": True}},
            "condition.scatter: must be left out unless a score is given",
        ),
    ],
)
def test_values_that_do_not_fit_together(capsys, changes, message):
    document = PLAN
    for path, value in changes.items():
        document = changed(document, path, value)
    outcome = run(capsys, "plan", json.dumps(document))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline plan: {message}")


@pytest.mark.parametrize(
    ("extra", "message"),
    [
        (
            {"kcal_per_kg": 3000, "pieces_per_day": 2},
            "pieces_per_day: must stand beside kcal_per_piece or grams_per_piece",
        ),
        (
            {"kcal_per_piece": 12, "grams_per_day": 10},
            "grams_per_day: must be told in pieces_per_day beside kcal_per_piece",
        ),
        (
            {"kcal_per_kg": 3000, "grams_per_piece": 3, "grams_per_day": 9, "pieces_per_day": 3},
            "pieces_per_day: must be left out beside grams_per_day",
        ),
        (
            {"kcal_per_piece": 300, "grams_per_piece": 3},
            "kcal_per_piece: must be from 0.15 to 28.5 kcal for a piece of 3 g, not 300",
        ),
        ({"kcal_per_kg": 3000, "kcal_per_piece": 9}, "kcal_per_kg: must be left out beside"),
    ],
)
def test_treats_are_told_in_one_way(capsys, extra, message):
    treat = {"name": "biscuit", "role": "treat", **extra}
    outcome = run(capsys, "plan", json.dumps({**PLAN, "foods": [PLAN["foods"][0], treat]}))
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline plan: foods[1].{message}")


def test_a_review_names_days_listed_twice_and_a_range_upside_down(capsys):
    twice = changed(REVIEW, "feedings[1].on", "2026-04-01")
    outcome = run(capsys, "review", json.dumps(twice))
    assert outcome.status == 2
    assert "feedings[1].on: must be a day not listed before" in outcome.err
    upside = changed(REVIEW, "plan.target_kg.low", 14)
    outcome = run(capsys, "review", json.dumps(upside))
    assert outcome.status == 2
    assert "plan.target_kg: must have low <= mid <= high" in outcome.err


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "document: must be JSON; Expecting value at line 1, column 1"),
        ("{", "document: must be JSON"),
        ("[]", "document: must be a JSON object, not a list of 0"),
        ("null", "document: must be a JSON object, not null"),
        (b"\xff\xfe", "document: must be UTF-8; byte 0 is not"),
        ('{"a": ' + "9" * 5000 + "}", "document: must be JSON without endlessly long numbers"),
        ("[" * 100_000, "document: must be JSON that is not nested this deep"),
        ('{"as_of": "2026-03-02", "as_of": "2026-03-03"}', "as_of: must be given once, not twice"),
        ('{"as_of": "\\ud800"}', "as_of: must be a date"),
    ],
)
@pytest.mark.parametrize("command", ["plan", "review"])
def test_what_is_no_document(capsys, command, text, message):
    outcome = run(capsys, command, text)
    assert outcome.status == 2
    assert outcome.out == ""
    assert outcome.err.startswith(f"tuckline {command}: {message}")
    assert outcome.err.count("\n") == 1


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--line"], "arguments: must be [FILE|-] [--lines], not --line"),
        (["a", "b"], "arguments: must name one file at most, not 2"),
        (["/no/such/file"], "file: /no/such/file cannot be read: No such file or directory"),
        (["/"], "file: / cannot be read: Is a directory"),
        (["a\0b"], "file: a\0b cannot be read: embedded null byte"),
    ],
)
def test_bad_arguments(capsys, options, message):
    outcome = run(capsys, "plan", "{}", *options)
    assert outcome.status == 2
    assert outcome.err.startswith(f"tuckline plan: {message}")
