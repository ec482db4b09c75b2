"""Keeps the child processes running: hears them, starts dead ones again, stops them all."""

from __future__ import annotations

import http.client
import json
import selectors
import signal
import socket
import time
from collections.abc import Callable
from types import FrameType, TracebackType
from typing import Any, Self

from server.cli.children import Child, in_words

STOP_WITHIN_S = 7.0  # then they are killed; all is over within ten
LOOK_S = 0.2  # while it is not ready yet
PROBE_S = 2.0  # for one answer
HOPELESS = 3  # deaths before it was ever ready
LINES = 15  # of a log that are shown

ENDING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


class Supervisor:
    """Starts the children on entry, and leaves none behind on exit.

    Everything runs in the main thread: on Linux a child ends with the thread that started it.
    """

    def __init__(self, children: list[Child], *, say: Callable[[str], None]) -> None:
        self.children = children
        self.stopping = False
        self._say = say
        self._selector = selectors.DefaultSelector()
        self._wake, self._woken = socket.socketpair()
        self._before: dict[int, Any] = {}  # handlers of signals

    def __enter__(self) -> Self:
        for end in (self._wake, self._woken):
            end.setblocking(False)
        self._selector.register(self._woken, selectors.EVENT_READ)
        signal.set_wakeup_fd(self._wake.fileno(), warn_on_full_buffer=False)
        for number in ENDING:
            if number == signal.SIGHUP and signal.getsignal(number) == signal.SIG_IGN:
                continue  # started with nohup
            self._before[number] = signal.signal(number, self._stop)
        # Only to be woken by it.
        self._before[signal.SIGCHLD] = signal.signal(signal.SIGCHLD, lambda *_: None)
        for child in self.children:
            self._start(child)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stopping = True
        for child in self.children:
            child.ask_to_stop()
        limit = time.monotonic() + STOP_WITHIN_S
        while time.monotonic() < limit and not all(child.stopped() for child in self.children):
            self._hear(LOOK_S)
        for child in self.children:
            self._unhear(child)
            child.make_sure()
            child.log.close()
        signal.set_wakeup_fd(-1)
        for number, handler in self._before.items():
            signal.signal(number, handler)
        self._selector.close()
        self._wake.close()
        self._woken.close()

    def wait_until_ready(self, host: str, port: int, *, name: str, within_s: float) -> bool:
        """Wait for the server to say that it is ready; False, and said why, where it does not.

        name: a host name that the server answers to.
        """
        limit = time.monotonic() + within_s
        missing = "an answer"
        while not self.stopping and time.monotonic() < limit:
            self._pass(LOOK_S)
            hopeless = [child for child in self.children if child.deaths >= HOPELESS]
            if hopeless:
                self._show(hopeless, f"{hopeless[0].name} does not stay up")
                return False
            missing = _missing(host, port, name)
            if not missing:
                return True
        if not self.stopping:
            named = [child for child in self.children if child.name in missing]
            trouble = f"not ready after {within_s:g} s, waiting for {missing}"
            self._show(named or self.children, trouble)
        return False

    def watch(self) -> None:
        """Keep the children running until told to stop."""
        while not self.stopping:
            down = [child.start_at for child in self.children if child.pid is None]
            wait = max(0.0, min(down) - time.monotonic()) if down else None
            self._hear(wait)
            self._restart_dead()
        self._say("Stopping.")

    def _stop(self, number: int, frame: FrameType | None) -> None:
        self.stopping = True

    def _start(self, child: Child) -> None:
        child.start()
        assert child.output is not None
        self._selector.register(child.output, selectors.EVENT_READ, child)

    def _unhear(self, child: Child) -> None:
        if child.output is not None and child.output in self._selector.get_map():
            self._selector.unregister(child.output)

    def _pass(self, seconds: float) -> None:
        """Let time go by with the children heard and kept running; shorter only when stopping."""
        until = time.monotonic() + seconds
        while not self.stopping and time.monotonic() < until:
            self._hear(max(0.0, until - time.monotonic()))
            self._restart_dead()

    def _hear(self, wait_s: float | None) -> None:
        """Move what children said into their logs; returns early at a signal."""
        for key, _ in self._selector.select(wait_s):
            if key.data is None:
                self._woken.recv(4096)
            elif not key.data.listen():
                self._unhear(key.data)

    def _restart_dead(self) -> None:
        for child in self.children:
            if child.pid is None:
                if time.monotonic() >= child.start_at:
                    self._start(child)
                continue
            if child.stopped():
                self._unhear(child)
                status = child.died()
                if status is not None and not self.stopping:
                    wait = child.start_at - time.monotonic()
                    self._say(f"{child.name} {in_words(status)}; starts again in {wait:.1f} s.")

    def _show(self, children: list[Child], trouble: str) -> None:
        self._say(f"Tuckline did not come up: {trouble}.")
        for child in children:
            self._say(f"Last lines of {child.log.path}:")
            for line in child.log.last_lines(LINES):
                self._say(f"  {line}")


def _missing(host: str, port: int, name: str) -> str:
    """What the server still waits for; empty once it is ready."""
    connection = http.client.HTTPConnection(host, port, timeout=PROBE_S)
    try:
        connection.request("GET", "/readyz", headers={"Host": name})
        answer = connection.getresponse()
        body = answer.read(500)
    except (OSError, http.client.HTTPException):
        return "an answer"
    finally:
        connection.close()
    if answer.status == http.client.OK:
        return ""
    try:
        return f"the {json.loads(body)['missing']}"
    except (ValueError, KeyError, TypeError):
        return f"a better answer than {answer.status} {answer.reason}"
