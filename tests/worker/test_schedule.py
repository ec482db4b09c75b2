"""Settings on which it depends that no job is lost and no clock runs twice."""

from __future__ import annotations

import pytest

from server.worker import beat, lock, tasks
from server.worker.app import app


def test_every_scheduled_task_exists_and_expires_before_it_heaps_up():
    assert {"sweep", "weekly reviews"} == set(app.conf.beat_schedule)
    for entry in app.conf.beat_schedule.values():
        assert entry["task"] in app.tasks
        assert 0 < entry["options"]["expires"] <= entry["schedule"].total_seconds()
    assert app.conf.beat_schedule["sweep"]["schedule"].total_seconds() == 60


def test_messages_are_acknowledged_late_and_results_kept_nowhere():
    for name in ("run_jobs", "sweep", "ask_weekly_reviews"):
        task = getattr(tasks, name)
        assert task.acks_late
        assert task.reject_on_worker_lost
        assert task.ignore_result
    assert app.conf.worker_prefetch_multiplier == 1
    assert app.conf.timezone == "UTC"
    assert app.conf.result_backend is None


def test_a_second_beat_on_one_data_folder_does_not_start(tmp_path, monkeypatch):
    monkeypatch.setattr(beat, "LOCK", tmp_path / "beat.lock")
    with (
        lock.hold(tmp_path / "beat.lock", "process 17"),
        pytest.raises(SystemExit, match="process 17"),
    ):
        beat.OneScheduler(app, schedule_filename=str(tmp_path / "schedule"))
    assert not list(tmp_path.glob("schedule*"))
    first = beat.OneScheduler(app, schedule_filename=str(tmp_path / "schedule"))
    assert set(first.schedule) >= {"sweep", "weekly reviews"}
    first.close()
    lock.hold(tmp_path / "beat.lock").close()
