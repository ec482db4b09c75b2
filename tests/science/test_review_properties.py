"""What must hold for every review, however odd the diary."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from server.science.condition import Score
from server.science.energy import resting_kcal_per_day
from server.science.review import review_week
from server.science.review_case import Change, Feeding, PlanFacts, ReviewCase, WeighIn
from server.science.vet_words import VetWord
from tests.science.cast import JUNIPER
from tests.science.simulated import START

DAYS = 120
AS_OF = START + timedelta(days=DAYS)
days = st.integers(0, DAYS).map(lambda day: START + timedelta(days=day))
weigh_ins = st.builds(
    WeighIn,
    on=days,
    kg=st.one_of(st.floats(11, 17), st.floats(11, 17), st.floats(0.03, 1000)),
    scale=st.sampled_from(["home", "vet", "shop"]),
)
feedings = st.builds(Feeding, on=days, kcal=st.floats(0, 3000), complete=st.booleans())
changes = st.builds(
    Change,
    on=days,
    kcal_per_day=st.floats(300, 700),
    answer=st.sampled_from(["accepted", "declined"]),
)
plans = st.builds(
    PlanFacts,
    kind=st.sampled_from(["reduce", "hold", "step_up"]),
    started_on=days,
    start_kg=st.floats(12, 17),
    target_low_kg=st.just(12.8),
    target_mid_kg=st.just(13.3),
    target_high_kg=st.just(13.9),
    first_goal_kg=st.one_of(st.none(), st.just(14.1)),
    kcal_per_day=st.floats(200, 900),
    changes=st.lists(changes, max_size=4).map(tuple),
)
cases = st.builds(
    ReviewCase,
    as_of=st.just(AS_OF),
    dog=st.just(JUNIPER),
    plan=plans,
    condition=st.one_of(st.none(), st.builds(Score, st.integers(1, 9))),
    weigh_ins=st.lists(weigh_ins, max_size=25).map(tuple),
    feedings=st.lists(feedings, max_size=60, unique_by=lambda feeding: feeding.on).map(tuple),
    vet_words=st.sampled_from([(), (VetWord(START, "Dr Amadi", "floor_0_7"),)]),
)


@given(case=cases)
def test_every_review_keeps_the_rules(case: ReviewCase):
    result = review_week(case)
    shown = result.as_json()
    json.dumps(shown, allow_nan=False)

    # Every reading is in the trend or set aside with a reason.
    aside = {id(item.weigh_in) for item in result.set_aside}
    counted = {weigh_in.on for weigh_in in case.weigh_ins if id(weigh_in) not in aside}
    assert {day.on for day in result.trend.days} == counted
    for point in shown["trend"]:
        assert 0 < point["low"] <= point["kg"] <= point["high"]
    if rate := shown["rate_pct_per_week"]:
        assert rate["low"] <= rate["mid"] <= rate["high"]
    for key in ("first_goal_on", "target_on"):
        if span := shown[key]:
            assert span["early"] <= span["mid"] <= span["late"]

    # A gate gives no number; anything else stays above the floor.
    decision = shown["decision"]
    score = case.condition and case.condition.value  # type: ignore[union-attr]
    gated = score is not None and (score <= 3 or score == 9)
    if gated:
        assert decision["action"] == "suspended"
    if decision["action"] == "suspended":
        assert decision["kcal_per_day"] is None
        return
    floor = (0.7 if case.vet_words else 0.8) * resting_kcal_per_day(13.3)
    assert decision["kcal_per_day"] >= round(floor)


@given(case=cases)
def test_the_same_case_gives_the_same_bytes(case: ReviewCase):
    first = json.dumps(review_week(case).as_json())
    turned = replace(case, feedings=tuple(reversed(case.feedings)))
    assert json.dumps(review_week(turned).as_json()) == first
