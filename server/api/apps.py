"""The app that answers phones."""

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """No models of its own."""

    name = "server.api"
