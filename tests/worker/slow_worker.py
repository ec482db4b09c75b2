"""A real worker with one more kind of work: slow enough to be killed in the middle of it.

Started as `python -m tests.worker.slow_worker NOTES`; work notes there when it starts and ends.
"""

from __future__ import annotations

import os
import sys
import time
from datetime import datetime
from pathlib import Path

from server.worker.app import app

NAP_S = 1.5


def main(notes: Path) -> None:
    app.loader.import_default_modules()  # starts Django and loads the tasks, as a worker does
    from server.worker.work import WORK

    def slowly(key: str, now: datetime) -> None:
        with notes.open("a") as file:
            file.write(f"{os.getpid()} began {key}\n")
        time.sleep(NAP_S)
        with notes.open("a") as file:
            file.write(f"{os.getpid()} ended {key}\n")

    WORK["slow"] = slowly
    app.start(["--quiet", "worker", "--loglevel", "WARNING"])


if __name__ == "__main__":
    main(Path(sys.argv[1]))
