"""Pull and snapshot: every change once, in order, whatever the clock or the page size."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from server.households import actions
from server.households.models import Membership
from server.ledger import changes
from server.ledger.models import Change, Feed, PhoneReport
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db
MOST_QUERIES = 5  # of an empty pull: session, person, report, counter, changes
MOST_BYTES = 512 * 1024


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


@pytest.fixture
def dog(mara, cast):
    return people.add_dog(mara, cast.home)


def walk(phone: Phone, limit: int) -> list[dict]:
    rows, cursor, more = [], "0", True
    while more:
        page = phone.pull(cursor, limit=limit)
        assert len(page["changes"]) <= limit
        assert int(page["cursor"]) > int(cursor) or not page["more"]  # else this would never end
        rows += page["changes"]
        cursor, more = page["cursor"], page["more"]
    return rows


@pytest.mark.parametrize("limit", [1, 2, 7, 500])
def test_any_page_size_gives_the_same_rows(mara, dog, limit):
    for _ in range(5):
        people.add_weigh_in(mara, dog)
    rows = walk(mara, limit)
    assert rows == mara.pull()["changes"]
    seqs = [row["seq"] for row in rows]
    assert seqs == sorted(set(seqs))


def test_a_pull_depends_on_person_and_cursor_alone(mara, dog):
    people.add_weigh_in(mara, dog)
    pages = [mara.pull("3"), Phone(mara.owner).pull("3"), mara.pull("3")]
    for page in pages:
        page.pop("server_time")
    assert pages[0] == pages[1] == pages[2]


def test_pull_is_not_time(mara, dog, monkeypatch):
    # Nozbe/WatermelonDB#1219, Nozbe/WatermelonDB#649: our clock jumps back an hour.
    first = people.add_weigh_in(mara, dog)
    cursor = mara.pull()["cursor"]
    back = timezone.now() - timedelta(hours=1)
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert mara.send(op, now=back) == ["applied"]
    monkeypatch.setattr(timezone, "now", lambda: back)
    page = mara.pull(cursor)
    assert [row["id"] for row in page["changes"]] == [op["entity_id"]]
    assert mara.pull(page["cursor"])["changes"] == []
    assert first in mara.rows()


def test_history_compacts_itself(mara, dog):
    for name in ("One", "Two", "Three"):
        mara.send(mara.op("dog.edit", dog, dog=dog, data={"name": name}))
    rows = [row for row in mara.pull()["changes"] if row["id"] == dog]
    assert [(row["version"], row["data"]["name"]) for row in rows] == [(4, "Three")]


def test_a_change_says_what_the_contract_says(mara, dog):
    weigh_in = people.add_weigh_in(mara, dog, data={"note": "after a walk"})
    row = mara.rows()[weigh_in]
    assert set(row) == {"seq", "type", "id", "dog_id", "version", "deleted", "data"}
    assert (row["type"], row["dog_id"], row["deleted"]) == ("weigh_in", dog, False)
    assert set(row["data"]) == {
        "weight_g",
        "scale",
        "note",
        "method",
        "measured_at",
        "local_date",
        "tz",
        "by",
        "received_at",
        "replaces",
        "replaced_by",
        "voided",
        "void_reason",
        "use",
        "flagged_future",
    }
    assert row["data"]["by"] == {"id": str(mara.owner.pk), "name": "Mara Lindqvist"}


def test_nobody_gets_an_address_of_another_person(mara, cast, dog):
    assert "@" not in json.dumps(Phone(cast.carer).pull())


def test_a_tombstone_has_no_data(mara, cast):
    gone = people.new_id()
    with transaction.atomic():
        facts = {"kind": "food", "entity_id": gone, "household_id": cast.home.pk}
        changes.publish(**facts, data={"name": "secret"})
        changes.publish(**facts, data={"name": "secret"}, deleted=True)
    row = mara.rows()[gone]
    assert (row["deleted"], row["data"], row["version"]) == (True, {}, 2)


@pytest.mark.parametrize("limit", ["0", "-1", "501", "x", ""])
def test_a_limit_out_of_range_is_a_clear_no(mara, limit):
    answer = mara.client.get("/api/v1/sync/pull", {"limit": limit})
    assert answer.status_code == 422
    assert answer.json()["field"] == "limit"
    assert answer.headers["X-Sync"] == "1"


@pytest.mark.parametrize("cursor", ["-1", str(2**63), "1e3", "abc"])
def test_a_cursor_that_is_none_is_a_clear_no(mara, cursor):
    answer = mara.client.get("/api/v1/sync/pull", {"cursor": cursor})
    assert (answer.status_code, answer.json()["field"]) == (422, "cursor")


def test_an_answer_stays_below_its_size(mara, cast):
    with transaction.atomic():
        for _ in range(12):
            changes.publish(
                kind="food",
                entity_id=people.new_id(),
                household_id=cast.home.pk,
                data={"name": "é" * 60_000},  # 120,000 bytes, or 360,000 as escapes
            )
    rows, cursor, more, pages = [], "0", True, 0
    while more:
        answer = mara.client.get("/api/v1/sync/pull", {"cursor": cursor})
        assert len(answer.content) <= MOST_BYTES
        page = answer.json()
        rows += page["changes"]
        cursor, more, pages = page["cursor"], page["more"], pages + 1
    assert pages > 2
    assert sum(row["type"] == "food" for row in rows) == 12


def test_one_row_beyond_the_size_still_comes(mara, cast):
    with transaction.atomic():
        changes.publish(
            kind="food",
            entity_id=people.new_id(),
            household_id=cast.home.pk,
            data={"name": "x" * 600_000},
        )
    assert [row["type"] for row in walk(mara, 500)].count("food") == 1


def test_an_empty_pull_is_cheap(mara, dog):
    cursor = mara.pull(device_id=mara.device_id, pending=0)["cursor"]
    mara.pull(cursor, device_id=mara.device_id, pending=0)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        page = mara.pull(cursor, device_id=mara.device_id, pending=0)
    assert page["changes"] == []
    assert len(queries) <= MOST_QUERIES, [query["sql"] for query in queries]


def test_a_cursor_ahead_of_the_server_tells_of_a_restore(mara, dog):
    cursor = mara.pull()["cursor"]
    answer = mara.client.get("/api/v1/sync/pull", {"cursor": int(cursor) + 1})
    assert (answer.status_code, answer.json()["code"]) == (409, "epoch")
    assert answer.json()["epoch"] == mara.epoch()


def test_empty_server(mara, dog, cast):
    # laurent22/joplin#661, laurent22/joplin#11295, HarperFast/harper#2451,
    # Gusto/baerly-storage#73: after a restore nothing is told as deleted, and the journal that the
    # phone sends again brings back what the backup did not have.
    ops = [mara.op("weigh_in.add", dog=dog, data=people.WEIGHT) for _ in range(3)]
    mara.send(*ops)
    counter, cursor = Feed.objects.get(), mara.pull()["cursor"]
    Change.objects.filter(kind="weigh_in").delete()
    for model in ("records.WeighIn", "ledger.Receipt"):
        from django.apps import apps

        apps.get_model(model).objects.all().delete()
    Feed.objects.update(last_seq=counter.last_seq - 3, epoch=people.new_id())
    assert mara.client.get("/api/v1/sync/pull", {"cursor": cursor}).status_code == 409
    assert not any(row["deleted"] for row in mara.rows().values())
    assert mara.push(*ops, epoch=str(counter.epoch)).status_code == 409
    assert mara.send(*ops) == ["applied"] * 3
    assert {op["entity_id"] for op in ops} <= set(mara.rows())


# -- access ----------------------------------------------------------------------------------------


def test_a_household_given_later_comes_with_word_of_it(cast, mara, dog):
    tess = Phone(cast.stranger)
    cursor = tess.pull()["cursor"]
    actions.admit(household=cast.home, person=cast.stranger, role="carer", now=timezone.now())
    page = tess.pull(cursor)
    granted = [row for row in page["changes"] if row["type"] == "access.granted"]
    assert [row["data"] for row in granted] == [
        {
            "household_id": str(cast.home.pk),
            "name": "Mill Lane",
            "kind": "home",
            "role": "carer",
        }
    ]
    rows = snapshot(tess, household=str(cast.home.pk))
    assert {"dog", "household"} <= {row["type"] for row in rows}


def snapshot(phone: Phone, **scope: str) -> list[dict]:
    rows, page = [], "0"
    while page is not None:
        answer = phone.client.get("/api/v1/sync/snapshot", {**scope, "page": page})
        assert answer.status_code == 200
        body = answer.json()
        rows += body["changes"]
        page = body["page"]
        assert body["more"] == (page is not None)
    return rows


@pytest.fixture
def short_pages(monkeypatch):
    monkeypatch.setattr("server.sync.feed.MOST_ROWS", 3)


def test_a_snapshot_of_a_dog_is_about_that_dog(mara, cast, dog, short_pages):
    other = people.add_dog(mara, cast.home)
    entries = {people.add_weigh_in(mara, dog) for _ in range(5)}
    people.add_weigh_in(mara, other)
    rows = snapshot(mara, dog=dog)
    assert {row["id"] for row in rows} == {dog, *entries}


def test_a_snapshot_of_everything_leads_into_a_pull(mara, cast, dog, short_pages):
    entries = {people.add_weigh_in(mara, dog) for _ in range(5)}
    answer = mara.client.get("/api/v1/sync/snapshot").json()
    later = people.add_weigh_in(mara, dog)
    rows = snapshot(mara)
    assert entries <= {row["id"] for row in rows}
    assert later in {row["id"] for row in mara.pull(answer["cursor"])["changes"]}


def test_a_row_that_changes_between_pages_is_not_skipped(mara, dog, short_pages):
    entries = [people.add_weigh_in(mara, dog) for _ in range(6)]
    first = mara.client.get("/api/v1/sync/snapshot", {"dog": dog}).json()
    mara.send(mara.op("weigh_in.void", entries[0], dog=dog))
    seen = {row["id"] for row in first["changes"]}
    page = first["page"]
    while page:
        body = mara.client.get("/api/v1/sync/snapshot", {"dog": dog, "page": page}).json()
        seen |= {row["id"] for row in body["changes"]}
        page = body["page"]
    assert set(entries) <= seen


@pytest.mark.parametrize("scope", [{"dog": people.new_id()}, {"household": people.new_id()}])
def test_a_snapshot_of_what_is_not_there(mara, scope):
    answer = mara.client.get("/api/v1/sync/snapshot", scope)
    assert (answer.status_code, answer.json()["code"]) == (404, "not_found")


# -- C10: a phone that comes back empty ------------------------------------------------------------


def test_a_phone_that_comes_back_empty_is_told_what_it_may_have_lost(mara, dog):
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert mara.push(op, pending=4).status_code == 200
    for _ in range(2):  # a lost answer does not hide the loss
        page = mara.pull(device_id=mara.device_id, pending=0)
        assert page["lost"] == 3
    seen = PhoneReport.objects.get().seen_at
    assert page["lost_at"] == seen.isoformat()
    assert "lost" not in mara.pull(page["cursor"], device_id=mara.device_id, pending=0)
    assert "lost" not in mara.pull(device_id=mara.device_id, pending=0)


def test_a_phone_that_had_sent_everything_lost_nothing(mara, dog):
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert mara.push(op, pending=1).status_code == 200
    assert "lost" not in mara.pull(device_id=mara.device_id, pending=0)


def test_a_phone_that_starts_over_with_its_entries_lost_nothing(mara, dog):
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert mara.push(op, pending=4).status_code == 200
    assert "lost" not in mara.pull(device_id=mara.device_id, pending=3)


def test_another_phone_of_the_person_is_told_nothing(mara, dog):
    op = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert mara.push(op, pending=4).status_code == 200
    assert "lost" not in mara.pull(device_id="f" * 32, pending=0)


def test_a_role_that_changes_is_told(cast):
    noor = Phone(cast.viewer)
    cursor = noor.pull()["cursor"]
    actions.admit(household=cast.home, person=cast.viewer, role="lead", now=timezone.now())
    rows = {row["type"]: row["data"] for row in noor.pull(cursor)["changes"]}
    assert rows["access.granted"]["role"] == "lead"
    assert Membership.objects.filter(person=cast.viewer).count() == 1
