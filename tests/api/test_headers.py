"""Every answer carries the content policy; what is private is never cached."""

from __future__ import annotations

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
