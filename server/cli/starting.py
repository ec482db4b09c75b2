"""What `tuckline up` does from its arguments to a running server, and what it says meanwhile."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from ipaddress import ip_address
from pathlib import Path

from server.cli import prepare
from server.cli.children import Child, command
from server.cli.supervise import Supervisor
from server.worker import lock

ROOT = Path(__file__).resolve().parents[2]
UP_WITHIN_S = 60.0
NOT_AS_ASKED = 2  # status of a process that named its reason in one line


class CannotStart(Exception):
    """The server cannot start as asked; the text says why and what to do."""


def start(data: Path | None, *, host: str, port: int, demo: bool) -> int:
    """Prepare the data folder, start the three processes, and stay until told to stop.

    data: None for the folder that TUCKLINE_DATA names, else the user's own.
    Returns 0 after a stop that was asked for, 1 where the server did not come up.
    Raises CannotStart before anything runs.
    """
    folder = data.expanduser().absolute() if data else prepare.data_folder()
    with _only_one(folder), _listener(host, port) as listener:
        env = _environment(folder, host)
        _prepare(env, demo=demo)
        children = [
            Child("web", ["web", str(listener.fileno())], folder, env, [listener.fileno()]),
            Child("worker", ["worker"], folder, env),
            Child("beat", ["beat"], folder, env),
        ]
        supervisor = Supervisor(children, say=_say)
        with supervisor:
            if not supervisor.wait_until_ready(
                _asked_at(host), port, name=_answers_to(env), within_s=UP_WITHIN_S
            ):
                return 0 if supervisor.stopping else 1
            _say(_greeting(folder, host=host, port=port, env=env, demo=demo))
            supervisor.watch()
    return 0


def _say(text: str) -> None:
    print(text, flush=True)


def _only_one(folder: Path) -> lock.Handle:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return lock.hold(folder / "up.lock")
    except lock.Held as held:
        raise CannotStart(
            f"another `tuckline up` ({held.by}) runs on the data folder {folder} already."
        ) from None
    except OSError as error:
        raise CannotStart(
            f"cannot write to the data folder {folder} ({error.strerror}). "
            "Name another one with --data."
        ) from None


def _listener(host: str, port: int) -> socket.socket:
    """The open port. It belongs to the supervisor, so nobody takes it while web restarts."""
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        return socket.create_server((host, port), family=family, backlog=128)
    except OSError as error:
        raise CannotStart(
            f"cannot listen on {host}:{port} ({_why(error)}). Choose another with --port."
        ) from None


def _why(error: OSError) -> str:
    # Some say more than the reason itself; a name that does not resolve has a number of its own.
    known = error.errno is not None and error.errno > 0
    return os.strerror(error.errno) if known and error.errno else str(error.strerror)


def _environment(folder: Path, host: str) -> dict[str, str]:
    env = {**os.environ, "TUCKLINE_DATA": str(folder), "PYTHONUNBUFFERED": "1"}
    env["DJANGO_SETTINGS_MODULE"] = "server.settings"
    env["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), env.get("PYTHONPATH")]))
    if not env.get("TUCKLINE_ALLOWED_HOSTS") and not _everywhere(host):
        named = f"[{host}]" if ":" in host else host
        env["TUCKLINE_ALLOWED_HOSTS"] = f"localhost,127.0.0.1,[::1],{named}"
    return env


def _prepare(env: dict[str, str], *, demo: bool) -> None:
    """Key, tables and static files, in a process of its own so that this one stays small."""
    role = ["prepare", "--demo"] if demo else ["prepare"]
    done = subprocess.run(command(*role), env=env, stderr=subprocess.PIPE, text=True)
    said = done.stderr.strip()
    if done.returncode == NOT_AS_ASKED and said:
        raise CannotStart(said.splitlines()[-1])
    if said:
        print(said, file=sys.stderr)
    if done.returncode != 0:
        raise CannotStart("the data folder could not be prepared; the reason is above.")


def _everywhere(host: str) -> bool:
    try:
        return ip_address(host).is_unspecified
    except ValueError:
        return False


def _asked_at(host: str) -> str:
    """Where this machine itself finds what listens on `host`."""
    if _everywhere(host):
        return "::1" if ":" in host else "127.0.0.1"
    return host


def _answers_to(env: dict[str, str]) -> str:
    """A host name that the settings allow."""
    first = env.get("TUCKLINE_ALLOWED_HOSTS", "").split(",")[0].strip()
    return first.removeprefix(".") or "localhost"


def _greeting(folder: Path, *, host: str, port: int, env: dict[str, str], demo: bool) -> str:
    local = host in ("127.0.0.1", "::1", "localhost") or _everywhere(host)
    shown = "localhost" if local else f"[{host}]" if ":" in host else host
    lines = [
        f"Tuckline is up: http://{shown}:{port}",
        f"  kept in  {folder}",
        f"  logs in  {folder / 'logs'}",
    ]
    if not env.get("TUCKLINE_SMTP_URL"):
        lines.append(
            f"  mail in  {folder / 'mail'}  (no TUCKLINE_SMTP_URL: mail is written here, "
            "and addresses need not be confirmed)"
        )
    if not local or _everywhere(host):
        lines += [
            "  Beyond this machine phones need HTTPS for working without signal; see README.md.",
            "  TUCKLINE_ALLOWED_HOSTS must hold the names under which people reach it.",
        ]
    if demo:
        lines.append((folder / "demo" / "sign-in.txt").read_text(encoding="utf-8").rstrip())
    return "\n".join([*lines, "Ctrl-C stops it."])
