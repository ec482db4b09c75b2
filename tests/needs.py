"""What some tests need of the machine. Without it they skip with the reason; in CI they fail."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest


def need(there: object, reason: str) -> None:
    """Skip with `reason` unless `there`; fail where nothing may be skipped."""
    if there:
        return
    if os.environ.get("TUCKLINE_NO_SKIP") == "1":
        pytest.fail(f"nothing may be skipped here, but {reason}", pytrace=False)
    pytest.skip(reason)


def chromium() -> str:
    """The path of Debian's (or another) Chromium."""
    names = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
    path = next(filter(None, map(shutil.which, names)), None)
    need(path, "no Chromium was found on the path (Debian: apt-get install chromium)")
    assert path
    return path


def reference() -> Path:
    """The folder with reference data that is not part of the project."""
    folder = os.environ.get("TUCKLINE_REFERENCE", "")
    need(folder, "TUCKLINE_REFERENCE does not name the folder with the reference data")
    return Path(folder)
