"""The Celery app: brokers, what is safe to lose, and the schedule.

A message is only a hint that a job row is due; every setting here may lose one and no job is lost.
"""

from __future__ import annotations

import os
from datetime import timedelta

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.settings")

from django.conf import settings

from server.worker import files

EMBEDDED = not settings.BROKER_URL.startswith("redis")  # one machine, one data folder
QUEUES = settings.DATA / "queue"
SWEEP_S = 60.0
LONGEST_TASK_S = 15 * 60  # a heap of weekly reviews

app = Celery("tuckline")
app.conf.update(
    imports=[
        "server.worker.tasks",
        "server.worker.heartbeat",
        "server.worker.pool",
        "server.worker.arrival",
    ],
    timezone="UTC",
    enable_utc=True,
    task_ignore_result=True,
    task_time_limit=LONGEST_TASK_S,
    result_backend=None,
    task_default_queue="jobs",
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    worker_enable_remote_control=False,
    worker_send_task_events=False,
    worker_hijack_root_logger=False,
    worker_cancel_long_running_tasks_on_connection_loss=False,
    broker_connection_retry_on_startup=True,
    broker_connection_max_retries=None,  # a broker that comes back finds us waiting
    broker_connection_timeout=2,
    beat_enable_remote_control=False,
    beat_scheduler="server.worker.beat:OneScheduler",
    beat_schedule_filename=str(settings.DATA / "schedule"),
    beat_schedule={
        # A sweep that waited too long is no use: the next one sees the same rows.
        "sweep": {
            "task": "server.worker.tasks.sweep",
            "schedule": timedelta(seconds=SWEEP_S),
            "options": {"expires": SWEEP_S},
        },
        "weekly reviews": {
            "task": "server.worker.tasks.ask_weekly_reviews",
            "schedule": timedelta(minutes=20),
            "options": {"expires": 600},
        },
    },
)
if not EMBEDDED:
    app.conf.update(
        broker_url=settings.BROKER_URL,
        worker_pool="prefork",
        broker_transport_options={
            # Above the longest task, else Redis hands out what is still being worked on.
            "visibility_timeout": LONGEST_TASK_S * 2,
            "unacked_restore_interval": 2,
            "unacked_restore_throttle": 1,
            "socket_connect_timeout": 2,
            "socket_timeout": 5,
            "socket_keepalive": True,
        },
    )
else:
    app.conf.update(
        broker_url="filesystem://localhost",  # the host is for the eye
        broker_transport="server.worker.files:Transport",
        broker_transport_options=files.options(QUEUES),
        worker_pool="solo",
    )
