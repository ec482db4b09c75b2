"""A worker that is killed in the middle of a job costs time, never the job."""

from __future__ import annotations

import contextlib
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import contextmanager

import pytest

from tests.cli.running import ROOT, clean_env, until

pytestmark = pytest.mark.chaos
LEASE_S = 3600  # nobody waits for it: a worker that comes to an embedded server is alone


@pytest.fixture
def env(tmp_path):
    """A data folder with tables, and settings with a lease that does not end by itself."""
    env = clean_env(
        TUCKLINE_DATA=str(tmp_path),
        TUCKLINE_LEASE_S=str(LEASE_S),
        DJANGO_SETTINGS_MODULE="server.settings",
    )
    for command in (["createcachetable"], ["migrate", "--verbosity", "0"]):
        subprocess.run([sys.executable, "-m", "server", *command], cwd=ROOT, env=env, check=True)
    return env


def ask(env, *keys):
    code = (
        "import django; django.setup()\n"
        "from django.utils.timezone import now\n"
        "from server.ledger import jobs\n"
        f"for key in {keys!r}: jobs.ask('slow', key, now=now())\n"
    )
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=env, check=True)


@contextmanager
def worker(env, notes):
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.worker.slow_worker", str(notes)],
        cwd=ROOT,
        env=env,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def noted(notes, what):
    lines = notes.read_text().splitlines() if notes.exists() else []
    return [line for line in lines if f" {what} " in line]


def state(tmp_path):
    with contextlib.closing(sqlite3.connect(tmp_path / "tuckline.sqlite3")) as rows:
        query = "SELECT key, asked = answered, attempts FROM ledger_job ORDER BY key"
        return rows.execute(query).fetchall()


def test_kill_worker(tmp_path, env):
    notes = tmp_path / "notes.txt"
    ask(env, "a", "b", "c")
    with worker(env, notes) as first:
        until("a job began", lambda: noted(notes, "began"))
        os.kill(first.pid, signal.SIGKILL)
        first.wait()
        assert noted(notes, "ended") == []
    # One row is still held by the dead worker; none is done.
    assert sorted(row[1:] for row in state(tmp_path)) == [(0, 0), (0, 0), (0, 1)]
    with worker(env, notes):
        until("all are done", lambda: all(done for _, done, _ in state(tmp_path)), 30)
    ended = [line.split()[-1] for line in noted(notes, "ended")]
    assert sorted(ended) == ["a", "b", "c"]  # each once


def test_two_workers_never_do_one_job_both(tmp_path, env):
    notes = tmp_path / "notes.txt"
    with worker(env, notes), worker(env, notes):
        until("both live", lambda: len(beating(tmp_path)) >= 1)
        ask(env, *"abcdef")
        until("all are done", lambda: [done for _, done, _ in state(tmp_path)] == [1] * 6, 40)
    assert sorted(line.split()[-1] for line in noted(notes, "ended")) == list("abcdef")
    assert len(noted(notes, "began")) == 6


def beating(tmp_path):
    with contextlib.closing(sqlite3.connect(tmp_path / "tuckline.sqlite3")) as rows:
        return rows.execute("SELECT worker FROM ledger_heartbeat").fetchall()
