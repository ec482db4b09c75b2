"""Worker and command line give the same numbers; a job that runs twice has one effect."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from server.cli import main as command_line
from server.errors import BadInput
from server.households.models import Dog
from server.ledger import changes, jobs
from server.ledger.models import Change, Job
from server.plans.documents import plan_document, review_document
from server.plans.models import Plan, WeeklyReview
from server.worker import run, work
from tests import people

pytestmark = pytest.mark.django_db


@pytest.fixture
def given():
    cast = people.cast()
    return people.given(people.Phone(cast.lead), cast.home)


def said_by_the_command(tmp_path, capsys, name, document):
    file = tmp_path / "document.json"
    file.write_text(json.dumps(document), encoding="utf-8")
    assert command_line.main([name, str(file)]) == 0
    return json.loads(capsys.readouterr().out)


def without_words(value):
    """An answer without the sentences that the command line adds."""
    if isinstance(value, dict):
        return {k: without_words(v) for k, v in value.items() if k != "message"}
    return [without_words(item) for item in value] if isinstance(value, list) else value


def weigh_for_weeks(given, weeks, *, loss_pct_per_week, every_days=7):
    """Weigh-ins up to today, after a plan that began before them."""
    Plan.objects.filter(dog=given.dog).update(
        accepted_on=date.today() - timedelta(weeks=weeks, days=1)
    )
    for day in range(0, weeks * 7 + 1, every_days):
        at = timezone.now() - timedelta(days=weeks * 7 - day)
        grams = round(15_200 * (1 - loss_pct_per_week / 100 * day / 7))
        people.add_weigh_in(given.phone, given.dog, data={"weight_g": grams}, **people.seen_at(at))


def started(given, weeks, *, loss_pct_per_week):
    """A plan that has been fed for weeks, and a dog that lost weight so fast."""
    plan = given.proposed()
    assert people.accept(given.phone, given.dog, plan) == ["applied"]
    began = date.today() - timedelta(weeks=weeks, days=1)
    for change in Plan.objects.get(pk=plan).changes.order_by("on"):
        change.on = began if change.on <= date.today() else began + timedelta(days=7)
        change.save()
    work.take_due_step(plan, timezone.now())
    weigh_for_weeks(given, weeks, loss_pct_per_week=loss_pct_per_week)
    return plan


def test_the_plan_is_the_command_lines_word_for_word(given, tmp_path, capsys):
    plan = given.proposed()
    kept = Plan.objects.get(pk=plan)
    answer = said_by_the_command(tmp_path, capsys, "plan", plan_document(kept))
    assert kept.result["kcal_per_day"] > 0
    assert without_words(answer) == kept.result


def test_the_review_is_the_command_lines_word_for_word(given, tmp_path, capsys):
    started(given, 6, loss_pct_per_week=0.9)
    people.review(given.dog)
    kept = WeeklyReview.objects.get()
    document = review_document(Dog.objects.get(pk=given.dog), kept.as_of)
    answer = without_words(said_by_the_command(tmp_path, capsys, "review", document))
    assert len(kept.result["trend"]) == 7
    reason = kept.result["decision"].pop("reason")
    assert answer["decision"].pop("reason_code") == reason["code"]
    assert answer["decision"].pop("reason")  # a sentence there
    assert answer == kept.result


def test_another_energy_is_proposed_with_its_ration(given):
    plan = Plan.objects.get(pk=started(given, 6, loss_pct_per_week=2.3))
    people.review(given.dog)
    review = WeeklyReview.objects.get()
    assert review.result["decision"]["action"] == "feed_more"
    assert review.result["decision"]["kcal_per_day"] > plan.kcal_per_day
    assert review.proposal["kcal_per_day"] == review.result["decision"]["kcal_per_day"]
    meals = sum(row["kcal"] for row in review.proposal["ration"])
    assert meals + review.proposal["treat_kcal_max"] == review.proposal["kcal_per_day"]
    assert [row["food_id"] for row in review.proposal["ration"]] == [given.food]


def test_nothing_is_proposed_where_the_energy_stays(given):
    started(given, 6, loss_pct_per_week=0.9)
    people.review(given.dog)
    review = WeeklyReview.objects.get()
    assert review.result["decision"]["action"] == "stay"
    assert review.proposal is None


def test_each_kind_of_work_may_run_twice(given):
    plan = started(given, 6, loss_pct_per_week=2.3)
    people.review(given.dog)
    before = {row.entity_id: (row.version, row.data) for row in Change.objects.all()}
    now = timezone.now()
    work.work_out_plan(plan, now)
    work.review_dog(given.dog, now)
    work.take_due_step(plan, now)
    assert {row.entity_id: (row.version, row.data) for row in Change.objects.all()} == before
    assert WeeklyReview.objects.count() == 1


def test_the_day_is_the_one_where_the_dog_was_last_weighed(given):
    late = datetime(2026, 3, 2, 22, 30, tzinfo=UTC)
    dog = Dog.objects.get(pk=given.dog)
    assert work.its_day(dog, late) == date(2026, 3, 2)
    at = timezone.now()
    people.add_weigh_in(given.phone, given.dog, **(people.seen_at(at) | {"tz": "Pacific/Auckland"}))
    assert work.its_day(dog, late) == date(2026, 3, 3)
    people.add_weigh_in(
        given.phone,
        given.dog,
        **(people.seen_at(at + timedelta(minutes=1)) | {"tz": "Pacific/Honolulu"}),
    )
    assert work.its_day(dog, late) == date(2026, 3, 2)


def test_entries_that_do_not_go_together_are_told_at_once_and_not_tried_again(given, monkeypatch):
    def refuse(*_):
        raise BadInput("foods[0].label", "must be given")

    monkeypatch.setattr(work, "plan_case", refuse)
    plan = given.ask_plan()
    job = Job.objects.get(kind="plan", key=plan)
    assert run.run(job.pk, clock=timezone.now) == 1
    kept = Plan.objects.get(pk=plan)
    assert (kept.state, kept.problem) == ("waiting", "foods[0].label must be given")
    assert not jobs.waiting(now=timezone.now() + timedelta(days=1)).filter(kind="plan").exists()


def test_a_plan_that_failed_for_good_says_so_to_whoever_waits(given, monkeypatch):
    def fail(*_):
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr(work, "make_plan", fail)
    plan = given.ask_plan()
    job = Job.objects.get(kind="plan", key=plan)
    now = timezone.now()
    for attempt in range(jobs.MOST_ATTEMPTS):
        run.run(job.pk, clock=lambda at=now + timedelta(hours=2 * attempt): at)
    assert Plan.objects.get(pk=plan).problem == work.OUR_FAULT
    assert changes.as_published(Plan.objects.get(pk=plan).pk)["problem"] == work.OUR_FAULT


def test_a_dog_that_rests_is_not_judged(given):
    started(given, 6, loss_pct_per_week=2.3)
    pause = {"paused": {"reason": "illness", "since": date.today().isoformat()}}
    given.phone.send(given.phone.op("dog.pause", given.dog, dog=given.dog, data=pause))
    people.review(given.dog)
    assert not WeeklyReview.objects.exists()


def test_work_for_what_is_gone_is_no_failure():
    nobody = people.new_id()
    for kind in ("plan", "review"):
        job = jobs.ask(kind, nobody, now=timezone.now())
        run.run(job.pk, clock=timezone.now)
        job.refresh_from_db()
        assert (job.answered, job.last_error) == (1, "")
