"""One child process of `tuckline up`: its start, its log, its end."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import IO

from server.cli.logfile import LogFile

FIRST_WAIT_S = 0.5  # before a dead child starts again, doubling
LONGEST_WAIT_S = 30.0
SETTLED_S = 60.0  # a child that lived so long starts over with the first wait


def command(*role: str) -> list[str]:
    """The command of a process that ends with this one.

    -P: a folder called `server` where we were started is none of ours; PYTHONPATH says where
    ours is.
    """
    return [sys.executable, "-P", "-m", "server.cli.child", str(os.getpid()), *role]


class Child:
    """A process that should be running, in a group of its own so that nothing of it is left."""

    def __init__(
        self,
        name: str,
        role: list[str],
        folder: Path,
        env: dict[str, str],
        keep_open: list[int] | None = None,
    ) -> None:
        self.name = name
        self.log = LogFile(folder / "logs" / f"{name}.log")
        self.deaths = 0  # since it last lived for long
        self.start_at = 0.0  # monotonic time of the next start, while it is down
        self._role = role
        self._env = env
        self._keep_open = keep_open or []
        self._process: subprocess.Popen[bytes] | None = None
        self._started_at = 0.0

    @property
    def pid(self) -> int | None:
        """Its process id while it runs."""
        return self._process.pid if self._process else None

    @property
    def output(self) -> IO[bytes] | None:
        """The pipe that it speaks into while it runs."""
        return self._process.stdout if self._process else None

    def start(self) -> None:
        """Start it. It ends with this process, even when this one is killed."""
        self._process = subprocess.Popen(
            command(*self._role),
            env=self._env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            pass_fds=self._keep_open,
            start_new_session=True,  # Ctrl-C in the terminal reaches only the supervisor
        )
        assert self._process.stdout is not None
        os.set_blocking(self._process.stdout.fileno(), False)
        self._started_at = time.monotonic()

    def listen(self) -> bool:
        """Move what it said into its log. False: it said nothing, or closed its mouth for good."""
        if self.output is None:
            return False
        said = self.output.read(65536)
        if said:
            self.log.write(said)
        return bool(said)

    def died(self) -> int | None:
        """Its exit status, once, if it ended since the last look; the next start is then set."""
        if self._process is None or self._process.poll() is None:
            return None
        status = self._process.returncode
        self.end_group(signal.SIGKILL)
        while self.listen():
            pass
        self._forget()
        if time.monotonic() - self._started_at > SETTLED_S:
            self.deaths = 0
        wait = min(FIRST_WAIT_S * 2**self.deaths, LONGEST_WAIT_S)
        self.deaths += 1
        self.start_at = time.monotonic() + wait
        return status

    def end_group(self, how: signal.Signals) -> None:
        """Signal the process and everything it started."""
        if self._process is not None:
            with contextlib.suppress(ProcessLookupError, PermissionError):
                os.killpg(self._process.pid, how)

    def ask_to_stop(self) -> None:
        """Ask the process itself; it tells its own children."""
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()

    def stopped(self) -> bool:
        """True once it has ended."""
        return self._process is None or self._process.poll() is not None

    def make_sure(self) -> None:
        """Leave nothing of it behind."""
        if self._process is None:
            return
        self.end_group(signal.SIGKILL)
        self._process.wait()
        while self.listen():
            pass
        self._forget()

    def _forget(self) -> None:
        if self.output is not None:
            self.output.close()
        self._process = None


def in_words(status: int) -> str:
    """How a process ended, for people."""
    if status >= 0:
        return f"ended with status {status}"
    try:
        return f"was ended by {signal.Signals(-status).name}"
    except ValueError:
        return f"was ended by signal {-status}"
