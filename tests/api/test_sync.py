"""What phones are answered around the operations: sizes, versions, sign-in, restores."""

from __future__ import annotations

import json

import pytest
from django.test import Client

from server.ledger.models import Change, PhoneReport
from server.sync.body import MOST_BYTES, MOST_OPS
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db

PUSH = "/api/v1/sync/push"


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


@pytest.fixture
def dog(mara, cast):
    return people.add_dog(mara, cast.home)


@pytest.fixture
def op(mara, dog):
    return mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)


def code(answer) -> tuple[int, str]:
    assert answer.headers["X-Sync"] == "1"
    assert answer.headers["Content-Type"].startswith("application/json")
    assert answer.headers["Cache-Control"] == "no-store"
    body = answer.json()
    assert body["text"]
    return answer.status_code, body["code"]


def test_an_answer_says_what_the_contract_says(cast, mara, op):
    answer = mara.push(op)
    assert answer.headers["X-Sync"] == "1"
    body = answer.json()
    assert set(body) == {"account", "epoch", "server_time", "results"}
    assert body["account"] == str(cast.lead.pk)
    assert body["epoch"] == mara.epoch()
    pull = mara.pull()
    assert set(pull) == {"account", "epoch", "server_time", "cursor", "more", "changes"}
    assert isinstance(pull["cursor"], str)


def test_as_many_as_allowed_are_taken(mara, dog):
    ops = [mara.op("weigh_in.add", dog=dog, data=people.WEIGHT) for _ in range(MOST_OPS)]
    assert {result["status"] for result in mara.results(*ops)} == {"applied"}


def test_more_operations_than_allowed(mara, op):
    assert code(mara.push(*[op] * (MOST_OPS + 1))) == (413, "too_large")


@pytest.mark.parametrize("size", [MOST_BYTES + 1, 3 * 1024 * 1024])
def test_more_bytes_than_allowed(mara, op, size):
    assert code(mara.post(json.dumps({"ops": [op], "filler": "x" * size}))) == (413, "too_large")


def test_a_push_of_nothing_is_fine(mara):
    assert mara.push().json()["results"] == []


def test_an_app_that_is_too_old(mara, op):
    assert code(mara.push(op, protocol=0)) == (426, "app_too_old")
    assert not Change.objects.filter(kind="weigh_in").exists()


def test_a_newer_app_may_say_more(mara, op):
    assert mara.push(op, protocol=2, battery="low").status_code == 200


def test_a_server_that_was_put_back(mara, op):
    answer = mara.push(op, epoch=people.new_id())
    assert code(answer) == (409, "epoch")
    assert answer.json()["epoch"] == mara.epoch()
    assert not Change.objects.filter(kind="weigh_in").exists()


@pytest.mark.parametrize(
    ("envelope", "field"),
    [
        ({"protocol": None}, "protocol"),
        ({"protocol": True}, "protocol"),
        ({"device_id": ""}, "device_id"),
        ({"device_id": "x" * 65}, "device_id"),
        ({"device_id": 7}, "device_id"),
        ({"epoch": "now"}, "epoch"),
        ({"epoch": None}, "epoch"),
        ({"pending": -1}, "pending"),
        ({"pending": float("nan")}, "pending"),
        ({"ops": {}}, "ops"),
        ({"ops": None}, "ops"),
    ],
)
def test_an_envelope_that_is_wrong_names_the_field(mara, op, envelope, field):
    answer = mara.push(op, **envelope)
    assert code(answer) == (400, "bad_request")
    assert answer.json()["field"] == field
    assert field in answer.json()["text"]


@pytest.mark.parametrize(
    "body",
    [
        b" ",
        b"{",
        b"null",
        b"[]",
        b"\xff\xfe",
        b"[" * 50_000,
        b'{"ops": [' + b"9" * 5_000 + b"]}",
        b"<html>a captive portal</html>",
    ],
)
def test_a_body_that_is_no_push(mara, body):
    assert code(mara.post(body)) == (400, "bad_request")


def test_a_form_is_no_push(mara, op):
    answer = mara.post(json.dumps({"ops": [op]}), "text/plain")
    assert code(answer) == (415, "bad_request")


@pytest.mark.parametrize(
    ("method", "path"),
    [("post", PUSH), ("get", "/api/v1/sync/pull"), ("get", "/api/v1/sync/snapshot")],
)
def test_nobody_is_asked_to_sign_in(method, path):
    assert code(getattr(Client(), method)(path)) == (401, "signed_out")


def test_a_push_without_the_token_is_refused(mara, op):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(mara.owner)
    session = strict.get("/api/v1/session").json()
    body = json.dumps(
        {"protocol": 1, "device_id": "d", "epoch": session["epoch"], "pending": 1, "ops": [op]}
    )
    kind = "application/json"
    assert code(strict.post(PUSH, body, kind)) == (403, "csrf")
    assert not Change.objects.filter(kind="weigh_in").exists()
    with_token = strict.post(PUSH, body, kind, headers={"X-CSRFToken": session["csrf"]})
    assert with_token.status_code == 200


def test_what_is_sent_is_never_an_address(mara):
    assert mara.client.get(PUSH).status_code == 405
    assert mara.client.post("/api/v1/sync/pull").status_code == 405


def test_a_phone_reports_what_it_still_holds(mara, op):
    mara.push(op, pending=5)
    assert PhoneReport.objects.get().pending == 4
    mara.pull("1", device_id=mara.device_id, pending=2)
    assert PhoneReport.objects.get().pending == 2


def test_data_nested_too_deeply_is_one_refused_operation(mara, op):
    for depth in (100, 500, 900, 970):
        deep = '{"a":' * depth + "1" + "}" * depth
        body = json.dumps(
            {"protocol": 1, "device_id": "d", "epoch": mara.epoch(), "pending": 1, "ops": ["OP"]}
        )
        sent = json.dumps({**op, "op_id": people.new_id(), "data": "DEEP"}).replace('"DEEP"', deep)
        answer = mara.post(body.replace('"OP"', sent))
        assert answer.status_code in (200, 400)
        if answer.status_code == 200:
            assert answer.json()["results"][0]["code"] == "bad_op"


@pytest.mark.parametrize("device_id", ["\x00", "a b", "é", "x" * 65])
def test_an_odd_name_of_a_phone(mara, device_id):
    answer = mara.client.get("/api/v1/sync/pull", {"device_id": device_id, "pending": 1})
    assert (answer.status_code, answer.json()["field"]) == (422, "device_id")
    mara.client.cookies["tuckline_device"] = "a b"
    assert "lost" not in mara.pull(pending=0)


def test_the_cookie_names_a_phone_that_does_not(mara, op):
    mara.client.cookies["tuckline_device"] = mara.device_id
    mara.push(op, pending=5)
    assert mara.pull(pending=0)["lost"] == 4
