"""A real server with a real worker, and a phone-sized Chromium in front of it."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.journeys.phone import Phone
from tests.needs import chromium

START_LIMIT_S = 90


@dataclass(frozen=True)
class Running:
    """A started `tuckline up`."""

    address: str
    data: Path


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def tuckline(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """`tuckline up` on a data folder of its own, stopped at the end."""
    chromium()
    data, port = tmp_path_factory.mktemp("journey"), free_port()
    log = (data / "up.log").open("w")
    env = {k: v for k, v in os.environ.items() if not k.startswith("TUCKLINE_")}
    process = subprocess.Popen(
        [Path(sys.executable).with_name("tuckline"), "up", "--data", data, "--port", str(port)],
        stdout=log,
        stderr=subprocess.STDOUT,
        env=env,
    )
    try:
        _until_ready(process, f"http://127.0.0.1:{port}/readyz", data / "up.log")
        yield Running(f"http://localhost:{port}", data)
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(timeout=15)
        finally:
            process.kill()
            log.close()


def _until_ready(process: subprocess.Popen[bytes], url: str, log: Path) -> None:
    deadline = time.monotonic() + START_LIMIT_S
    while time.monotonic() < deadline:
        if process.poll() is not None:
            pytest.fail(f"tuckline up stopped:\n{log.read_text()}")
        try:
            with urllib.request.urlopen(url, timeout=2) as answer:
                if answer.status == 200:
                    return
        except (urllib.error.URLError, OSError):
            pass
        time.sleep(0.3)
    pytest.fail(f"tuckline up was not ready within {START_LIMIT_S} s:\n{log.read_text()}")


@pytest.fixture
def phone(playwright: Playwright, tuckline: Running, tmp_path: Path) -> Iterator[Phone]:
    """A phone that knows the server; closed at the end, and asked what it complained of."""
    phone = Phone(playwright, chromium(), tmp_path / "phone", tuckline.address)
    yield phone
    phone.close()
    assert phone.complaints == []
    assert phone.strangers == [], "the app asked someone else"
