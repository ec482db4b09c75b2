"""What Celery calls. Each task only wakes something; the rows say what is to be done."""

from __future__ import annotations

from django.utils.timezone import now

from server.worker import run, sweeping, weekly
from server.worker.app import QUEUES, app


@app.task
def run_jobs(job_ids: list[int]) -> None:
    """Wake these jobs. Their rows say whether there is anything left to do."""
    for job_id in job_ids:
        run.run(job_id, clock=now)


@app.task
def sweep() -> None:
    """Offer again what is due and held by nobody, and tidy up."""
    sweeping.offer(now=now())
    sweeping.tidy(queues=QUEUES, now=now())


@app.task
def ask_weekly_reviews() -> None:
    """Ask for the reviews that this week still lacks."""
    weekly.ask(now=now())
