"""`tuckline up` as a real process, and the processes that belong to it."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
START_LIMIT_S = 120
STOP_LIMIT_S = 10


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def until(what: str, true: Callable[[], object], limit_s: float = 20) -> None:
    """Wait for something to become true; a limit, not a measurement."""
    deadline = time.monotonic() + limit_s
    while not true():
        if time.monotonic() > deadline:
            raise AssertionError(f"{what}: not within {limit_s} s")
        time.sleep(0.05)


def clean_env(**more: str) -> dict[str, str]:
    """The environment without settings of whoever runs the tests."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    return {**kept, **more}


def command(*arguments: object) -> list[str]:
    """`tuckline up` with these arguments, by the Python that runs the tests, from any folder."""
    start = "import sys; sys.path[0] = sys.argv.pop(1); from server.cli.main import main; "
    start += "sys.exit(main())"
    return [sys.executable, "-c", start, str(ROOT), "up", *map(str, arguments)]


def elsewhere(folder: Path) -> Path:
    """A folder to start from that holds somebody else's package called `server`."""
    theirs = folder / "elsewhere" / "server"
    theirs.mkdir(parents=True, exist_ok=True)
    (theirs / "__init__.py").write_text("raise RuntimeError('this is the wrong server')")
    return theirs.parent


@dataclass
class Up:
    """A started `tuckline up`."""

    process: subprocess.Popen[bytes]
    data: Path
    port: int
    env: dict[str, str]

    def said(self) -> str:
        """What it has printed so far."""
        return (self.data / "said.txt").read_text()

    def log(self, name: str) -> str:
        """What one of its children has said."""
        return (self.data / "logs" / f"{name}.log").read_text()

    def is_ready(self) -> bool:
        """Whether it answers that it can serve."""
        try:
            with urllib.request.urlopen(
                f"http://127.0.0.1:{self.port}/readyz", timeout=2
            ) as answer:
                return bool(answer.status == 200)
        except (urllib.error.URLError, OSError):
            return False

    def family(self, role: str = "") -> list[int]:
        """Process ids of its children, gunicorn's own included, of one role or of all."""
        listed = subprocess.run(
            ["ps", "-axo", "pid,stat,command"], capture_output=True, text=True, check=True
        )
        mark = f"server.cli.child {self.process.pid} {role}"
        rows = [line.split(None, 2) for line in listed.stdout.splitlines()[1:]]
        return sorted(int(row[0]) for row in rows if mark in row[2] and not row[1].startswith("Z"))

    def ask(self, key: str) -> None:
        """Ask for a job as a request does: row, then bell. It finds no such dog, and is done."""
        code = (
            "import django; django.setup()\n"
            "from django.utils.timezone import now\n"
            "from server.ledger import jobs\n"
            f"jobs.ask('review', '{key}', now=now())\n"
        )
        env = {**self.env, "TUCKLINE_DATA": str(self.data)}
        env["DJANGO_SETTINGS_MODULE"] = "server.settings"
        subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=clean_env(**env), check=True)

    def is_done(self, key: str) -> bool:
        """Whether a worker has done that job."""
        with contextlib.closing(sqlite3.connect(self.data / "tuckline.sqlite3")) as rows:
            found = rows.execute("SELECT asked = answered FROM ledger_job WHERE key = ?", [key])
            row = found.fetchone()
        return bool(row and row[0])

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Ask it to stop; its exit status."""
        self.process.send_signal(how)
        return self.process.wait(timeout=STOP_LIMIT_S)


@contextmanager
def up(data: Path, *arguments: str, **env: str) -> Iterator[Up]:
    """A server that is ready; whatever is left of it at the end is killed."""
    data.mkdir(exist_ok=True)
    port = free_port()
    with (data / "said.txt").open("wb") as said:
        process = subprocess.Popen(
            command("--data", data, "--port", port, *arguments),
            cwd=elsewhere(data.parent),
            env=clean_env(**env),
            stdout=said,
            stderr=subprocess.STDOUT,
        )
    running = Up(process, data, port, env)
    try:
        until(
            "the address is printed",
            lambda: "http://localhost" in running.said() or process.poll() is not None,
            START_LIMIT_S,
        )
        assert process.poll() is None, running.said()
        yield running
    finally:
        if process.poll() is None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                running.stop()
        for pid in running.family():
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        process.kill()
        process.wait()
