"""What people saw."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """Named by its path."""

    name = "server.records"
