"""Every answer carries the content policy; what is private is never cached."""

from __future__ import annotations

import gzip
import re

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db

ADDRESSES = ["/", "/sw.js", "/manifest.webmanifest", "/healthz", "/readyz", "/reset-app"]
ADDRESSES += ["/api/v1/session", "/api/v1/nothing", "/static/nothing.js", "/nothing"]


@pytest.mark.parametrize("address", ADDRESSES)
def test_the_policy_is_on_every_answer(address, settings):
    answer = Client().get(address)
    policy = answer["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "require-trusted-types-for 'script'" in policy
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_a_missing_file_is_not_the_shell():
    answer = Client().get("/static/app.0000.js", headers={"Accept": "text/html"})
    assert answer.status_code == 404
    assert answer["Content-Type"] == "application/json"


def test_an_address_typed_by_a_person_leads_to_the_app():
    answer = Client().get("/dogs", headers={"Accept": "text/html"})
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert Client().get("/dogs").status_code == 404


def test_ready_only_with_a_live_worker():
    assert Client().get("/healthz").status_code == 200
    answer = Client().get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["missing"] == "worker"


@pytest.mark.parametrize("address", ["/", "/sw.js", "/manifest.webmanifest"])
def test_the_shell_is_compressed_for_whoever_can_read_it(address):
    plain = Client().get(address)
    small = Client().get(address, headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in plain
    assert small["Content-Encoding"] == "gzip"
    assert gzip.decompress(small.content) == plain.content
    assert "Accept-Encoding" in small["Vary"]


def test_the_worker_keeps_its_list_and_loses_its_comments():
    text = Client().get("/sw.js").content.decode()
    assert "const PRECACHE = [" in text
    assert 'const VERSION = "uncollected-' in text
    assert "/*PRECACHE*/" not in text
    assert not re.search(r"^\s*//", text, re.MULTILINE)
