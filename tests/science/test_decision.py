"""The weekly decision, rule by rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.science.decision import Standing, decide, probability_below

TODAY = date(2026, 4, 27)
# A dog on course: 488 kcal (1.0 x), eight weeks in, losing 1% a week.
ON_COURSE = Standing(
    as_of=TODAY,
    kind="reduce",
    started_on=TODAY - timedelta(days=56),
    changed_on=None,
    kcal=488,
    kcal_before=None,
    floor_kcal=390,
    ceiling_kcal=585,
    target_low_kg=12.8,
    target_mid_kg=13.3,
    target_high_kg=13.9,
    score=7,
    weighed_days=9,
    span_days=56,
    last_weighed_on=TODAY,
    trend_kg=14.4,
    trend_sd_pct=0.5,
    rate=-1.0,
    rate_sd=0.25,
    fast_now=False,
    fast_before=False,
    newest_aside=False,
    complete_days=14,
    logged_kcal=488,
)


def told(**changes: Any) -> tuple[str, int | None, str]:
    decision = decide(replace(ON_COURSE, **changes))
    return decision.action, decision.kcal_per_day, decision.reason.code


def test_on_course_stays():
    assert told() == ("stay", 488, "on_course")


class TestProtection:
    def test_a_fast_loss_is_first_weighed_again(self):
        assert told(fast_now=True, rate=-3.5) == ("weigh_again", 488, "fast_loss")

    def test_a_confirmed_one_goes_back_to_the_last_accepted_ration(self):
        fast = {"fast_now": True, "fast_before": True, "rate": -3.5}
        assert told(**fast, kcal=440, kcal_before=488) == (
            "feed_more",
            488,
            "fast_loss_confirmed",
        )

    def test_without_an_earlier_ration_it_goes_to_the_vet(self):
        fast = {"fast_now": True, "fast_before": True, "rate": -3.5}
        early = {"weighed_days": 2, "span_days": 7, "started_on": TODAY - timedelta(days=7)}
        assert told(**fast, **early) == ("see_vet", 488, "fast_loss_confirmed")
        assert told(**fast, kcal_before=450)[0] == "see_vet"

    def test_it_does_not_wait_for_the_first_week_or_the_last_change(self):
        fast = {"fast_now": True, "fast_before": True, "rate": -3.5}
        new = {"weighed_days": 2, "span_days": 5, "changed_on": TODAY - timedelta(days=3)}
        assert told(**fast, **new, kcal=440, kcal_before=488)[0] == "feed_more"

    def test_a_sudden_fall_is_weighed_again(self):
        assert told(newest_aside=True) == ("weigh_again", 488, "sudden_fall")

    def test_a_ration_below_the_floor_is_raised_to_it(self):
        assert told(kcal=350) == ("feed_more", 390, "below_floor")
        assert told(kcal=390)[2] != "below_floor"


class TestTooLittle:
    def test_no_or_old_weigh_ins(self):
        nothing = {"trend_kg": None, "last_weighed_on": None, "rate": None}
        assert told(**nothing) == ("weigh_again", 488, "no_weigh_in")
        old = told(last_weighed_on=TODAY - timedelta(days=15))
        assert old == ("weigh_again", 488, "weigh_in_old")

    @pytest.mark.parametrize(
        "little",
        [{"weighed_days": 3}, {"span_days": 20}, {"rate": None}],
    )
    def test_four_weigh_ins_over_three_weeks_are_needed(self, little):
        stalled = {"rate": 0.5, "rate_sd": 0.2} | little
        assert told(**stalled) == ("weigh_again", 488, "too_few")


class TestReducing:
    stalled = {"rate": -0.2, "rate_sd": 0.2}

    def test_a_slow_loss_on_a_kept_ration_feeds_five_percent_less(self):
        assert told(**self.stalled) == ("feed_less", 464, "too_slow")

    def test_no_loss_feeds_ten_percent_less(self):
        assert told(rate=0.1, rate_sd=0.2) == ("feed_less", 439, "too_slow")

    def test_an_unsure_slow_loss_waits(self):
        assert told(rate=-0.4, rate_sd=0.3) == ("stay", 488, "not_clear_yet")
        assert told(rate=0.1, rate_sd=1.0) == ("stay", 488, "not_clear_yet")

    def test_the_food_log_comes_before_the_cut(self):
        assert told(**self.stalled, complete_days=9)[0] == "log_food"
        assert told(**self.stalled, complete_days=0, logged_kcal=None)[0] == "log_food"
        over = told(**self.stalled, logged_kcal=560)
        assert over == ("stay", 488, "fed_above_ration")

    def test_never_twice_within_two_weeks(self):
        recent = TODAY - timedelta(days=13)
        assert told(**self.stalled, changed_on=recent) == ("stay", 488, "change_settling")
        assert told(**self.stalled, changed_on=TODAY - timedelta(days=14))[0] == "feed_less"
        assert told(rate=-2.2, changed_on=recent) == ("stay", 488, "change_settling")

    def test_cuts_stop_at_the_floor_and_then_a_vet_is_asked(self):
        assert told(**self.stalled, kcal=405, logged_kcal=405) == ("feed_less", 390, "too_slow")
        assert told(**self.stalled, kcal=392, logged_kcal=392) == (
            "see_vet",
            392,
            "stalled_at_floor",
        )

    def test_a_loss_above_two_percent_feeds_more(self):
        assert told(rate=-2.2) == ("feed_more", 512, "too_fast")
        assert told(rate=-2.8, rate_sd=0.7) == ("feed_more", 537, "too_fast")

    def test_the_target_is_reached_by_the_scale_or_by_the_hand(self):
        assert told(trend_kg=13.3) == ("reached", 537, "target_reached")
        assert told(trend_kg=13.6) == ("stay", 488, "on_course")
        assert told(trend_kg=13.6, score=5) == ("reached", 537, "target_reached")
        assert told(trend_kg=14.4, score=5) == ("reached", 537, "right_by_hand")

    def test_the_step_at_the_target_waits_for_weigh_ins_and_stops_at_the_ceiling(self):
        assert told(trend_kg=13.2, weighed_days=3) == ("reached", 488, "target_reached")
        assert told(trend_kg=13.2, kcal=560) == ("reached", 585, "target_reached")


class TestKeeping:
    step_up = {"kind": "step_up", "trend_kg": 13.2, "kcal": 537}

    def test_steady_stays(self):
        assert told(**self.step_up, rate=0.05) == ("stay", 537, "steady")

    def test_still_losing_steps_up_after_two_weeks(self):
        losing = {"rate": -0.4, "rate_sd": 0.2, **self.step_up}
        early = told(**losing, changed_on=TODAY - timedelta(days=10))
        assert early == ("stay", 537, "change_settling")
        due = told(**losing, changed_on=TODAY - timedelta(days=14))
        assert due == ("step_up", 564, "still_losing")
        assert told(**losing | {"rate": -0.8}) == ("step_up", 585, "still_losing")

    def test_never_past_the_ceiling(self):
        losing = {"rate": -0.8, "rate_sd": 0.2, **self.step_up}
        assert told(**losing | {"kcal": 585}) == ("see_vet", 585, "losing_at_ceiling")

    def test_a_holding_dog_that_loses_is_fed_more(self):
        holding = self.step_up | {"kind": "hold"}
        assert told(**holding, rate=-0.4, rate_sd=0.2)[0] == "feed_more"

    def test_above_the_target_range_is_regaining(self):
        assert told(**self.step_up | {"trend_kg": 14.3}, rate=0.1) == (
            "regaining",
            510,
            "above_target",
        )
        rising = told(**self.step_up | {"trend_kg": 13.95}, rate=0.5, rate_sd=0.2)
        assert rising[0] == "regaining"
        assert told(**self.step_up | {"trend_kg": 13.95}, rate=0.0)[0] == "stay"


standings = st.builds(
    Standing,
    as_of=st.just(TODAY),
    kind=st.sampled_from(["reduce", "hold", "step_up"]),
    started_on=st.dates(TODAY - timedelta(days=200), TODAY),
    changed_on=st.one_of(st.none(), st.dates(TODAY - timedelta(days=60), TODAY)),
    kcal=st.floats(200, 900),
    kcal_before=st.one_of(st.none(), st.floats(300, 900)),
    floor_kcal=st.sampled_from([341.0, 390.0]),
    ceiling_kcal=st.just(585.0),
    target_low_kg=st.just(12.8),
    target_mid_kg=st.just(13.3),
    target_high_kg=st.just(13.9),
    score=st.one_of(st.none(), st.integers(4, 8)),
    weighed_days=st.integers(1, 12),
    span_days=st.integers(0, 80),
    last_weighed_on=st.dates(TODAY - timedelta(days=30), TODAY),
    trend_kg=st.floats(11, 18),
    trend_sd_pct=st.floats(0.1, 2),
    rate=st.one_of(st.none(), st.floats(-6, 4)),
    rate_sd=st.floats(0.1, 3),
    fast_now=st.booleans(),
    fast_before=st.booleans(),
    newest_aside=st.booleans(),
    complete_days=st.integers(0, 14),
    logged_kcal=st.one_of(st.none(), st.floats(200, 900)),
)


@given(now=standings)
def test_whatever_happens_the_ration_stays_within_its_rules(now: Standing):
    decision = decide(now)
    kcal = decision.kcal_per_day
    assert kcal is not None
    assert kcal >= min(round(now.floor_kcal), round(now.kcal))
    change = kcal / now.kcal - 1
    if decision.action in {"stay", "weigh_again", "log_food"}:
        assert kcal == round(now.kcal)
    if kcal < round(now.kcal):
        assert decision.action in {"feed_less", "regaining"}
        assert change >= -0.10 - 1 / now.kcal
        assert kcal >= round(now.floor_kcal)
    raised = kcal > round(now.kcal)
    protected = decision.reason.code in {"below_floor", "fast_loss_confirmed"}
    if raised and not protected:
        assert change <= 0.10 + 1 / now.kcal
        assert kcal <= round(now.ceiling_kcal)
    if kcal != round(now.kcal) and not protected:
        assert now.weighed_days >= 4
        assert now.span_days >= 21
        assert (now.as_of - now.started_on).days >= 7
        assert now.changed_on is None or (now.as_of - now.changed_on).days >= 14


def test_probability_of_a_normal_value():
    # Standard normal table: 1.645 leaves 5%.
    assert probability_below(1.645, 0, 1) == pytest.approx(0.95, abs=0.0005)
    assert probability_below(-2.0, -2.0, 0.3) == 0.5
