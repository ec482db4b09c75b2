"""A lock lasts as long as its process, not longer."""

from __future__ import annotations

import pytest

from server.worker import lock


def test_a_second_holder_is_told_who_holds_it(tmp_path):
    with (
        lock.hold(tmp_path / "one.lock", "process 17"),
        pytest.raises(lock.Held, match="process 17"),
    ):
        lock.hold(tmp_path / "one.lock")


def test_closing_opens_it(tmp_path):
    lock.hold(tmp_path / "one.lock").close()
    with lock.hold(tmp_path / "one.lock", "the next") as held:
        held.seek(0)
        assert held.read() == "the next"


def test_a_file_left_by_a_dead_process_is_no_lock(tmp_path):
    (tmp_path / "one.lock").write_text("process 99999")
    with lock.hold(tmp_path / "one.lock") as held:
        assert not held.closed
