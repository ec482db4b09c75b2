"""The two lists of pinned versions agree, and neither names a host."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PIN = re.compile(r"^([a-z0-9][a-z0-9._-]*)==([^\s;\\]+)", re.IGNORECASE | re.MULTILINE)


def pins(name: str) -> dict[str, str]:
    return dict(PIN.findall((ROOT / "server" / name).read_text()))


def wanted(extras: tuple[str, ...] = ()) -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lines = list(project["dependencies"])
    for extra in extras:
        lines += project["optional-dependencies"][extra]
    return {re.split(r"[\[<>=;]", line)[0].strip().lower() for line in lines}


def test_the_lock_has_the_constraints_versions():
    constraints, locked = pins("constraints.txt"), pins("locked.txt")
    assert locked
    assert {name: constraints.get(name) for name in locked} == locked


def test_every_dependency_is_pinned():
    assert wanted(("test", "dev")) <= set(pins("constraints.txt"))
    assert wanted() <= set(pins("locked.txt"))


def test_every_locked_package_has_a_hash():
    text = (ROOT / "server" / "locked.txt").read_text()
    blocks = re.split(r"\n(?=[a-z0-9])", text.strip())
    assert len(blocks) == len(pins("locked.txt"))
    assert all(re.search(r"--hash=sha256:[0-9a-f]{64}", block) for block in blocks)


def test_no_list_names_a_host_or_a_path():
    for name in ("constraints.txt", "locked.txt"):
        text = (ROOT / "server" / name).read_text()
        assert "://" not in text
        assert "@ " not in text
    assert not (ROOT / "uv.lock").exists()
