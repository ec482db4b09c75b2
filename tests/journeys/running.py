"""`tuckline up` with its real worker, on a data folder and a port of its own."""

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
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

START_LIMIT_S = 90


class NotStarted(Exception):
    """`tuckline up` stopped by itself, or was not ready in time. Holds what it printed."""


@dataclass(frozen=True)
class Running:
    """A started `tuckline up`."""

    address: str
    data: Path

    def demo_password(self) -> str:
        """The password of all demo people, as the demo wrote it down."""
        note = (self.data / "demo" / "sign-in.txt").read_text(encoding="utf-8")
        return note.partition("password for all of them: ")[2].split()[0]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def started(data: Path, *more: str) -> Iterator[Running]:
    """Run `tuckline up`, with further arguments, until the end of the block."""
    port, printed = free_port(), data / "up.log"
    env = {k: v for k, v in os.environ.items() if not k.startswith("TUCKLINE_")}
    command = [Path(sys.executable).with_name("tuckline"), "up", *more]
    with printed.open("w") as log:
        process = subprocess.Popen(
            [*command, "--data", data, "--port", str(port)],
            stdout=log,
            stderr=subprocess.STDOUT,
            env=env,
        )
        try:
            _until_ready(process, f"http://127.0.0.1:{port}/readyz", printed)
            yield Running(f"http://localhost:{port}", data)
        finally:
            process.send_signal(signal.SIGTERM)
            try:
                process.wait(timeout=15)
            finally:
                process.kill()


def _until_ready(process: subprocess.Popen[bytes], url: str, printed: Path) -> None:
    deadline = time.monotonic() + START_LIMIT_S
    while time.monotonic() < deadline:
        if process.poll() is not None:
            raise NotStarted(f"tuckline up stopped:\n{printed.read_text()}")
        try:
            with urllib.request.urlopen(url, timeout=2) as answer:
                if answer.status == 200:
                    return
        except (urllib.error.URLError, OSError):
            pass
        time.sleep(0.3)
    raise NotStarted(f"not ready within {START_LIMIT_S} s:\n{printed.read_text()}")
