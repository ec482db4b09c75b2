"""People, households and dogs."""

from django.apps import AppConfig


class HouseholdsConfig(AppConfig):
    """Named by its path."""

    name = "server.households"
