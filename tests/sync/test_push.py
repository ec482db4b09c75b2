"""Each operation takes effect once, whatever the network, the clock or its neighbours do."""

from __future__ import annotations

import logging
from datetime import UTC, datetime, timedelta

import pytest
from django.db import OperationalError, connection
from django.utils import timezone

from server.households.models import Dog, DogFieldWrite, Membership
from server.ledger.models import Change, Receipt
from server.plans.models import Food
from server.records.models import WeighIn
from server.sync import kinds
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


@pytest.fixture
def dog(mara, cast):
    return people.add_dog(mara, cast.home)


def weigh_ins(phone: Phone, dog: str, count: int) -> list[dict]:
    return [
        phone.op("weigh_in.add", dog=dog, data={**people.WEIGHT, "weight_g": 15_000 + n})
        for n in range(count)
    ]


def soon() -> datetime:
    """A little later: two phones must not write within one millisecond here."""
    return timezone.now() + timedelta(seconds=1)


# -- S2: at most once ------------------------------------------------------------------------------


def test_lost_answer(mara, dog):
    # jaysbeekay/Hearth#249, OpenDataEnsemble/ode#404
    (op,) = weigh_ins(mara, dog, 1)
    (first,) = mara.results(op)
    (again,) = mara.results(op)
    assert first == {"op_id": op["op_id"], "status": "applied", "seq": first["seq"]}
    assert again == {**first, "status": "duplicate"}
    assert WeighIn.objects.count() == 1
    assert mara.rows()[op["entity_id"]]["version"] == 1


def test_batch_regroup(mara, dog):
    # KanishJebaMathewM/Truxify#1726
    ops = weigh_ins(mara, dog, 9)
    mara.send(*ops[:6])
    assert mara.send(*ops[4:]) == ["duplicate"] * 2 + ["applied"] * 3
    assert mara.send(*reversed(ops)) == ["duplicate"] * 9
    assert WeighIn.objects.count() == 9


def test_the_same_operation_twice_in_one_batch(mara, dog):
    (op,) = weigh_ins(mara, dog, 1)
    assert mara.send(op, op) == ["applied", "duplicate"]


def test_op_reused(mara, dog):
    (op,) = weigh_ins(mara, dog, 1)
    assert mara.send(op) == ["applied"]
    for changed in (
        {**op, "data": {**op["data"], "weight_g": 14_000}},
        {**op, "entity_id": people.new_id()},
        {**op, "hlc": mara.hlc()},
    ):
        result = mara.one(changed)
        assert (result["code"], result["field"]) == ("op_reused", "op_id")
    assert list(WeighIn.objects.values_list("weight_g", flat=True)) == [15_000]


def test_two_people_may_use_the_same_op_id(mara, cast, dog):
    # Receipts are per person: nobody can spoil or probe another's operations.
    (op,) = weigh_ins(mara, dog, 1)
    jonas = Phone(cast.carer)
    other = {**op, "entity_id": people.new_id()}
    assert (mara.send(op), jonas.send(other)) == (["applied"], ["applied"])


@pytest.mark.parametrize(
    "kind", ["dog.add", "weigh_in.add", "check.add", "food.add", "plan.request", "vet_word.add"]
)
def test_the_same_thing_under_a_new_op_id_is_a_duplicate(kind):
    from tests.sync.cases import Cases

    cases = Cases(people.cast())
    phone = cases.lead
    op = cases.op(kind, phone)
    assert phone.send(op) == ["applied"]
    before = Change.objects.count()
    again = {**op, "op_id": people.new_id(), "hlc": phone.hlc()}
    assert phone.send(again) == ["duplicate"]
    assert phone.one(again)["seq"] == phone.one(op)["seq"]
    assert Change.objects.count() == before


@pytest.mark.parametrize(
    "kind", ["dog.add", "weigh_in.add", "check.add", "food.add", "plan.request", "vet_word.add"]
)
def test_another_thing_under_the_same_id_is_id_taken(kind):
    from tests.sync.cases import Cases

    cases = Cases(people.cast())
    phone = cases.lead
    op = cases.op(kind, phone)
    assert phone.send(op) == ["applied"]
    change = {
        "dog.add": {"name": "Not Otto"},
        "weigh_in.add": {"weight_g": 9_000},
        "check.add": {"ribs": "bony"},
        "food.add": {"name": "Lean field dry"},
        "plan.request": {"treat_kcal": 0},
        "vet_word.add": {"by": "Someone else"},
    }[kind]
    other = {**op, "op_id": people.new_id(), "data": {**op["data"], **change}}
    assert phone.send(other) == ["id_taken"]


def test_foreign_id(cast, mara, dog):
    # icanbwell/fhir-server#2364, ember-nexus/api#41
    theirs = people.add_weigh_in(mara, dog)
    tess = Phone(cast.stranger)
    own = people.add_dog(tess, cast.elsewhere)
    before = dict(Change.objects.values_list("entity_id", "version"))
    answers = set()
    for taken in (theirs, dog, str(cast.home.pk)):
        for op in (
            tess.op("weigh_in.add", taken, dog=own, data=people.WEIGHT),
            tess.op("check.add", taken, dog=own, data=people.CHECK),
            tess.op("food.add", taken, data={**people.DRY, "household_id": str(cast.elsewhere.pk)}),
        ):
            result = tess.one(op)
            answers.add((result["code"], result["text"]))
    taken_dog = {"household_id": str(cast.elsewhere.pk), **people.OTTO}
    result = tess.one(tess.op("dog.add", dog, dog=dog, data=taken_dog))
    answers.add((result["code"], result["text"]))
    # One answer for all of them: it gives no hint of what the id is, or whose.
    assert answers == {("id_taken", "This id already belongs to another entry.")}
    assert dict(Change.objects.values_list("entity_id", "version")) == before


# -- S5: judged by the stored row, now -------------------------------------------------------------


def test_an_operation_is_judged_by_the_dog_it_really_touches(cast, mara, dog):
    theirs = people.add_weigh_in(mara, dog)
    tess = Phone(cast.stranger)
    own = people.add_dog(tess, cast.elsewhere)
    for op in (
        tess.op("weigh_in.void", theirs, dog=own),
        tess.op("weigh_in.use", theirs, dog=own, data={"use": False}),
        tess.op("weigh_in.replace", dog=own, data={**people.WEIGHT, "replaces": theirs}),
    ):
        assert tess.send(op) == ["not_found"]
    assert WeighIn.objects.get(pk=theirs).voided_at is None


def test_the_dog_that_is_claimed_must_be_the_one_that_is_stored(cast, mara, dog):
    other = people.add_dog(mara, cast.home)
    entry = people.add_weigh_in(mara, dog)
    result = mara.one(mara.op("weigh_in.void", entry, dog=other))
    assert (result["code"], result["field"]) == ("bad_value", "dog_id")
    result = mara.one(mara.op("dog.edit", dog, dog=other, data={"name": "Pim"}))
    assert (result["code"], result["field"]) == ("bad_value", "dog_id")


def test_access_removed(cast, dog):
    # nextcloud/groupfolders#744, forcedotcom/SalesforceMobileSDK-iOS#2285
    from server.households import actions

    jonas = Phone(cast.carer)
    before = jonas.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    late = jonas.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert jonas.send(before) == ["applied"]
    cursor = jonas.pull()["cursor"]
    actions.remove(membership=Membership.objects.get(household=cast.home, person=cast.carer))
    assert jonas.send(late) == ["not_found"]
    assert jonas.send(before) == ["duplicate"]  # it was taken up; nothing is told of the dog
    page = jonas.pull(cursor)
    assert [(row["type"], row["data"]["name"]) for row in page["changes"]] == [
        ("access.removed", "Mill Lane")
    ]
    assert dog not in jonas.rows()


def test_a_refused_operation_is_judged_anew(cast, dog):
    # No receipt is kept of a refusal: a role may have come meanwhile.
    from server.households import actions

    noor = Phone(cast.viewer)
    op = noor.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert noor.send(op) == ["not_allowed"]
    actions.admit(household=cast.home, person=cast.viewer, role="carer", now=timezone.now())
    assert noor.send(op) == ["applied"]


# -- S6: neighbours --------------------------------------------------------------------------------


def test_poison_op(mara, dog):
    # avniproject/avni-client#2067, powersync-ja/powersync-kotlin#340
    ops = weigh_ins(mara, dog, 100)
    ops[0]["data"]["weight_g"] = -1
    results = mara.results(*ops)
    assert (results[0]["status"], results[0]["field"]) == ("rejected", "weight_g")
    assert {result["status"] for result in results[1:]} == {"applied"}
    assert WeighIn.objects.count() == 99


def test_one_that_is_refused_by_what_is_stored_spoils_no_other(mara, dog):
    ops = weigh_ins(mara, dog, 5)
    ops[2]["dog_id"] = people.new_id()
    assert mara.send(*ops) == ["applied", "applied", "not_found", "applied", "applied"]
    assert WeighIn.objects.count() == 4
    assert Receipt.objects.filter(op_id__in=[op["op_id"] for op in ops]).count() == 4


def test_what_comes_later_in_the_batch_sees_what_came_before(mara, cast):
    dog = people.new_id()
    add = mara.op("dog.add", dog, dog=dog, data={"household_id": str(cast.home.pk), **people.OTTO})
    weigh = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    void = mara.op("weigh_in.void", weigh["entity_id"], dog=dog)
    assert mara.send(add, weigh, void) == ["applied"] * 3


@pytest.fixture
def broken(monkeypatch):
    """A kind whose code has a fault that shows only after it wrote something."""

    def fail(error: Exception) -> None:
        kind = kinds.KINDS["weigh_in.use"]

        def apply(op, who):
            kind.apply(op, who)
            raise error

        changed = {**kinds.KINDS, kind.name: type(kind)(kind.name, kind.data, apply)}
        monkeypatch.setattr("server.sync.apply.KINDS", changed)

    return fail


def test_a_fault_of_ours_loses_nothing_and_holds_up_nobody(mara, dog, broken, caplog):
    entry = people.add_weigh_in(mara, dog)
    broken(ZeroDivisionError("a secret of the server"))
    before, after = weigh_ins(mara, dog, 2)
    use = mara.op("weigh_in.use", entry, dog=dog, data={"use": True})
    with caplog.at_level(logging.ERROR):
        results = mara.results(before, use, after)
    assert [r["status"] for r in results] == ["applied", "rejected", "applied"]
    assert results[1]["code"] == "server_error"
    assert "stays on this phone" in results[1]["text"]
    assert "secret" not in results[1]["text"]
    assert "ZeroDivisionError" in caplog.text
    assert WeighIn.objects.get(pk=entry).use is None
    assert not Receipt.objects.filter(op_id=use["op_id"]).exists()


def test_after_the_repair_the_same_operation_goes_through(mara, dog, broken, monkeypatch):
    entry = people.add_weigh_in(mara, dog)
    use = mara.op("weigh_in.use", entry, dog=dog, data={"use": True})
    broken(ZeroDivisionError())
    assert mara.send(use) == ["server_error"]
    monkeypatch.undo()
    assert mara.send(use) == ["applied"]


def test_a_database_that_is_busy_is_no_answer(mara, dog, broken):
    entry = people.add_weigh_in(mara, dog)
    broken(OperationalError("database is locked"))
    (before,) = weigh_ins(mara, dog, 1)
    use = mara.op("weigh_in.use", entry, dog=dog, data={"use": True})
    answer = mara.push(before, use)
    assert (answer.status_code, answer.json()["code"]) == (503, "busy")
    assert answer.headers["Retry-After"]
    assert not WeighIn.objects.filter(pk=before["entity_id"]).exists()
    # The same where another operation is refused, so that each has a savepoint.
    refused = mara.op("weigh_in.add", dog=people.new_id(), data=people.WEIGHT)
    assert mara.push(before, refused, use).status_code == 503
    assert not WeighIn.objects.filter(pk=before["entity_id"]).exists()


# -- S7: clocks ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "ahead", [timedelta(hours=1), timedelta(days=-1), datetime(2000, 1, 1, tzinfo=UTC)]
)
def test_clock_wrong(cast, mara, dog, ahead):
    # actualbudget/actual#3786, actualbudget/actual#8486
    if isinstance(ahead, datetime):
        ahead = ahead - timezone.now()
    off = Phone(cast.carer, ahead=ahead)
    op = off.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert off.send(op) == ["applied"]
    entry = WeighIn.objects.get(pk=op["entity_id"])
    assert entry.hlc_said == op["hlc"]
    assert entry.hlc[:13] <= f"{int(timezone.now().timestamp() * 1000):013d}"
    assert entry.measured_at.isoformat().replace("+00:00", "Z") == op["measured_at"]
    assert not entry.flagged_future
    assert abs(timezone.now() - entry.received_at) < timedelta(minutes=1)


def test_a_phone_that_runs_ahead_does_not_win_for_ever(cast, dog):
    ahead, right = Phone(cast.lead, ahead=timedelta(days=400)), Phone(cast.lead)
    rename = ahead.op("dog.edit", dog, dog=dog, data={"name": "From the future"})
    assert ahead.send(rename) == ["applied"]
    later = right.op("dog.edit", dog, dog=dog, data={"name": "Otto"}, hlc=right.hlc(soon()))
    assert right.send(later) == ["applied"]
    assert Dog.objects.get(pk=dog).name == "Otto"


def test_two_edits_of_a_phone_that_runs_ahead_keep_their_order(cast, dog):
    ahead = Phone(cast.lead, ahead=timedelta(days=400))
    first = ahead.op("dog.edit", dog, dog=dog, data={"name": "First"})
    second = ahead.op("dog.edit", dog, dog=dog, data={"name": "Second"})
    assert ahead.send(first, second) == ["applied", "applied"]
    assert Dog.objects.get(pk=dog).name == "Second"


def test_a_measurement_far_ahead_is_kept_as_said_and_flagged(cast, mara, dog):
    ahead = Phone(cast.carer, ahead=timedelta(hours=25))
    op = ahead.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    assert ahead.send(op) == ["applied"]
    row = mara.rows()[op["entity_id"]]["data"]
    assert row["flagged_future"] is True
    assert row["measured_at"].replace("+00:00", "Z") == op["measured_at"]


# -- conflicts -------------------------------------------------------------------------------------


def test_two_fields(cast, mara, dog):
    # primeroIMS/primero#508, Automattic/simplenote-electron#602, silent-suite/silentsuite#743
    tablet = Phone(cast.lead)
    ours = mara.op("dog.edit", dog, dog=dog, data={"name": "Ottoline", "coat": "long"})
    data = {"name": "Otto II", "frame": "large"}
    theirs = tablet.op("dog.edit", dog, dog=dog, data=data, hlc=tablet.hlc(soon()))
    # Theirs was written later and arrives first.
    assert (tablet.send(theirs), mara.send(ours)) == (["applied"], ["applied"])
    stored = Dog.objects.get(pk=dog)
    assert (stored.name, stored.coat, stored.frame) == ("Otto II", "long", "large")
    lost = DogFieldWrite.objects.get(dog=dog, field="name", won=False)
    assert (lost.value, lost.hlc) == ("Ottoline", ours["hlc"])


def test_a_write_that_loses_everything_is_told_what_stands(mara, dog):
    first = mara.op("dog.edit", dog, dog=dog, data={"name": "Early"})
    second = mara.op("dog.edit", dog, dog=dog, data={"name": "Late"})
    assert mara.send(second) == ["applied"]
    result = mara.one(first)
    assert (result["status"], result["winner"]) == ("superseded", {"name": "Late"})
    assert mara.one(first) == result  # sent again, it is told the same


def test_both_ways_of_telling_an_age_never_stand_side_by_side(cast, mara, dog):
    born = mara.op("dog.edit", dog, dog=dog, data={"birth_date": "2018-04-01"})
    guess = mara.op("dog.edit", dog, dog=dog, data={"grown": True})
    assert mara.send(guess, born) == ["applied", "superseded"]
    stored = Dog.objects.get(pk=dog)
    assert (stored.birth_date, stored.grown) == (None, "yes")


def test_two_people_weigh_one_dog(cast, mara, dog):
    jonas = Phone(cast.carer)
    for phone in (mara, jonas):
        people.add_weigh_in(phone, dog)
    assert WeighIn.objects.filter(dog=dog).count() == 2


def test_tombstone(mara, dog):
    # couchbase/sync_gateway#2622, boardsesh/boardsesh#3474, Nosdesk/Nosdesk#234: a phone that was
    # offline for 400 days does not bring back what was taken back meanwhile.
    start = timezone.now() - timedelta(days=400)
    add = mara.op("weigh_in.add", dog=dog, data=people.WEIGHT)
    old_undo = mara.op("weigh_in.void", add["entity_id"], dog=dog, data={"void": False})
    assert mara.send(add, now=start) == ["applied"]
    void = mara.op("weigh_in.void", add["entity_id"], dog=dog, data={"reason": "wrong dog"})
    assert mara.send(void) == ["applied"]
    again = {**add, "op_id": people.new_id()}
    assert mara.send(add, again, old_undo) == ["duplicate", "duplicate", "superseded"]
    row = mara.rows()[add["entity_id"]]["data"]
    assert (row["voided"], row["void_reason"]) == (True, "wrong dog")


def test_a_retired_food_stays_retired_when_it_is_sent_again(mara, cast):
    add = mara.op("food.add", data={**people.DRY, "household_id": str(cast.home.pk)})
    retire = mara.op("food.retire", add["entity_id"], data={"retired": True})
    assert mara.send(add, retire, add) == ["applied", "applied", "duplicate"]
    assert Food.objects.get(pk=add["entity_id"]).retired


# -- days ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("instant", "zone", "day"),
    [
        # Hacker0x01/react-datepicker#1018, dsebastien/obsidian-life-tracker-base-view#94
        ("2026-03-02T23:30:00+13:00", "Pacific/Auckland", "2026-03-02"),
        ("2026-03-03T00:30:00+13:00", "Pacific/Auckland", "2026-03-03"),
        ("2026-03-02T23:30:00-08:00", "America/Los_Angeles", "2026-03-02"),
        ("2026-03-03T00:30:00-08:00", "America/Los_Angeles", "2026-03-03"),
        ("2026-03-29T00:30:00+01:00", "Europe/Berlin", "2026-03-29"),
        ("2026-03-29T23:30:00+02:00", "Europe/Berlin", "2026-03-29"),
        ("2026-10-25T00:30:00+02:00", "Europe/Berlin", "2026-10-25"),
        ("2026-10-25T23:30:00+01:00", "Europe/Berlin", "2026-10-25"),
    ],
)
def test_day_border(mara, dog, instant, zone, day):
    entry = people.add_weigh_in(mara, dog, measured_at=instant, local_date=day, tz=zone)
    row = mara.rows()[entry]["data"]
    assert (row["local_date"], row["tz"]) == (day, zone)
    assert datetime.fromisoformat(row["measured_at"]) == datetime.fromisoformat(instant)


@pytest.mark.parametrize(("day", "fine"), [("2026-02-28", True), ("2026-02-27", False)])
def test_the_day_and_the_instant_belong_together(mara, dog, day, fine):
    op = mara.op(
        "weigh_in.add",
        dog=dog,
        data=people.WEIGHT,
        measured_at="2026-03-02T10:00:00Z",
        local_date=day,
        tz="Europe/Lisbon",
    )
    result = mara.one(op)
    assert (result["status"] == "applied") == fine
    if not fine:
        assert result["field"] == "local_date"
        assert "within 2 days of 2026-03-02" in result["text"]


# -- S1: on disk -----------------------------------------------------------------------------------


def test_a_commit_is_on_disk_before_it_is_answered():
    if connection.vendor == "postgresql":
        value, wanted = "SHOW synchronous_commit", "on"
    else:
        value, wanted = "PRAGMA synchronous", 2  # FULL
    with connection.cursor() as cursor:
        cursor.execute(value)
        assert cursor.fetchone()[0] == wanted
