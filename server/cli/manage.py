"""Django's own commands: `python -m server migrate` stands in for manage.py."""

from __future__ import annotations

import os


def run(argv: list[str]) -> int:
    """Run one of Django's commands with this project's settings."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.settings")
    from django.core.management import execute_from_command_line  # reads the name just set

    execute_from_command_line(["python -m server", *argv])
    return 0
