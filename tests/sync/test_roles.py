"""The object matrix: every kind of operation and every address, for everybody.

A kind or an address without a row here is a failing test.
"""

from __future__ import annotations

import pytest
from django.test import Client

from server.api.root import api
from server.ledger import changes
from server.ledger.models import Job, Receipt
from server.sync.kinds import KINDS
from tests import people
from tests.people import Phone
from tests.sync.cases import Cases

pytestmark = pytest.mark.django_db

# What becomes of a kind for a carer and a viewer of the dog's household. A lead's is applied.
# For anybody else there is no such thing. A carer may change what is their own, not a lead's;
# in these cases the entries are the lead's.
ROWS = {
    "dog.add": ("not_allowed", "not_allowed"),
    "dog.edit": ("not_allowed", "not_allowed"),
    "dog.pause": ("applied", "not_allowed"),
    "dog.archive": ("not_allowed", "not_allowed"),
    "weigh_in.add": ("applied", "not_allowed"),
    "weigh_in.replace": ("not_allowed", "not_allowed"),
    "weigh_in.void": ("not_allowed", "not_allowed"),
    "weigh_in.use": ("applied", "not_allowed"),
    "check.add": ("applied", "not_allowed"),
    "check.replace": ("not_allowed", "not_allowed"),
    "check.void": ("not_allowed", "not_allowed"),
    "food.add": ("not_allowed", "not_allowed"),
    "food.version": ("not_allowed", "not_allowed"),
    "food.retire": ("not_allowed", "not_allowed"),
    "plan.request": ("applied", "not_allowed"),
    "plan.accept": ("not_allowed", "not_allowed"),
    "plan.decline": ("not_allowed", "not_allowed"),
    "plan.end": ("not_allowed", "not_allowed"),
    "vet_word.add": ("not_allowed", "not_allowed"),
    "vet_word.end": ("not_allowed", "not_allowed"),
}
OUTSIDERS = ("coordinator", "stranger", "removed")


def written() -> tuple[int, int, int]:
    """Changes published, operations remembered, jobs asked for: what any write leaves behind."""
    return changes.feed().last_seq, Receipt.objects.count(), Job.objects.count()


def test_every_kind_has_a_row():
    assert set(ROWS) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_who_may_send_it(kind):
    cast = people.cast()
    cases = Cases(cast)
    carers, viewers = ROWS[kind]
    expected = {**dict.fromkeys(OUTSIDERS, "not_found"), "viewer": viewers, "carer": carers}
    # What is refused changes nothing, so the next one may try the very same.
    phones = {role: Phone(person) for role, person in cast.roles().items()}
    op = cases.op(kind, cases.lead)
    for role, outcome in expected.items():
        before = written()
        assert phones[role].send({**op, "op_id": people.new_id()}) == [outcome], role
        assert (written() == before) == (outcome != "applied"), role
    for _device in range(2):
        phone = Phone(cast.lead)
        assert phone.send(cases.op(kind, phone)) == ["applied"]


@pytest.mark.parametrize(
    "kind", ["weigh_in.replace", "weigh_in.void", "check.replace", "check.void"]
)
def test_a_carer_may_change_their_own_entries(kind):
    cast = people.cast()
    cases = Cases(cast)
    cases.lead = carer = Phone(cast.carer)
    assert carer.send(cases.op(kind, carer)) == ["applied"]


@pytest.mark.parametrize("kind", ["plan.accept", "plan.decline"])
def test_a_carer_answers_plans_where_a_lead_allows_it(kind):
    cast = people.cast()
    cases = Cases(cast)
    lead, carer = cases.lead, Phone(cast.carer)
    allow = lead.op("dog.edit", cases.dog, dog=cases.dog, data={"carer_may_accept": True})
    assert lead.send(allow) == ["applied"]
    assert carer.send(cases.op(kind, carer)) == ["applied"]


# Every address of the phone's API: what it answers to nobody, and to a stranger who names another
# household's things.
ADDRESSES = {
    ("GET", "/session"): (200, 200),
    ("POST", "/sync/push"): (401, 200),
    ("GET", "/sync/pull"): (401, 200),
    ("GET", "/sync/snapshot"): (401, 404),
}


def test_every_address_has_a_row():
    schema = api.get_openapi_schema(path_prefix="")
    there = {
        (method.upper(), path.rstrip("/"))
        for path, methods in schema["paths"].items()
        for method in methods
    }
    assert there == set(ADDRESSES)


@pytest.mark.parametrize(("method", "path"), ADDRESSES)
def test_nobody_and_a_stranger_learn_nothing(method, path):
    cast = people.cast()
    cases = Cases(cast)
    stranger = Phone(cast.stranger)
    nobody, strangers = ADDRESSES[method, path]
    for client, status in ((Client(), nobody), (stranger.client, strangers)):
        if method == "POST":
            client_answer = client.post(
                f"/api/v1{path}", _push(stranger, cases), "application/json"
            )
        else:
            client_answer = client.get(f"/api/v1{path}", {"dog": cases.dog})
        assert client_answer.status_code == status
        for secret in (cases.dog, cases.home, "Mill Lane", "Mara", "Otto"):
            assert secret not in client_answer.content.decode().replace(_own(stranger), "")


def _own(phone: Phone) -> str:
    return phone.owner.name


def _push(phone: Phone, cases: Cases) -> dict[str, object]:
    op = phone.op("weigh_in.add", dog=cases.dog, data=people.WEIGHT)
    return {
        "protocol": 1,
        "device_id": phone.device_id,
        "epoch": phone.epoch(),
        "pending": 1,
        "ops": [op],
    }


@pytest.mark.parametrize("scope", ["dog", "household"])
@pytest.mark.parametrize("role", ["lead", "carer", "viewer", *OUTSIDERS])
def test_who_may_take_a_snapshot(role, scope):
    cast = people.cast()
    cases = Cases(cast)
    named = {"dog": cases.dog, "household": cases.home}[scope]
    answer = Phone(cast.roles()[role]).client.get("/api/v1/sync/snapshot", {scope: named})
    assert answer.status_code == (404 if role in OUTSIDERS else 200)
    assert ("15200" in answer.content.decode()) == (role not in OUTSIDERS)


def test_a_pull_holds_what_is_visible_and_nothing_else():
    cast = people.cast()
    cases = Cases(cast)
    inside, outside = set(ROWS), set()
    for role, person in cast.roles().items():
        rows = Phone(person).rows()
        assert (cases.dog in rows) == (role not in OUTSIDERS), role
        (outside if role in OUTSIDERS else inside).add(role)
        others = [row for row in rows.values() if row["type"].startswith("access")]
        assert all(row["data"]["household_id"] for row in others)
    assert outside == set(OUTSIDERS)
