"""Ties a process to the one that started it: when that one is gone, so is this one at once.

Every job is a row with a lease and every entry is acknowledged only when stored, so a sudden end
costs time and nothing else; a process left behind would cost trust.
"""

from __future__ import annotations

import ctypes
import os
import signal
import sys
import threading
import time

PR_SET_PDEATHSIG = 1  # prctl(2), Linux
LOOK_S = 0.5


def die_with(parent: int) -> None:
    """End this process, by SIGKILL, as soon as `parent` has ended. Not inherited by children."""
    if sys.platform == "linux":
        libc = ctypes.CDLL(None, use_errno=True)
        if libc.prctl(PR_SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0) != 0:
            raise OSError(ctypes.get_errno(), "prctl")
    else:
        threading.Thread(target=_watch, args=[parent], name="lifeline", daemon=True).start()
    if os.getppid() != parent:  # it ended before we were tied to it
        os.kill(os.getpid(), signal.SIGKILL)


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(LOOK_S)
    os.kill(os.getpid(), signal.SIGKILL)
