"""Ties the processes of Celery's pool to their worker, which otherwise may outlive it."""

from __future__ import annotations

import os
from typing import Any

from celery.signals import worker_init, worker_process_init

from server.worker import lifeline

_worker_pid = 0


@worker_init.connect
def _remember(**_: Any) -> None:
    global _worker_pid
    _worker_pid = os.getpid()


@worker_process_init.connect
def _tie(**_: Any) -> None:
    if os.getpid() != _worker_pid:  # the solo pool sends this in the worker itself
        lifeline.die_with(_worker_pid)
