"""The app's shell: one anonymous page, its service worker and its manifest."""

from __future__ import annotations

import hashlib
import json

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from server.api.lean import lean_js
from server.api.root import not_found
from server.api.static import precache

WORKER_FILE = settings.ROOT / "frontend" / "sw.js"


def _fresh(response: HttpResponse) -> HttpResponse:
    response.headers["Cache-Control"] = "no-cache"
    return response


@require_safe
@gzip_page
def index(request: HttpRequest) -> HttpResponse:
    """The shell, the same bytes for everyone: who is signed in is asked by the app."""
    return _fresh(render(request, "index.html"))


@require_safe
@gzip_page
def service_worker(request: HttpRequest) -> HttpResponse:
    """The worker with the list of what it keeps; its version changes with any of it."""
    urls, version = precache()
    shell = hashlib.sha256(render_to_string("index.html").encode()).hexdigest()[:8]
    text = WORKER_FILE.read_text(encoding="utf-8")
    text = text.replace("/*PRECACHE*/[]", json.dumps(urls))
    text = text.replace('/*VERSION*/""', json.dumps(f"{version}-{shell}"))
    text = lean_js(text)
    return _fresh(HttpResponse(text, content_type="text/javascript; charset=utf-8"))


@require_safe
@gzip_page
def manifest(request: HttpRequest) -> HttpResponse:
    """What makes the app installable."""
    return _fresh(render(request, "manifest.webmanifest", content_type="application/manifest+json"))


@require_safe
def reset_app(request: HttpRequest) -> HttpResponse:
    """A page that removes the worker and its caches; unsent entries stay on the phone."""
    return _fresh(render(request, "reset.html"))


@require_safe
def anywhere(request: HttpRequest) -> HttpResponse:
    """Any other address a person may have typed leads to the app; anything else is not there."""
    if "text/html" in request.headers.get("Accept", ""):
        return HttpResponseRedirect("/")
    return not_found(request)
