"""`tuckline up` with real processes: it starts, keeps running, and leaves nothing behind."""

from __future__ import annotations

import os
import signal
import socket
import subprocess

import pytest

from tests.cli.running import clean_env, command, elsewhere, free_port, until, up

ROLES = ("web", "worker", "beat")


@pytest.mark.service
def test_it_starts_says_where_and_leaves_no_process(tmp_path):
    with up(tmp_path / "data") as server:
        assert f"http://localhost:{server.port}" in server.said()
        assert server.is_ready()
        assert all(server.family(role) for role in ROLES)
        assert len(server.family("web")) == 2  # gunicorn and its worker
        assert server.stop() == 0
        assert server.family() == []
        assert "Stopping." in server.said()
    assert {file.name for file in (tmp_path / "data" / "logs").iterdir()} >= {
        f"{role}.log" for role in ROLES
    }


@pytest.mark.service
def test_ctrl_c_in_a_terminal_stops_it_cleanly(tmp_path):
    with up(tmp_path / "data") as server:
        assert server.stop(signal.SIGINT) == 0
        assert server.family() == []
        assert "Traceback" not in server.said()
        for role in ROLES:
            assert "Traceback" not in server.log(role)


@pytest.mark.service
def test_the_same_folder_starts_again_with_its_key_and_rows(tmp_path):
    data = tmp_path / "data"
    with up(data) as server:
        server.stop()
    key = (data / "secret.key").read_text()
    with up(data) as server:
        assert server.is_ready()
    assert (data / "secret.key").read_text() == key


@pytest.mark.service
def test_a_server_that_answers_only_to_its_own_name_comes_up(tmp_path):
    with up(tmp_path / "data", TUCKLINE_ALLOWED_HOSTS=".dogs.example.org,other.example") as server:
        assert f"http://localhost:{server.port}" in server.said()
        assert "did not come up" not in server.said()


@pytest.mark.service
def test_a_busy_port_is_one_clear_line(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as holder:
        port = str(holder.getsockname()[1])
        said = subprocess.run(
            command("--data", tmp_path / "data", "--port", port),
            cwd=elsewhere(tmp_path),
            env=clean_env(),
            capture_output=True,
            text=True,
            timeout=20,
        )
    assert said.returncode == 2
    assert len(said.stderr.splitlines()) == 1
    assert port in said.stderr


@pytest.mark.service
def test_a_bad_setting_is_one_clear_line(tmp_path):
    # The address people type is no address.
    said = subprocess.run(
        command("--data", tmp_path / "data", "--port", free_port()),
        cwd=elsewhere(tmp_path),
        env=clean_env(TUCKLINE_PUBLIC_URL="dogs.example.org"),
        capture_output=True,
        text=True,
        timeout=20,
    )
    assert said.returncode == 2
    assert "TUCKLINE_PUBLIC_URL" in said.stderr
    assert len(said.stderr.splitlines()) == 1


@pytest.mark.chaos
@pytest.mark.parametrize("role", ROLES)
def test_a_child_that_is_killed_starts_again(tmp_path, role):
    with up(tmp_path / "data") as server:
        before = server.family(role)
        os.kill(before[0], signal.SIGKILL)
        until(
            f"another {role}",
            lambda: (
                len(server.family(role)) == len(before)
                and not set(server.family(role)) & set(before)
            ),
        )
        assert f"{role} was ended by SIGKILL" in server.said()
        until("ready again", server.is_ready)
        assert server.stop() == 0
        assert server.family() == []


@pytest.mark.chaos
def test_a_web_worker_that_is_killed_is_replaced_by_gunicorn(tmp_path):
    with up(tmp_path / "data") as server:
        master, worker = server.family("web")
        os.kill(worker, signal.SIGKILL)
        until("another web worker", lambda: len(set(server.family("web")) - {master, worker}) == 1)
        until("ready again", server.is_ready)


@pytest.mark.chaos
def test_nothing_outlives_a_killed_up(tmp_path):
    with up(tmp_path / "data") as server:
        assert len(server.family()) == 4
        server.process.kill()
        server.process.wait()
        until("all are gone", lambda: server.family() == [], 5)
    with up(tmp_path / "data") as server:
        assert server.is_ready()


@pytest.mark.chaos
def test_a_stopped_up_does_not_wait_for_a_hanging_child(tmp_path):
    with up(tmp_path / "data") as server:
        [worker] = server.family("worker")
        os.kill(worker, signal.SIGSTOP)
        assert server.stop() == 0  # within the limit of STOP_LIMIT_S
        assert server.family() == []
