"""`tuckline up` with Redis between web and workers: a pool, and a broker that may go away."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.cli.running import free_port, until, up
from tests.needs import need

pytestmark = pytest.mark.chaos
FIRST, SECOND, THIRD = (f"01a211a8-76e7-7e68-a42e-7427b775e79{n}" for n in (1, 2, 3))


@contextmanager
def redis_server(folder: Path, port: int) -> Iterator[None]:
    """A Redis of our own."""
    need(shutil.which("redis-server"), "no redis-server was found on the path")
    process = subprocess.Popen(
        ["redis-server", f"--port {port}", "--bind 127.0.0.1", "--save ''", f"--dir {folder}"],
        stdout=subprocess.DEVNULL,
    )
    try:
        until("Redis answers", lambda: answers(port))
        yield
    finally:
        process.kill()
        process.wait()


def answers(port: int) -> bool:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=1) as talk:
            talk.sendall(b"PING\r\n")
            return talk.recv(7) == b"+PONG\r\n"
    except OSError:
        return False


def test_redis_restart(tmp_path):
    port = free_port()
    url = f"redis://127.0.0.1:{port}/0"
    with redis_server(tmp_path, port):
        server_is_up = up(tmp_path / "data", TUCKLINE_BROKER_URL=url)
        server = server_is_up.__enter__()
        server.ask(FIRST)
        until("the first job", lambda: server.is_done(FIRST))
    try:
        workers = set(server.family("worker"))
        server.ask(SECOND)  # nobody hears the bell, and asking does not fail
        assert not server.is_done(SECOND)
        with redis_server(tmp_path, port):
            # The same worker: jobs flow again without a restart, and the sweep brings the
            # one that was asked for in between.
            until("jobs flow again", lambda: flows(server), 40)
            until("the sweep finds the other", lambda: server.is_done(SECOND), 90)
            assert set(server.family("worker")) >= {min(workers)}
            assert server.stop() == 0
            assert server.family() == []
    finally:
        server_is_up.__exit__(None, None, None)


def flows(server) -> bool:
    """Whether a job that is asked for now is done soon."""
    server.ask(THIRD)
    try:
        until("the third job", lambda: server.is_done(THIRD), 3)
    except AssertionError:
        return False
    return True


def test_no_process_of_the_pool_outlives_its_worker(tmp_path):
    port = free_port()
    with (
        redis_server(tmp_path, port),
        up(tmp_path / "data", TUCKLINE_BROKER_URL=f"redis://127.0.0.1:{port}/0") as server,
    ):
        before = server.family("worker")
        assert len(before) > 1
        os.kill(before[0], signal.SIGKILL)
        until("another pool", lambda: len(server.family("worker")) == len(before))
        assert not set(server.family("worker")) & set(before)
        server.process.kill()
        server.process.wait()
        until("all are gone", lambda: server.family() == [], 5)
