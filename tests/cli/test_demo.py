"""The demo tells what it promises, once, and never among other people's dogs."""

from __future__ import annotations

import stat
from datetime import timedelta
from itertools import pairwise

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import transaction
from django.utils import timezone

from server.cli import demo
from server.cli.story import cast, telling
from server.households.models import Dog, Household, Person
from server.ledger import jobs
from server.ledger.models import Change, Job
from server.plans.models import WeeklyReview
from server.records.models import WeighIn

NOW = timezone.now().replace(microsecond=0)


@pytest.fixture(scope="module")
def told(django_db_setup, django_db_blocker):
    """The whole demo, told once for all tests here."""
    with django_db_blocker.unblock(), transaction.atomic():
        telling.tell(cast.read(), password="wide-open-fields", now=NOW)
        yield
        transaction.set_rollback(True)


def dog(name):
    return Dog.objects.get(name=name)


def last_review(name):
    return WeeklyReview.objects.filter(dog__name=name).latest("week")


def test_everybody_can_sign_in_and_has_their_part(told):
    assert Person.objects.count() == 5
    for person in Person.objects.all():
        assert person.email.endswith("@demo.tuckline.example")
        assert person.check_password("wide-open-fields")
    parts = {
        (m.person.name.split()[0], m.role)
        for m in Household.objects.get(kind="rescue").memberships.all()
    }
    assert parts == {("Ira", "lead"), ("Mara", "carer"), ("Jonas", "carer"), ("Tess", "carer")}


def test_nothing_is_told_of_the_future_and_no_job_is_left(told):
    assert not WeighIn.objects.filter(measured_at__gt=NOW).exists()
    assert not WeighIn.objects.filter(flagged_future=True).exists()
    assert not Job.objects.filter(given_up_at__isnull=False).exists()
    assert not jobs.waiting(now=NOW).exists()


def test_every_dog_reached_the_phones(told):
    kinds = set(Change.objects.values_list("kind", flat=True))
    wanted = {"household", "dog", "weigh_in", "check", "food", "plan", "review", "access.granted"}
    assert kinds == wanted
    assert Change.objects.filter(kind="dog").count() == 9


def test_juniper_missed_weeks_and_was_once_noted_in_pounds(told):
    days = list(dog("Juniper").weighins.order_by("local_date").values_list("local_date", flat=True))
    assert max(after - before for before, after in pairwise(days)) >= timedelta(days=14)
    assert days[-1] - days[0] >= timedelta(weeks=7)
    aside = [item["reason"] for item in last_review("Juniper").result["set_aside"]]
    assert aside == ["looks_like_pounds"]
    assert dog("Juniper").plans.get().state == "active"


def test_bracken_is_at_his_target_and_stepping_up(told):
    plan = dog("Bracken").plans.get()
    assert (plan.state, plan.kind) == ("active", "step_up")
    taken = plan.changes.get(review__isnull=False)
    assert taken.answer == "accepted"
    assert taken.kcal_per_day > plan.result["kcal_per_day"]
    trend = last_review("Bracken").result["trend"][-1]["kg"]
    assert plan.target_kg["low"] <= trend <= plan.target_kg["high"]


def test_otto_is_just_starting(told):
    assert dog("Otto").weighins.count() == 1
    assert not dog("Otto").plans.exists()


def test_the_six_fosters_need_different_things(told):
    fen, pim, tansy, willow = (last_review(n) for n in ("Fen", "Pim", "Tansy", "Willow"))
    assert fen.result["rate_pct_per_week"]["mid"] < -2
    assert fen.result["decision"]["reason"]["code"] in (
        "fast_loss",
        "fast_loss_confirmed",
        "too_fast",
    )
    assert pim.result["decision"]["action"] == "log_food"
    assert tansy.result["decision"]["reason"]["code"] == "weigh_in_old"
    assert willow.result["decision"]["action"] == "regaining"
    assert dog("Rook").plans.get().state == "proposed"
    assert dog("Basil").paused["reason"] == "surgery"
    assert dog("Basil").plans.get().state == "suspended"


def test_every_proposal_feeds_what_it_says(told):
    proposing = WeeklyReview.objects.filter(proposal__isnull=False)
    assert proposing.count() >= 3
    for review in proposing:
        meals = sum(row["kcal"] for row in review.proposal["ration"])
        assert meals + review.proposal["treat_kcal_max"] == review.proposal["kcal_per_day"]


def test_loading_again_changes_nothing(told, settings, tmp_path):
    settings.DATA = tmp_path
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "sign-in.txt").write_text("as before")
    before = Change.objects.count()
    assert demo.load_unless_there() == "as before"
    assert Change.objects.count() == before


def test_a_lost_note_gets_a_new_password_that_works(told, settings, tmp_path):
    settings.DATA = tmp_path
    with transaction.atomic():
        text = demo.load_unless_there()
        password = text.splitlines()[0].rpartition(" ")[2]
        assert Person.objects.get(name="Noor Haddad").check_password(password)
        transaction.set_rollback(True)
    note = tmp_path / "demo" / "sign-in.txt"
    assert note.read_text() == text
    assert stat.S_IMODE(note.stat().st_mode) == 0o600


def test_the_note_names_everybody_and_says_what_it_is_for():
    text = demo.sign_in_text(cast.read(), "ba-be")
    for person in cast.read().people:
        assert person.email in text
    assert "password for all of them: ba-be" in text
    assert "only for trying out" in text


def test_the_password_is_never_the_same():
    made = {demo.make_password() for _ in range(50)}
    assert len(made) == 50
    assert all(len(password) >= 12 for password in made)


@pytest.mark.django_db
def test_it_does_not_go_among_other_people(settings, tmp_path, monkeypatch):
    settings.DATA = tmp_path
    Person.objects.create_user("pavel@example.org", "x", name="Pavel Dorn")
    with pytest.raises(ImproperlyConfigured, match="--among-others"):
        demo.load_unless_there()
    asked = []
    monkeypatch.setattr(telling, "tell", lambda *_, **more: asked.append(more["password"]))
    assert asked == []
    text = demo.load_unless_there(among_others=True)
    assert asked[0] in text


@pytest.mark.django_db
def test_a_demo_that_fails_half_way_leaves_nothing(monkeypatch):
    story = cast.read()
    monkeypatch.setattr(telling.Life, "tell", lambda self: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        telling.tell(story, password="x", now=NOW)
    assert not Person.objects.exists()
    assert not Change.objects.exists()


@pytest.mark.slow
@pytest.mark.django_db
@pytest.mark.parametrize("days_ago", range(1, 8))
def test_it_keeps_its_promises_on_every_day_of_the_week(days_ago):
    then = NOW - timedelta(days=days_ago, hours=3 * days_ago)  # and at seven hours of the day
    telling.tell(cast.read(), password="x", now=then)
    test_juniper_missed_weeks_and_was_once_noted_in_pounds(None)
    test_bracken_is_at_his_target_and_stepping_up(None)
    test_otto_is_just_starting(None)
    test_the_six_fosters_need_different_things(None)
