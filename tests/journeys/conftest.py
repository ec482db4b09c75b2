"""A real server with a real worker, and a phone-sized Chromium in front of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from tests.journeys.phone import Phone
from tests.journeys.running import Running, started
from tests.needs import chromium

# A journey says what must come, not how fast: a loaded machine may need more than five seconds.
expect.set_options(timeout=15_000)


@pytest.fixture(scope="session")
def tuckline(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """`tuckline up` on a data folder of its own, stopped at the end."""
    chromium()
    with started(tmp_path_factory.mktemp("journey")) as running:
        yield running


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """`tuckline up --demo`, likewise: the demo's people and dogs, told up to today."""
    chromium()
    with started(tmp_path_factory.mktemp("demo"), "--demo") as running:
        yield running


@pytest.fixture
def phone(playwright: Playwright, tuckline: Running, tmp_path: Path) -> Iterator[Phone]:
    """A phone that knows the server; closed at the end, and asked what it complained of."""
    yield from _carried(Phone(playwright, chromium(), tmp_path / "phone", tuckline.address))


@pytest.fixture
def demo_phone(playwright: Playwright, demo: Running, tmp_path: Path) -> Iterator[Phone]:
    """A phone that knows the demo's server, likewise."""
    yield from _carried(Phone(playwright, chromium(), tmp_path / "phone", demo.address))


def _carried(phone: Phone) -> Iterator[Phone]:
    yield phone
    phone.close()
    assert phone.complaints == []
    assert phone.strangers == [], "the app asked someone else"
