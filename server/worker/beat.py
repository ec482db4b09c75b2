"""The schedule's clock, of which there may be only one per data folder."""

from __future__ import annotations

import sys
from typing import Any

from celery.beat import PersistentScheduler
from django.conf import settings

from server.worker import lock

LOCK = settings.DATA / "beat.lock"


class OneScheduler(PersistentScheduler):
    """Celery's scheduler, which does not start where another one runs on the same folder."""

    _lock: lock.Handle | None = None

    def setup_schedule(self) -> None:
        """Take the lock before touching the schedule's file; leave where it is taken."""
        try:
            self._lock = lock.hold(LOCK)
        except lock.Held as held:
            sys.exit(f"Another beat runs on this data folder already ({held.by}).")
        super().setup_schedule()

    def close(self, *args: Any, **kwargs: Any) -> None:
        """Close the file, then open the lock."""
        super().close(*args, **kwargs)
        if self._lock is not None:
            self._lock.close()
            self._lock = None
