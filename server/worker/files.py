"""Messages as files in the data folder, for a server that has no Redis.

Kombu's own transport writes a message into its final place piece by piece, so that a reader may
take it half written, and lets every message pass through the system's temporary folder. Here a
message appears whole or not at all, and stays below the data folder.
"""

from __future__ import annotations

import itertools
import os
import time
from pathlib import Path
from typing import Any

from kombu.transport import filesystem
from kombu.utils.encoding import str_to_bytes
from kombu.utils.json import dumps

_COUNTER = itertools.count()
OLD_S = 24 * 3600  # a message is only a hint: after a day the sweep has long done its work


def options(folder: Path) -> dict[str, Any]:
    """Transport options for queues below `folder`."""
    waiting = str(folder / "waiting")
    return {
        "data_folder_in": waiting,
        "data_folder_out": waiting,
        "control_folder": str(folder / "control"),
        "store_processed": True,
        "processed_folder": str(folder / "taken"),
        "polling_interval": 0.2,
    }


def make_folders(folder: Path) -> None:
    """Make what the transport expects to find."""
    for name in ("waiting", "control", "taken"):
        (folder / name).mkdir(parents=True, exist_ok=True)


def reap(folder: Path, *, now_s: float) -> int:
    """Remove messages that were taken, or that nobody took for a day. Returns how many."""
    removed = 0
    for name, age in (("taken", 0), ("waiting", OLD_S)):
        for file in (folder / name).glob("*"):
            try:
                if file.stat().st_mtime <= now_s - age:
                    file.unlink()
                    removed += 1
            except FileNotFoundError:
                continue  # taken meanwhile
    return removed


class WholeMessages(filesystem.Channel):
    """A channel whose messages appear in one step."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        make_folders(self.control_folder.parent)

    # Kombu's file channel differs from its own base class in the same way.
    def _put(  # type: ignore[override]
        self, queue: str, payload: dict[str, Any], **kwargs: Any
    ) -> None:
        folder = Path(self.data_folder_out)
        # The clock orders messages; pid and counter keep two writers apart.
        name = f"{time.time_ns():020d}_{os.getpid()}-{next(_COUNTER)}.{queue}.msg"
        partial = folder / f".{name}.partial"
        partial.write_bytes(str_to_bytes(dumps(payload)))
        partial.replace(folder / name)


class Transport(filesystem.Transport):
    """Kombu's transport by files, with whole messages."""

    Channel = WholeMessages
