"""The phone's words against the science: no answer, refusal, caution or reason is left without.

Reads the text of the phone's own modules, so that it needs no JavaScript.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import get_args

import pytest

from server.cli import sentences
from server.science.condition import RIBS, TUCK, WAIST
from server.science.decision import Action
from server.science.dog import Muscle
from server.science.unsafe_foods import UNSAFE
from server.science.vet_first import CONDITIONS

ROOT = Path(__file__).parents[1]
PHONE = ROOT / "frontend"
ITEM = re.compile(r'\{ word: "([^"]*)", text: "([^"]*)" \}')
# A key of a catalogue that is bound to words: a sentence, or an object that holds one.
ENTRY = re.compile(r"^  (\w+): (?=[\"{])", re.MULTILINE)


def text_of(module: str) -> str:
    return (PHONE / module).read_text(encoding="utf-8")


def bound(module: str, name: str) -> str:
    """What a module binds to a name, from its opening bracket to the closing one."""
    found = re.search(
        rf"^(?:export )?const {name} = .*?(?P<open>[\[{{])\n(?P<body>.*?)^[\]}}]\)?;",
        text_of(module),
        re.MULTILINE | re.DOTALL,
    )
    assert found, f"{module} binds nothing to {name}"
    return found["body"]


def items(module: str, name: str) -> list[tuple[str, str]]:
    body = bound(module, name)
    found = ITEM.findall(body)
    assert len(found) == body.count("word:"), f"{name} has an item of another form"
    return found


def codes(module: str, name: str) -> set[str]:
    found = ENTRY.findall(bound(module, name))
    assert len(found) == len(set(found)), f"{name} words a code twice"
    return set(found)


def catalogue(*parts: tuple[str, str]) -> set[str]:
    return set().union(*(codes(module, name) for module, name in parts))


REFUSALS = ("plain/words.js", "refusals")
CAUTIONS = ("plain/words.js", "cautions")
MORE_CAUTIONS = [
    ("plain/words_review.js", "REVIEW_CAUTIONS"),
    ("plain/words_food.js", "FOOD_CAUTIONS"),
    ("plain/words_growth.js", "GROWTH_CAUTIONS"),
]
REASONS = ("plain/words_review.js", "REASONS")


@pytest.mark.parametrize(
    ("module", "name", "science"),
    [
        ("plain/looks.js", "RIBS", RIBS),
        ("plain/looks.js", "WAIST", WAIST),
        ("plain/looks.js", "TUCK", TUCK),
        ("plain/conditions.js", "CONDITIONS", CONDITIONS),
    ],
)
def test_what_can_be_answered_is_word_for_word_that_of_the_science(module, name, science):
    assert items(module, name) == [(item.word, item.text) for item in science]


def test_the_words_for_muscle_are_those_of_the_science():
    assert [word for word, _ in items("plain/looks.js", "MUSCLE")] == list(get_args(Muscle))


@pytest.mark.parametrize(
    ("what", "parts"),
    [
        ("REFUSALS", [REFUSALS]),
        ("CAUTIONS", [CAUTIONS, *MORE_CAUTIONS]),
        ("REASONS", [REASONS]),
    ],
)
def test_every_code_has_words_on_the_phone(what, parts):
    known = set(getattr(sentences, what))
    assert known - catalogue(*parts) == set()
    assert catalogue(*parts) - known == set(), "words for a code that nobody sends"


@pytest.mark.parametrize("name", [name for _, name in MORE_CAUTIONS])
def test_cautions_worded_elsewhere_are_among_the_cautions(name):
    assert f"  ...{name},\n" in bound(*CAUTIONS)


def test_foods_that_harm_are_named_as_the_server_names_them():
    named = re.findall(
        r'^  (\w+): "([^"]*)",$', bound("plain/words_food.js", "UNSAFE"), re.MULTILINE
    )
    assert named == [(food.code, food.text) for food in UNSAFE]


def test_every_reason_to_set_a_reading_aside_has_words_on_the_phone():
    assert codes("plain/words_review.js", "SET_ASIDE") == set(sentences.SET_ASIDE)


def test_a_dog_that_is_refused_a_plan_has_a_sentence_on_today():
    assert codes("plain/tell.js", "REFUSED") == set(sentences.REFUSALS)


def test_every_decision_has_a_heading_and_a_sentence_on_today():
    actions = set(get_args(Action))
    headed = re.findall(r'(\w+): "', bound("parts/review_card.js", "ACTION"))
    assert set(headed) == actions
    assert set(re.findall(r'^    case "(\w+)":', text_of("plain/tell.js"), re.MULTILINE)) == actions


def rejection_codes() -> set[str]:
    """Codes with which the server may refuse an entry."""
    found = set()
    for path in (ROOT / "server").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id == "Rejected"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                found.add(node.args[0].value)
    return found


def test_every_entry_the_server_may_refuse_is_explained_on_the_phone():
    assert {"bad_value", "gone", "id_taken"} <= rejection_codes()
    assert rejection_codes() - codes("plain/words_review.js", "ALERTS") == set()


def test_an_unknown_finding_still_says_something_and_names_its_code():
    worded = text_of("plain/words.js").partition("export function inWords(")[2]
    fallback = re.search(
        r"if \(!entry\) \{\s*return \{ text: `(?P<text>[^`]*)`, todo: \"(?P<todo>[^\"]*)\"", worded
    )
    assert fallback, "no answer for a code without an entry"
    assert "${finding.code}" in fallback["text"]
    assert "${say.name}" in fallback["text"]
    assert "vet" in fallback["todo"]


def test_an_unknown_reason_to_set_aside_still_says_something():
    worded = text_of("plain/words.js").partition("export function asideInWords(")[2]
    last_resort = re.search(r'return SET_ASIDE\[code\] \?\? \(code \|\| "([^"]+)"\)', worded)
    assert last_resort
    assert len(last_resort[1].split()) > 2
