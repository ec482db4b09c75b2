"""Documents for the commands, and a way to run them in this process."""

from __future__ import annotations

import copy
import io
import json
import sys
from typing import Any

import pytest

from server.cli.main import main

# The example of the contract, word for word.
PLAN: dict[str, Any] = json.loads(
    """
{"as_of": "2026-03-02",
 "dog": {"name": "Juniper", "sex": "female", "neutered": true, "birth_date": "2019-06-10",
         "grown": null, "breed": "Beagle", "frame": "medium", "coat": "short",
         "reproduction": "none", "conditions": [], "lean_weight_kg": null,
         "adult_weight_kg": null},
 "weight_kg": 15.2,
 "condition": {"score": 7, "muscle": "normal"},
 "intake": {"kcal_per_day": 820, "weighed": true, "weight_steady": true},
 "foods": [{"name": "dry food A", "role": "meal", "share": 1.0, "kcal_per_kg": 3600,
            "grams_per_cup": 100}],
 "treats": null, "vet_word": [], "cup_ml": 236.6}
"""
)
REVIEW: dict[str, Any] = {
    "as_of": "2026-04-27",
    "dog": PLAN["dog"],
    "condition": {"score": 7},
    "vet_word": [],
    "plan": {
        "kind": "reduce",
        "started_on": "2026-03-02",
        "start_kg": 15.2,
        "target_kg": {"low": 12.8, "mid": 13.3, "high": 13.9},
        "first_goal_kg": 14.1,
        "kcal_per_day": 488,
        "changes": [{"on": "2026-04-06", "kcal_per_day": 464, "answer": "declined"}],
    },
    "weigh_ins": [
        {"on": f"2026-{day}", "kg": kg, "scale": "home"}
        for day, kg in [
            ("03-02", 15.2),
            ("03-09", 15.1),
            ("03-16", 14.9),
            ("03-23", 14.8),
            ("04-01", 32.4),
            ("04-06", 14.5),
            ("04-13", 14.3),
            ("04-20", 14.2),
            ("04-27", 14.0),
        ]
    ],
    "feedings": [
        {"on": f"2026-04-{day:02d}", "kcal": 480 + day, "complete": True} for day in range(1, 27)
    ],
}


def changed(document: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """Return a copy with one value set; path as the errors write it, e.g. foods[0].share."""
    copied = copy.deepcopy(document)
    *parents, last = path.replace("[", ".[").split(".")
    place: Any = copied
    for step in parents:
        place = place[_key(step)]
    place[_key(last)] = value
    return copied


def _key(step: str) -> str | int:
    return int(step[1:-1]) if step.startswith("[") else step


class Outcome:
    """What a command did: exit status, what it wrote, and the JSON of its output."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err

    @property
    def json(self) -> Any:
        return json.loads(self.out)


def run(
    capsys: pytest.CaptureFixture[str], command: str, text: str | bytes, *options: str
) -> Outcome:
    """Run a command on what stands on standard input."""
    data = text.encode() if isinstance(text, str) else text
    patch = pytest.MonkeyPatch()
    patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
    try:
        status = main([command, *options])
    finally:
        patch.undo()
    captured = capsys.readouterr()
    return Outcome(status, captured.out, captured.err)
