"""What every test gets: quick password hashing, a folder of its own, no network."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.conf import settings

from server.worker import files
from server.worker.app import EMBEDDED, app


@pytest.fixture(scope="session", autouse=True)
def a_folder_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Settings for tests: nothing is read from or written to the user's data folder."""
    data = tmp_path_factory.mktemp("data")
    (data / "static").mkdir()
    patch = pytest.MonkeyPatch()
    patch.setattr(settings, "DATA", data)
    patch.setattr(settings, "STATIC_ROOT", data / "static")
    patch.setattr(settings, "PASSWORD_HASHERS", ["django.contrib.auth.hashers.MD5PasswordHasher"])
    patch.setitem(
        settings.STORAGES,
        "staticfiles",
        {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    )
    if EMBEDDED:
        app.conf.broker_transport_options = files.options(data / "queue")
    yield
    patch.undo()
