"""English for the codes of the science: refusals, cautions, reasons and set-aside readings."""

from collections.abc import Callable, Mapping
from typing import Any

from server.cli.sentences import CAUTIONS, REASONS, REFUSALS, SET_ASIDE, Values

Sentences = Mapping[str, str | Callable[[Values], str]]


def refusal(finding: Mapping[str, Any]) -> str:
    """Return why there is no plan, and what to do."""
    return _worded(finding, REFUSALS)


def caution(finding: Mapping[str, Any]) -> str:
    """Return a caution. A gate that was hit beside a weightier one is worded as a refusal is."""
    return _worded(finding, CAUTIONS | REFUSALS)


def reason(finding: Mapping[str, Any]) -> str:
    """Return the reason of a weekly decision; for a suspended plan, the gate that was hit."""
    return _worded(finding, REASONS | REFUSALS)


def set_aside(code: str) -> str:
    """Return why a reading does not count."""
    return SET_ASIDE[code]


def _worded(finding: Mapping[str, Any], sentences: Sentences) -> str:
    sentence = sentences[finding["code"]]
    values = finding["values"]
    if isinstance(sentence, str):
        return sentence.format_map({name: _plain(value) for name, value in values.items()})
    return sentence(values)


def _plain(value: Any) -> Any:
    return ", ".join(str(item) for item in value) if isinstance(value, list) else value
