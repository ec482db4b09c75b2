"""The bell: tells a worker that job rows are due. A bell that is not heard loses nothing."""

from __future__ import annotations

import logging
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from server.worker.app import app

RUN_JOBS = "server.worker.tasks.run_jobs"  # by name: who rings need not load the science
QUIET_S = 10.0  # after a failure: a request must not wait for a dead broker once per entry

log = logging.getLogger(__name__)
_quiet_until = 0.0


def on_asked(*, job_id: int, **_: Any) -> None:
    """Ring for one job; hears the ledger's signal once the row is on disk."""
    ring([job_id])


def ring(job_ids: list[int], *, expires_s: float | None = None) -> bool:
    """Tell a worker about these jobs. False: nobody was told, the next sweep will find them."""
    global _quiet_until
    if not job_ids or time.monotonic() < _quiet_until:
        return False
    try:
        app.send_task(RUN_JOBS, args=[job_ids], retry=False, expires=expires_s)
    except Exception as error:  # whatever a broker throws: the entry is safe and must be answered
        _quiet_until = time.monotonic() + QUIET_S
        log.warning("No bell for %d jobs, the sweep will find them: %s", len(job_ids), error)
        return False
    return True


@contextmanager
def silent() -> Iterator[None]:
    """Ring nobody meanwhile: whoever asks does the work itself."""
    global _quiet_until
    before, _quiet_until = _quiet_until, float("inf")
    try:
        yield
    finally:
        _quiet_until = before
