"""The faults themselves: what is broken, and which test must notice."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One rule broken on purpose. `only` names the test within a file of JavaScript tests."""

    name: str
    file: str
    old: str
    new: str
    test: str
    only: str = ""
    marks: str = "not slow"


FAULTS: list[Fault] = []
