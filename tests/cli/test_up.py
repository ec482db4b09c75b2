"""`tuckline up` refuses in one clear line, and prepares what it needs. Nothing is started here."""

from __future__ import annotations

import ast
import contextlib
import errno
import os
import socket
import stat
import sys
from pathlib import Path

import pytest

from server.cli import prepare, starting, up
from server.cli.logfile import LogFile
from server.worker import lock


def refusal(capsys, *argv):
    """The one line on standard error of an `up` that does not start."""
    assert up.run(list(argv)) == 2
    out, err = capsys.readouterr()
    assert out == ""
    [line] = err.splitlines()
    assert line.startswith("tuckline up: ")
    return line


def test_an_old_python_is_told_so(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 9, 18, "final", 0))
    line = refusal(capsys, "--data", "/nowhere")
    assert "needs Python 3.11 or newer; this is Python 3.9" in line


def test_old_pythons_can_read_the_module_that_tells_them():
    source = Path(up.__file__).read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 6))
    first_imports = [
        n for n in ast.parse(source).body if isinstance(n, ast.Import | ast.ImportFrom)
    ]
    named = {alias.name for node in first_imports for alias in node.names}
    assert named <= {"argparse", "os", "sys", "Path"}


def test_windows_is_told_where_it_runs(monkeypatch, capsys):
    monkeypatch.setattr(up.os, "name", "nt")
    assert "WSL" in refusal(capsys)


@pytest.mark.parametrize("below", ["", "below"])
def test_a_folder_that_cannot_be_written_is_named(tmp_path, capsys, below):
    # A file in place of the folder: not even root can write below it.
    (tmp_path / "file").write_text("not a folder")
    folder = tmp_path / "file" / below
    line = refusal(capsys, "--data", str(folder))
    assert str(folder) in line
    assert "--data" in line


def test_a_second_up_on_one_folder_is_refused(tmp_path, capsys):
    with lock.hold(tmp_path / "up.lock", "process 17"):
        line = refusal(capsys, "--data", str(tmp_path))
    assert "process 17" in line
    assert str(tmp_path) in line


def test_a_busy_port_is_refused_before_anything_runs(tmp_path, capsys, monkeypatch):
    def taken(*_, **__):
        raise OSError(errno.EADDRINUSE, "while attempting to bind")

    monkeypatch.setattr(socket, "create_server", taken)
    line = refusal(capsys, "--data", str(tmp_path), "--port", "8123")
    assert "127.0.0.1:8123" in line
    assert os.strerror(errno.EADDRINUSE) in line
    assert "--port" in line
    assert [file.name for file in tmp_path.iterdir()] == ["up.lock"]


@pytest.mark.parametrize("port", ["0", "65536", "-1", "http", "8000.5", ""])
def test_a_port_that_is_none_is_refused(port, capsys):
    with pytest.raises(SystemExit) as stopped:
        up.run(["--port", port])
    assert stopped.value.code == 2
    assert "must be a whole number from 1 to 65535" in capsys.readouterr().err


def test_a_bad_setting_is_named(tmp_path, capsys, monkeypatch):
    class Done:
        returncode = 2
        stderr = "noise\nTUCKLINE_BROKER_URL must start with one of: redis, rediss, filesystem.\n"

    monkeypatch.setattr(socket, "create_server", lambda *_, **__: contextlib.nullcontext())
    monkeypatch.setattr(starting.subprocess, "run", lambda *_, **__: Done)
    assert "TUCKLINE_BROKER_URL must start with" in refusal(capsys, "--data", str(tmp_path))


def test_the_key_is_for_its_owner_only_and_stays(tmp_path):
    file = tmp_path / "secret.key"
    prepare.make_key(file)
    key = file.read_text()
    assert len(key) >= 60
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    prepare.make_key(file)
    assert file.read_text() == key
    assert [f.name for f in tmp_path.iterdir()] == ["secret.key"]


def test_a_key_half_written_by_a_crash_is_no_key(tmp_path):
    (tmp_path / "secret.partial").write_text("abc")
    prepare.make_key(tmp_path / "secret.key")
    assert len((tmp_path / "secret.key").read_text()) >= 60
    assert not (tmp_path / "secret.partial").exists()


def test_people_of_this_machine_read_localhost_and_where_things_are(tmp_path):
    # Passkeys refuse 127.0.0.1, so the address is shown as localhost.
    text = starting._greeting(tmp_path, host="127.0.0.1", port=8201, env={}, demo=False)
    assert "http://localhost:8201" in text
    for place in (tmp_path, tmp_path / "logs", tmp_path / "mail"):
        assert str(place) in text
    assert "need not be confirmed" in text
    assert "HTTPS" not in text


def test_with_a_mail_server_no_mail_folder_is_named(tmp_path):
    env = {"TUCKLINE_SMTP_URL": "smtp://mail.example.org"}
    text = starting._greeting(tmp_path, host="127.0.0.1", port=8201, env=env, demo=False)
    assert "mail in" not in text


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.7"])
def test_who_listens_beyond_this_machine_reads_what_that_needs(tmp_path, host):
    text = starting._greeting(tmp_path, host=host, port=8201, env={}, demo=False)
    assert "HTTPS" in text
    assert "TUCKLINE_ALLOWED_HOSTS" in text


def test_the_address_listened_on_is_an_allowed_host(tmp_path, monkeypatch):
    monkeypatch.delenv("TUCKLINE_ALLOWED_HOSTS", raising=False)
    hosts = starting._environment(tmp_path, "192.0.2.7")["TUCKLINE_ALLOWED_HOSTS"]
    assert hosts.split(",") == ["localhost", "127.0.0.1", "[::1]", "192.0.2.7"]
    assert "[fe80::1]" in starting._environment(tmp_path, "fe80::1")["TUCKLINE_ALLOWED_HOSTS"]
    assert "TUCKLINE_ALLOWED_HOSTS" not in starting._environment(tmp_path, "0.0.0.0")
    monkeypatch.setenv("TUCKLINE_ALLOWED_HOSTS", "dogs.example.org")
    kept = starting._environment(tmp_path, "192.0.2.7")["TUCKLINE_ALLOWED_HOSTS"]
    assert kept == "dogs.example.org"


def test_readiness_is_asked_for_by_a_name_that_is_allowed():
    assert starting._answers_to({}) == "localhost"
    env = {"TUCKLINE_ALLOWED_HOSTS": " .dogs.example.org, localhost"}
    assert starting._answers_to(env) == "dogs.example.org"


def test_a_log_never_grows_past_its_cap(tmp_path):
    log = LogFile(tmp_path / "logs" / "web.log", cap=1000)
    for number in range(400):
        log.write(b"line %04d\n" % number)
    sizes = {file.name: file.stat().st_size for file in (tmp_path / "logs").iterdir()}
    assert set(sizes) <= {"web.log", "web.log.1"}
    assert all(size <= 1000 for size in sizes.values())
    assert log.last_lines(2) == ["line 0398", "line 0399"]
    log.write(b"line 0400\n")  # on either side of the turn
    assert log.last_lines(2) == ["line 0399", "line 0400"]
    log.close()


def test_a_log_that_cannot_be_turned_over_goes_on_later(tmp_path, monkeypatch):
    log = LogFile(tmp_path / "web.log", cap=20)

    def full(*_):
        raise OSError(errno.ENOSPC, "disk full")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", full)
        log.write(b"a line over the cap\n")
    log.write(b"one more\n")
    assert log.last_lines(5) == ["a line over the cap", "one more"]
    log.close()
