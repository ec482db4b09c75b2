"""A log file that cannot fill the disk: at its cap it becomes `.1` and a new one begins."""

from __future__ import annotations

import contextlib
from pathlib import Path

CAP_BYTES = 1_000_000


class LogFile:
    """What one child process says, kept in at most two files of `cap` bytes."""

    def __init__(self, path: Path, *, cap: int = CAP_BYTES) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        self.path = path
        self.older = path.with_suffix(path.suffix + ".1")
        self.cap = cap
        self._file = path.open("ab", buffering=0)

    def write(self, said: bytes) -> None:
        """Append; a disk that is full loses the log, not the server."""
        with contextlib.suppress(OSError):
            if self._file.closed:
                self._file = self.path.open("ab", buffering=0)
            self._file.write(said)
            if self._file.tell() >= self.cap:
                self._file.close()
                self.path.replace(self.older)

    def last_lines(self, count: int) -> list[str]:
        """The newest lines, oldest of them first."""
        said = b"".join(file.read_bytes() for file in (self.older, self.path) if file.exists())
        return said[-20_000:].decode("utf-8", errors="replace").splitlines()[-count:]

    def close(self) -> None:
        """No more is written."""
        self._file.close()
