"""The shell names beforehand every module that the first screens need, and no other."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

import pytest

FRONTEND = Path(__file__).resolve().parent.parent / "frontend"
SHELL = (FRONTEND / "index.html").read_text(encoding="utf-8")
ENTRY = "app.js"
IMPORT = re.compile(r'^import\b[^;]*?from "(?P<path>[^"]+)";', re.MULTILINE)


def static_files(pattern: str) -> list[str]:
    """Names of static files in the shell's elements of one kind, in order."""
    return re.findall(pattern + r"\"\{% static '([^']+)' %\}\"", SHELL)


def loaded_first() -> list[str]:
    """The entry and whatever it imports, at any depth, each once, in the order of the imports."""
    found: list[str] = []

    def visit(name: str) -> None:
        if name in found:
            return
        found.append(name)
        for match in IMPORT.finditer((FRONTEND / name).read_text(encoding="utf-8")):
            visit(posixpath.normpath(posixpath.join(posixpath.dirname(name), match["path"])))

    visit(ENTRY)
    return found


def test_preloads_are_what_the_app_imports_at_its_start():
    preloads = static_files(r'<link rel="modulepreload" href=')
    assert len(preloads) == len(set(preloads))
    assert sorted(preloads) == sorted(set(loaded_first()) - {ENTRY})


def test_the_first_screens_are_among_them():
    """Today and Weigh open with no further question to the server."""
    assert {"screens/today.js", "screens/weigh.js", "store/store.js"} <= set(loaded_first())


def test_the_app_starts_from_one_module():
    assert static_files(r'<script type="module" src=') == [ENTRY]
    assert SHELL.count("<script") == 1


@pytest.mark.parametrize("name", re.findall(r"\{% static '([^']+)' %\}", SHELL))
def test_every_file_that_the_shell_names_is_there(name):
    assert (FRONTEND / name).is_file()
