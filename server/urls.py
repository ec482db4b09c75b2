"""Every address the server answers."""

from __future__ import annotations

from django.urls import include, path, re_path

from server.api import health, shell
from server.api.root import api

urlpatterns = [
    path("", shell.index),
    path("sw.js", shell.service_worker),
    path("manifest.webmanifest", shell.manifest),
    path("reset-app", shell.reset_app),
    path("healthz", health.alive),
    path("readyz", health.ready),
    path("api/auth/", include("allauth.headless.urls")),
    path("api/v1/", api.urls),
    re_path(r"^(?!api/|static/).*$", shell.anywhere),
]
handler404 = "server.api.root.not_found"
handler500 = "server.api.root.broken"
