"""A lock that its process cannot leave behind: the system opens it when the process is gone."""

from __future__ import annotations

import fcntl
import os
from pathlib import Path
from typing import IO, TypeAlias

Handle: TypeAlias = IO[str]  # open: the lock is ours; closed: it is not


class Held(Exception):
    """Another living process holds the lock; `by` is what it wrote about itself."""

    def __init__(self, by: str) -> None:
        super().__init__(by)
        self.by = by


def hold(file: Path, said: str = "") -> Handle:
    """Take the lock for as long as the answer stays open; raises Held where another has it.

    file: made if missing and never removed, else two processes could lock two files of one name.
    said: what others are told, by default the process id.
    """
    handle = file.open("a+", encoding="utf-8")
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        handle.seek(0)
        by = handle.read().strip()
        handle.close()
        raise Held(by) from None
    handle.seek(0)
    handle.truncate()
    handle.write(said or f"process {os.getpid()}")
    handle.flush()
    return handle
