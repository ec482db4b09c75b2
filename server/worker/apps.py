"""The background work. No models of its own: a job is a row of the ledger."""

from __future__ import annotations

from django.apps import AppConfig


class WorkerConfig(AppConfig):
    """Listens for jobs that are asked for."""

    name = "server.worker"

    def ready(self) -> None:
        """From now on a job that is asked for rings the worker's bell."""
        # Both reach models, which may be imported only now.
        from server.ledger import jobs
        from server.worker import bell

        jobs.asked.connect(bell.on_asked, dispatch_uid="server.worker.bell")
