"""What may not be lost or doubled."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    """Named by its path."""

    name = "server.ledger"
