"""How writers go together: one action in one transaction, and one writer after the other.

Writers of one process take turns where the database has a single writer anyway.

SQLite lets a second writer wait by sleeping ever longer and looking again. Nobody queues, so with
many threads one of them may sleep past its time-out while others slip in before it. A lock of the
process wakes the next one at once; what is left to SQLite is the contest between processes.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import ParamSpec, TypeVar

from django.db import connection, transaction

P = ParamSpec("P")
R = TypeVar("R")

_writing = threading.Lock()


@contextmanager
def in_turn() -> Iterator[None]:
    """Wait for the other writers of this process, where the database would make them wait."""
    if connection.vendor != "sqlite":
        yield
        return
    with _writing:
        yield


def together(action: Callable[P, R]) -> Callable[P, R]:
    """Run an action in a transaction, or as a part of the one that is open.

    Without a savepoint of its own: an action that raises undoes what it is a part of, never only
    itself, so nobody can catch its error and keep half of it.
    """

    @wraps(action)
    def whole(*args: P.args, **kwargs: P.kwargs) -> R:
        with transaction.atomic(savepoint=False):
            return action(*args, **kwargs)

    return whole
