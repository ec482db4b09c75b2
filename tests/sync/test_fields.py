"""Every field of every kind: what cannot be is refused with the field and what is allowed."""

from __future__ import annotations

import copy
import itertools
import math
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from django.apps import apps
from django.utils import timezone
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from server.errors import Rejected
from server.sync import apply
from server.sync.fields import Checked
from server.sync.kinds import KINDS
from server.sync.ops import Envelope, read
from tests import people
from tests.people import Phone
from tests.sync.cases import on_paper

HALF_A_PAIR = "\ud83d"
JUNK: list[Any] = [
    math.nan,
    math.inf,
    -1,
    10**15,
    1e300,
    "",
    "x" * 10_000,
    "a\x00b",
    "\x1b[0m",
    HALF_A_PAIR,
    "2026-02-30",
    "9999-12-31T23:59:59Z",
    "0001-01-01T00:00:00+14:00",
    "00000000-0000-0000-0000-00000000000g",
    [],
    [[]],
    [math.nan],
    {},
    {"a": {"b": 1}},
]
# What of the above a field may well hold: odd words are words, and a note or a list may be empty.
ODD_WORDS = [
    value
    for value in JUNK
    if isinstance(value, str) and 0 < len(value) < 40 and value.isprintable()
]
FINE: dict[str, list[Any]] = {
    "name": ODD_WORDS,
    "scale": ODD_WORDS,
    "by": ODD_WORDS,
    "note": ["", *ODD_WORDS],
    "reason": ["", *ODD_WORDS],
    "conditions": [[]],
    "foods": [[]],
}
REASONS_ARE_WORDS = {"paused.reason", "closed.reason"}  # not a person's text

Path = tuple[str | int, ...]


def fields_of(model: type[BaseModel], sample: dict[str, Any]) -> Iterator[tuple[Path, FieldInfo]]:
    """Every field, with those of the objects and lists of objects that the sample holds."""
    for name, field in model.model_fields.items():
        yield (name,), field
        value, inner = sample.get(name), inner_model(field)
        if inner and isinstance(value, dict):
            yield from (((name, *path), deep) for path, deep in fields_of(inner, value))
        elif inner and isinstance(value, list):
            yield from (((name, 0, *path), deep) for path, deep in fields_of(inner, value[0]))


def inner_model(field: FieldInfo) -> type[BaseModel] | None:
    kinds = [field.annotation, *get_args(field.annotation)]
    kinds += list(itertools.chain.from_iterable(map(get_args, kinds)))
    return next(
        (kind for kind in kinds if isinstance(kind, type) and issubclass(kind, BaseModel)), None
    )


def may_be_null(field: FieldInfo) -> bool:
    return type(None) in get_args(field.annotation)


def words_of(field: FieldInfo) -> str | None:
    """What the field's type says it allows."""
    annotated = [
        *field.metadata,
        *(get_args(a)[1] for a in get_args(field.annotation) if get_args(a)),
    ]
    return next((check.words() for check in annotated if isinstance(check, Checked)), None)


def with_value(op: dict[str, Any], path: Path, value: Any) -> dict[str, Any]:
    changed = copy.deepcopy(op)
    place: Any = changed
    for part in path[:-1]:
        place = place[part]
    place[path[-1]] = value
    changed["op_id"] = people.new_id() if path != ("op_id",) else value
    return changed


def as_named(path: Path) -> str:
    named = ""
    for part in path:
        named += f"[{part}]" if isinstance(part, int) else f".{part}" if named else part
    return named


def junk_for(path: Path, field: FieldInfo) -> list[Any]:
    fine = [] if as_named(path) in REASONS_ARE_WORDS else FINE.get(str(path[-1]), [])
    return [value for value in JUNK if value not in fine] + ([] if may_be_null(field) else [None])


def refusal(op: Any) -> Rejected:
    with pytest.raises(Rejected) as caught:
        read(op, KINDS, now=timezone.now(), place=0)
    return caught.value


CASES = on_paper()
OPS = {kind: CASES.op(kind, CASES.lead) for kind in KINDS}


def kinds() -> Any:
    return pytest.mark.parametrize("op", OPS.values(), ids=list(OPS))


def fields_of_data(op: dict[str, Any]) -> list[tuple[Path, FieldInfo]]:
    return list(fields_of(KINDS[op["kind"]].data, op["data"]))


@kinds()
def test_the_example_fills_every_field(op):
    # Else a field would go untested below.
    either = {"check.add": {"score"}, "check.replace": {"ribs", "waist", "tuck"}}
    left_out = either.get(op["kind"], set())
    assert set(op["data"]) == set(KINDS[op["kind"]].data.model_fields) - left_out
    read(op, KINDS, now=timezone.now(), place=0)


@kinds()
def test_no_field_of_the_data_takes_junk(op):
    for path, field in fields_of_data(op):
        for value in junk_for(path, field):
            error = refusal(with_value(op, ("data", *path), value))
            assert error.code in ("bad_value", "bad_op"), (path, value, error)
            assert error.field, (path, value, error)
            assert error.field.startswith(as_named(path)), (path, value, error)
            assert error.field in error.text
            assert (words_of(field) or "must be") in error.text


def junk_of_envelope(op: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    for name, field in Envelope.model_fields.items():
        if name not in ("data", "base"):
            required = op.get(name) is not None
            for value in junk_for((name,), field):
                if value is not None or required:
                    yield name, value


@kinds()
def test_no_field_of_the_envelope_takes_junk(op):
    for name, value in junk_of_envelope(op):
        error = refusal(with_value(op, (name,), value))
        odd_kind = name == "kind" and value in ODD_WORDS
        assert error.code in (["unknown_kind"] if odd_kind else ["bad_value", "bad_op"])
        assert error.field == name, (name, value, error)


@kinds()
@pytest.mark.parametrize("value", [{"state": -1}, {"state": "1"}, {"state": None}, [], 3])
def test_no_base_takes_junk(op, value):
    error = refusal(op | {"base": value})
    assert error.code in ("bad_value", "bad_op")
    assert (error.field or "").startswith("base")


@kinds()
def test_a_missing_field_is_named(op):
    for path, field in fields_of_data(op):
        if field.is_required() and len(path) == 1:
            cut = copy.deepcopy(op)
            del cut["data"][path[0]]
            error = refusal(cut)
            assert (error.code, error.field) == ("bad_op", path[0])
            assert "must be given" in error.text


@kinds()
def test_an_unknown_field_is_named(op):
    for path in (("data", "colour"), ("colour",)):
        error = refusal(with_value(op, path, "brown"))
        assert (error.code, error.field) == ("bad_op", "colour")


@pytest.mark.django_db
def test_nothing_of_it_is_stored():
    cast = people.cast()
    assert cast.home  # with its lead
    phone = Phone(cast.lead)
    ops = []
    for op in OPS.values():
        fields = [(("data", *path), field) for path, field in fields_of_data(op)]
        ops += [
            with_value(op, path, v) for path, field in fields for v in junk_for(path[1:], field)
        ]
        ops += [with_value(op, (name,), value) for name, value in junk_of_envelope(op)]
    assert len(ops) > 3000
    before = stored()
    results = apply.push(ops=ops, person=phone.owner, now=timezone.now())
    assert {result["status"] for result in results} == {"rejected"}
    assert stored() == before


def stored() -> dict[str, int]:
    ours = [model for model in apps.get_models() if model.__module__.startswith("server.")]
    return {model._meta.label: model._default_manager.count() for model in ours}


@pytest.mark.parametrize(
    ("kind", "path", "value", "text"),
    [
        (
            "weigh_in.add",
            ("weight_g",),
            299,
            "weight_g must be a whole number from 300 to 120000 g",
        ),
        ("weigh_in.add", ("weight_g",), 120_001, "from 300 to 120000 g"),
        ("weigh_in.add", ("weight_g",), 15_200.0, "from 300 to 120000 g"),
        ("weigh_in.add", ("weight_g",), True, "from 300 to 120000 g"),
        ("weigh_in.add", ("scale",), "   ", "scale must be a text of 1 to 40 characters"),
        ("weigh_in.add", ("note",), "x" * 201, "note must be a text of 0 to 200 characters"),
        ("check.replace", ("score",), 0, "score must be a whole number from 1 to 9"),
        ("check.replace", ("score",), 10, "score must be a whole number from 1 to 9"),
        (
            "check.add",
            ("ribs",),
            "fat",
            "ribs must be one of bony, sharp, thin_cover, pressed, buried",
        ),
        ("food.add", ("kcal_per_kg",), 99, "kcal_per_kg must be a number from 100 to 9500 kcal/kg"),
        ("food.add", ("label", "fat_pct"), 101, "label.fat_pct must be a number from 0 to 100 %"),
        ("food.add", ("grams_per_cup",), 19, "grams_per_cup must be a number from 20 to 400 g"),
        (
            "dog.edit",
            ("conditions",),
            ["diabetes", "diabetes"],
            "conditions must be a list of words",
        ),
        ("dog.edit", ("grown",), "yes", 'grown must be true, false or "unknown"'),
        ("dog.edit", ("grown",), True, "grown must be null where birth_date is given"),
        ("dog.edit", ("breed",), "Poodle", "breed must be a name that means one breed"),
        ("vet_word.add", ("covers",), "condition:vanity", "covers must be one of plan, floor_0_7"),
        ("vet_word.add", ("until",), "2026-02-28", "until must be a day from 2026-03-01 on"),
        ("plan.request", ("foods", 0, "share"), 1.2, "foods[0].share must be a number from 0 to 1"),
        ("plan.request", ("foods", 0, "share"), 0.5, "foods must have shares that sum to 1"),
        ("plan.request", ("cup_ml",), 5, "cup_ml must be a number from 50 to 500 mL"),
    ],
)
def test_the_words_name_the_range(kind, path, value, text):
    error = refusal(with_value(OPS[kind], ("data", *path), value))
    assert text in error.text
    assert error.code == "bad_value"


@pytest.mark.django_db
@pytest.mark.parametrize("raw", [None, 3, "op", [], {}, {"op_id": 7}, {"op_id": {"a": []}}])
def test_what_is_no_operation_at_all(raw):
    (result,) = apply.push(ops=[raw], person=people.person("Mara"), now=timezone.now())
    assert (result["status"], result["code"]) == (
        "rejected",
        "bad_value" if isinstance(raw, dict) and raw else "bad_op",
    )


def test_a_kind_that_is_not_known():
    error = refusal(OPS["weigh_in.add"] | {"kind": "weigh_in.guess"})
    assert (error.code, error.field) == ("unknown_kind", "kind")


@pytest.mark.parametrize("kind", ["weigh_in.add", "check.replace"])
@pytest.mark.parametrize("name", ["measured_at", "local_date", "tz"])
def test_a_fact_says_when_it_was(kind, name):
    op = copy.deepcopy(OPS[kind])
    del op[name]
    error = refusal(op)
    assert (error.code, error.field) == ("bad_op", name)


@pytest.mark.parametrize(
    ("kind", "name", "value"),
    [
        ("weigh_in.add", "dog_id", None),
        ("food.add", "dog_id", people.new_id()),
        ("weigh_in.add", "entity_id", "0b5c7c51-3f0e-4c0b-9a52-5d3f5d1a7f10"),
        ("weigh_in.add", "op_id", "0b5c7c51-3f0e-4c0b-9a52-5d3f5d1a7f10"),
        ("weigh_in.add", "op_id", people.new_id().upper()),
    ],
)
def test_ids_are_of_their_kind(kind, name, value):
    assert refusal(OPS[kind] | {name: value}).field == name
