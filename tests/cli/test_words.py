"""Every code of the science has an English sentence, and no sentence is left without a code."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import get_args

import pytest

from server.cli import sentences, wording
from server.science import slips

SCIENCE = Path(__file__).parents[2] / "server" / "science"
WORDED = {**sentences.REFUSALS, **sentences.CAUTIONS, **sentences.REASONS}
# Codes that are put together at run time, not written beside `Finding(`.
COMPOSED = {"pregnant", "nursing", "underweight", "not_overweight"}
COMPOSED |= {"target_reached", "right_by_hand"}


def codes_of_the_science() -> set[str]:
    found = set()
    for path in SCIENCE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            place = {"Finding": 0, "_stay": 1, "_weigh_again": 1}.get(node.func.id)
            if place is None:
                continue
            code = node.args[place]
            if isinstance(code, ast.Constant):
                found.add(code.value)
    return found


def test_every_code_has_a_sentence_and_every_sentence_a_code():
    codes = codes_of_the_science() | COMPOSED
    assert len(codes) > 40
    assert codes == set(WORDED)


def test_every_reason_to_set_a_reading_aside_has_words():
    assert set(sentences.SET_ASIDE) == set(get_args(slips.Reason))


def test_no_code_is_worded_twice():
    assert len(WORDED) == sum(
        len(part) for part in (sentences.REFUSALS, sentences.CAUTIONS, sentences.REASONS)
    )


@pytest.mark.parametrize(
    ("code", "values", "words"),
    [
        ("vet_first", {"reasons": [{"why": "condition", "word": "diabetes"}]}, "diabetes"),
        ("vet_first", {"reasons": [{"why": "muscle", "muscle": "mild"}]}, "muscle loss (mild)"),
        ("vet_first", {"reasons": [{"why": "score", "score": 9}]}, "score of 9"),
        ("vet_first", {"reasons": [{"why": "belly"}]}, "big belly"),
        (
            "vet_first",
            {"reasons": [{"why": "target_below_70pct", "target_pct": 65.8}]},
            "65.8% of today",
        ),
        ("growing", {"age_known": False, "grown": "no"}, "Still growing"),
        ("growing", {"age_known": False, "grown": "unknown"}, "age is not known"),
        (
            "growing",
            {"age_known": True, "age_months": 7, "until_months": 12, "until": "2026-08-01"},
            "7 months old",
        ),
    ],
)
def test_sentences_hold_their_values(code, values, words):
    assert words in wording.refusal({"code": code, "values": values})


def test_lists_are_written_out():
    finding = {"code": "nutrients_short", "values": {"nutrients": ["zinc", "choline"]}}
    assert "zinc, choline" in wording.caution(finding)
