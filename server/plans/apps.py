"""What we advise."""

from django.apps import AppConfig


class PlansConfig(AppConfig):
    """Named by its path."""

    name = "server.plans"
