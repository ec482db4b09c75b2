"""Signing up, in and out through the headless accounts API, as the phone does it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client

from server.households.models import Membership, Person

pytestmark = pytest.mark.django_db

SIGN_UP = "/api/auth/browser/v1/auth/signup"
SIGN_IN = "/api/auth/browser/v1/auth/login"
SESSION = "/api/auth/browser/v1/auth/session"
WHO = "/api/v1/session"
MARA = {
    "name": "Mara Lindqvist",
    "email": "mara@example.org",
    "password": "seven grey stones",
    "tz": "Europe/Stockholm",
}


@pytest.fixture
def phone() -> Client:
    return Client(enforce_csrf_checks=True)


def send(phone: Client, method: str, url: str, body: dict[str, Any] | None = None) -> Any:
    token = phone.get(WHO).json()["csrf"]
    return phone.generic(
        method,
        url,
        data=json.dumps(body or {}),
        content_type="application/json",
        headers={"X-CSRFToken": token},
    )


def test_a_new_person_leads_a_household_of_their_own(phone):
    answer = send(phone, "POST", SIGN_UP, MARA)
    assert answer.status_code == 200, answer.content
    who = phone.get(WHO).json()
    assert who["user"]["name"] == "Mara Lindqvist"
    assert [(h["kind"], h["role"]) for h in who["households"]] == [("home", "lead")]
    assert Person.objects.get().tz == "Europe/Stockholm"


def test_an_unknown_zone_does_not_refuse_a_person(phone):
    assert send(phone, "POST", SIGN_UP, MARA | {"tz": "Moon/Rim"}).status_code == 200
    assert Person.objects.get().tz == "UTC"


@pytest.mark.parametrize(
    ("change", "param"),
    [
        ({"password": "short"}, "password"),
        ({"password": "qwerty123456"}, "password"),
        ({"email": "no address"}, "email"),
        ({"name": ""}, "name"),
        ({"name": "x" * 81}, "name"),
    ],
)
def test_a_refused_field_is_named_and_nothing_is_kept(phone, change, param):
    answer = send(phone, "POST", SIGN_UP, MARA | change)
    assert answer.status_code == 400
    assert param in [error["param"] for error in answer.json()["errors"]]
    assert not Person.objects.exists()
    assert not Membership.objects.exists()


def test_out_and_in_again(phone):
    send(phone, "POST", SIGN_UP, MARA)
    assert send(phone, "DELETE", SESSION).status_code == 401  # signed out, by that API's design
    assert phone.get(WHO).json()["user"] is None
    wrong = send(phone, "POST", SIGN_IN, {"email": MARA["email"], "password": "not my password"})
    assert wrong.status_code == 400
    right = send(
        phone, "POST", SIGN_IN, {"email": "MARA@example.org", "password": MARA["password"]}
    )
    assert right.status_code == 200
    assert phone.get(WHO).json()["user"]["email"] == "mara@example.org"


def test_a_write_without_the_token_is_refused_as_csrf(phone):
    answer = phone.post(SIGN_UP, data=MARA, content_type="application/json")
    assert answer.status_code == 403
    assert answer.json()["code"] == "csrf"
    assert not Person.objects.exists()


def test_the_phone_keeps_its_name_for_itself(phone):
    first, second = phone.get(WHO), phone.get(WHO)
    assert first.json()["device_id"] == second.json()["device_id"]
    assert first["Cache-Control"] == "no-store"
