"""Readings that cannot be the dog."""

from __future__ import annotations

from datetime import timedelta

import pytest

from server.science.review_case import WeighIn
from server.science.slips import sort_out
from tests.science.simulated import START, life

LB = 1 / 0.45359237


def weekly(*kgs: float) -> list[WeighIn]:
    return [WeighIn(START + timedelta(days=7 * n), kg, "home") for n, kg in enumerate(kgs)]


@pytest.mark.parametrize(
    ("factor", "reason"),
    [
        (LB, "looks_like_pounds"),
        (1 / LB, "looks_like_kilograms"),
        (10, "decimal_point_slipped"),
        (0.1, "decimal_point_slipped"),
        (0.8, "implausible_jump"),
        (1.3, "implausible_jump"),
    ],
)
@pytest.mark.parametrize("place", [0, 3, 5])
def test_a_slip_is_set_aside_with_its_reason(factor: float, reason: str, place: int):
    kgs = [15.2, 15.1, 14.9, 14.8, 14.7, 14.5]
    kgs[place] *= factor
    if place == 0 and reason == "implausible_jump":
        kgs[0] = 15.2 * factor**2  # the start weight is known less well than a run of readings
    kept, aside = sort_out(weekly(*kgs), 15.2)
    assert [(item.weigh_in.kg, item.reason) for item in aside] == [(kgs[place], reason)]
    assert len(kept) == 5


def test_a_whole_diary_in_pounds_is_seen_by_the_start_weight():
    kept, aside = sort_out(weekly(*[kg * LB for kg in (15.2, 15.0, 14.9)]), 15.2)
    assert kept == ()
    assert {item.reason for item in aside} == {"looks_like_pounds"}


def test_a_jump_that_the_next_day_confirms_counts_after_all():
    weigh_ins = [*weekly(15.2, 15.1, 15.0, 13.2)]
    kept, aside = sort_out(weigh_ins, 15.2)
    assert [item.weigh_in.kg for item in aside] == [13.2]
    tomorrow = WeighIn(weigh_ins[-1].on + timedelta(days=1), 13.3, "home")
    kept, aside = sort_out([*weigh_ins, tomorrow], 15.2)
    assert aside == ()
    assert [weigh_in.kg for weigh_in in kept] == [15.2, 15.1, 15.0, 13.2, 13.3]


def test_two_wrong_readings_of_one_day_confirm_nothing():
    weigh_ins = [*weekly(15.2, 15.1, 15.0, 13.2), WeighIn(START + timedelta(days=21), 13.2, "home")]
    _, aside = sort_out(weigh_ins, 15.2)
    assert len(aside) == 2


def test_a_long_gap_leaves_room_for_a_true_loss():
    weigh_ins = [
        WeighIn(START, 15.2, "home"),
        WeighIn(START + timedelta(days=84), 13.0, "home"),
    ]
    assert sort_out(weigh_ins, 15.2)[1] == ()


def test_another_scale_may_differ_a_little():
    on = START + timedelta(days=21)
    assert sort_out([*weekly(15.2, 15.1, 15.0), WeighIn(on, 16.7, "vet")], 15.2)[1] == ()
    assert len(sort_out([*weekly(15.2, 15.1, 15.0), WeighIn(on, 16.7, "home")], 15.2)[1]) == 1


def test_ordinary_dogs_lose_no_reading():
    # 100 dogs, 900 readings with 1% noise, losing up to 3% a week.
    for seed in range(100):
        case = life(seed=seed, rate=-0.03 * (seed % 100)).case
        kept, aside = sort_out(case.weigh_ins, case.plan.start_kg)
        assert aside == ()
        assert kept == case.weigh_ins


def test_the_order_of_entry_does_not_matter():
    weigh_ins = weekly(15.2, 33.2, 14.9, 14.8)
    assert sort_out(list(reversed(weigh_ins)), 15.2) == sort_out(weigh_ins, 15.2)
