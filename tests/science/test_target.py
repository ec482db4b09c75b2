"""Target weight against printed tables and against plain chance."""

from __future__ import annotations

import numpy as np
import pytest

from server.errors import BadInput
from server.science.condition import RIGHT_FROM, RIGHT_TO, Looks, Score, score_distribution
from server.science.target import (
    FAT_PER_STEP_PCT,
    GOAL_FAT_HIGH_PCT,
    GOAL_FAT_LOW_PCT,
    GOAL_FAT_PCT,
    TargetRange,
    fat_pct,
    first_goal_kg,
    first_goal_span_kg,
    target_range,
    weight_at_fat,
)
from tests.science.published import rows

ROWS = rows("target")


@pytest.mark.parametrize("row_id", [f"BFT{number}a" for number in range(1, 6)] + ["BFT6"])
def test_ideal_weights_of_the_book(row_id: str):
    # Small Animal Clinical Nutrition, Table 27-3: 40% or 30% fat to 20%.
    row = ROWS[row_id]
    fat = 30 if row_id == "BFT6" else 40
    assert row.close_to(weight_at_fat(row.inputs["current_kg"], fat, 20))


def test_tudors_dog_of_a_hundred_pounds():
    # Tudor 2013.
    assert ROWS["WX17"].close_to(weight_at_fat(100, 40, 20))
    assert ROWS["WX18"].close_to(weight_at_fat(100, 40, 15), weight_at_fat(100, 40, 24))


def test_a_40_kg_dog_at_8_of_9():
    # Clinician's Brief and Tudor 2013: 32.5 kg, and 30.6 to 34.7 kg for a goal fat of 15 to 25%;
    # the range shown holds the middle nine tenths of that, so it lies just inside.
    target = target_range(40, score_distribution(Score(8)))
    assert ROWS["WX21"].close_to(target.mid)
    assert 30.6 < target.low < target.mid < target.high < 34.7


def test_fat_and_score_constants():
    # Clinician's Brief review of the Laflamme scale; AAHA 2010 for 4 to 5.
    assert ROWS["BF02"].close_to(GOAL_FAT_PCT, GOAL_FAT_LOW_PCT, GOAL_FAT_HIGH_PCT)
    assert ROWS["BF03"].close_to(FAT_PER_STEP_PCT)
    assert ROWS["IW04"].numbers[:2] == [RIGHT_FROM, RIGHT_TO]
    assert [fat_pct(score) for score in (5, 7, 9)] == [20, 30, 40]


@pytest.mark.parametrize("looks", [("pressed", "straight", "level"), ("buried", "slight", "level")])
def test_the_range_agrees_with_drawing_scores_and_goal_fats_at_random(looks):
    # An independent calculator: 400,000 draws. Their percentile is off by about 0.0005 of today's
    # weight (three standard errors), hence 0.001.
    random = np.random.default_rng(11)
    distribution = score_distribution(Looks(*looks))
    scores = random.choice(np.arange(1, 10), p=distribution, size=400_000)
    goals = random.triangular(15, 20, 25, size=400_000)
    drawn = (100 - (20 + 5 * (scores - 5))) / (100 - goals)
    target = target_range(1.0, distribution)
    assert target.low == pytest.approx(np.percentile(drawn, 5), abs=0.001)
    assert target.high == pytest.approx(min(np.percentile(drawn, 95), 0.95), abs=0.001)


def test_a_recorded_lean_weight_comes_first():
    target = target_range(15.2, score_distribution(Score(7)), 12.0)
    assert target == TargetRange(pytest.approx(11.64), 12.0, pytest.approx(12.36), True)


def test_a_lean_weight_near_todays_does_not_overrule_the_hand():
    target = target_range(15.2, score_distribution(Score(7)), 15.0)
    assert target == target_range(15.2, score_distribution(Score(7)))


def test_the_first_goal_stops_at_the_targets_high_end():
    assert first_goal_kg(20, TargetRange(15, 16, 17)) == pytest.approx(18.5)
    assert first_goal_span_kg(20, TargetRange(15, 16, 17)) == pytest.approx((18, 19))
    assert first_goal_kg(20, TargetRange(18, 18.7, 18.9)) == 18.9
    assert first_goal_span_kg(20, TargetRange(18, 18.7, 18.9)) == pytest.approx((18.9, 19))


@pytest.mark.parametrize("fat", [-1, 100, float("nan")])
def test_refuses_impossible_fat(fat: float):
    with pytest.raises(BadInput, match="fat_now_pct"):
        weight_at_fat(10, fat, 20)
    with pytest.raises(BadInput, match="goal_fat_pct"):
        weight_at_fat(10, 30, fat)
