"""The web process: gunicorn on a port that the supervisor has opened."""

from __future__ import annotations

import os
from typing import Any

from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]

from server.worker import lifeline

SETTINGS: dict[str, Any] = {
    "worker_class": "gthread",
    "workers": 1,
    "threads": 6,
    "keepalive": 15,
    "timeout": 60,
    "graceful_timeout": 4,  # the supervisor gives all of them seven seconds
    "control_socket_disable": True,
    "loglevel": "warning",
}


def _tie(arbiter: Any, worker: Any) -> None:
    """A worker ends with gunicorn's own process, whatever ended that one."""
    lifeline.die_with(arbiter.pid)


class Web(BaseApplication):  # type: ignore[misc]  # gunicorn ships no types
    """Gunicorn without its command line and its files of settings."""

    def __init__(self, port_fd: int) -> None:
        self.port_fd = port_fd
        super().__init__()

    def load_config(self) -> None:
        """Settings as above, and the open port."""
        for name, value in SETTINGS.items():
            self.cfg.set(name, value)
        self.cfg.set("bind", f"fd://{self.port_fd}")
        self.cfg.set("post_fork", _tie)
        if os.path.isdir("/dev/shm"):  # its sign of life must not wait for a slow disk
            self.cfg.set("worker_tmp_dir", "/dev/shm")

    def load(self) -> Any:
        """The WSGI application."""
        from server.wsgi import application  # in the worker, so that a restart is a fresh one

        return application


def serve(port_fd: int) -> int:
    """Serve until told to stop."""
    Web(port_fd).run()
    return 0
