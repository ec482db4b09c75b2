"""The handbook names every setting, command and address."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from server.urls import urlpatterns

ROOT = Path(__file__).resolve().parent.parent
HANDBOOK = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def settings_read() -> list[str]:
    text = (ROOT / "server" / "settings.py").read_text(encoding="utf-8")
    return sorted(set(re.findall(r'(?:_env|_url)\(\s*"([A-Z_]+)"', text)))


def commands() -> list[str]:
    from server.cli.main import COMMANDS

    return sorted(COMMANDS)


def addresses() -> list[str]:
    plain = [str(p.pattern) for p in urlpatterns if not str(p.pattern).startswith("^")]
    return ["/" + address for address in plain if address not in ("", "api/auth/", "api/v1/")]


def endpoints() -> list[str]:
    from server.api.root import api

    found = []
    for prefix, router in api._routers:
        found += [f"/api/v1{prefix}{path}".replace("//", "/") for path in router.path_operations]
    return found


@pytest.mark.parametrize("name", settings_read())
def test_every_setting_is_in_the_handbook(name):
    assert f"`TUCKLINE_{name}`" in HANDBOOK


@pytest.mark.parametrize("address", [*addresses(), *endpoints()])
def test_every_address_is_in_the_handbook(address):
    assert f"`{address}`" in HANDBOOK


def test_every_command_is_in_the_handbook():
    missing = [name for name in commands() if f"`tuckline {name}`" not in HANDBOOK]
    assert not missing
