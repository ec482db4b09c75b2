"""SQLite with sixteen writers and a reader: nothing fails, nothing is lost, nothing is skipped."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
SYNCHRONOUS_FULL = 2


@pytest.mark.slow
@pytest.mark.parametrize("each", [100])
def test_sqlite_16_writers(tmp_path, each):
    # wagtail/wagtail#14361, simonw/django_sqlite_benchmark#6, opensafely-core/opencodelists#2268,
    # lbedner/aegis-stack#1199
    env = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    ran = subprocess.run(
        [sys.executable, "-m", "tests.sync.writers", str(each)],
        cwd=ROOT,
        env={**env, "TUCKLINE_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    came = json.loads(ran.stdout)
    assert came["faults"] == []
    assert came["statuses"] == {"applied": 16 * each}
    assert came["stored"] == 16 * each
    assert came["in_order"]
    assert came["pulled"] >= came["stored"]  # the household's row may come more than once
    assert (came["journal"], came["synchronous"]) == ("wal", SYNCHRONOUS_FULL)
