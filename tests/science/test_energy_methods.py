"""What other publications say a dog needs: ranges, order, and what is refused."""

from __future__ import annotations

import pytest

from server.errors import OutOfRange
from server.science.energy import HOLDING_HIGH, HOLDING_LOW, RESTING, holding_kcal_per_day
from server.science.energy_levels import LEVELS, MIDDLE_AGED, OLD, YOUNG_ADULT, level_at_age
from server.science.energy_methods import (
    after_target_kcal_per_day,
    bermingham_kcal_per_day,
    divol_priymenko_kcal_per_day,
    estimates,
)


def test_after_a_loss_dogs_hold_on_less_than_resting_energy_on_average():
    # German et al. 2011: 285 (SD 54.8) kJ per kg^0.75; 0.97 x resting, printed to two digits.
    low, mean, high = after_target_kcal_per_day(1.0)
    assert mean / RESTING == pytest.approx(0.97, abs=0.005)
    assert high - mean == pytest.approx(mean - low)
    # 90% of a normal distribution: 1.645 SD; 54.8 kJ are 13.1 kcal, printed to a tenth.
    assert (high - mean) / 1.645 == pytest.approx(13.1, abs=0.05)


def test_a_dog_needs_less_with_age():
    years = [1, 3, 5, 8, 12, 20]
    needs = [divol_priymenko_kcal_per_day(15, age) for age in years]
    assert needs == sorted(needs, reverse=True)
    assert needs[0] == pytest.approx(128 * 15**0.740)


@pytest.mark.parametrize(
    ("age", "level"),
    [(1, YOUNG_ADULT), (2.9, YOUNG_ADULT), (3, MIDDLE_AGED), (7.9, MIDDLE_AGED), (8, OLD)],
)
def test_the_age_table_has_three_levels(age: float, level: object):
    # FEDIAF Annex, age table, from memory: 1-2, 3-7 and over 7 years.
    assert level_at_age(age) is level


def test_the_sources_disagree_and_the_careful_one_comes_first():
    found = estimates(15.2, neutered=True, age_years=6.7)
    assert [estimate.method for estimate in found] == [
        "quiet_home",
        "after_loss",
        "by_age",
        "pet_dogs_of_this_age",
        "factor_on_resting",
        "all_studies_mean",
        "all_studies_fit",
    ]
    assert found[0].kcal_per_day == holding_kcal_per_day(15.2)
    assert found[0].low == pytest.approx(HOLDING_LOW * 15.2**0.75)
    assert found[0].high == pytest.approx(HOLDING_HIGH * 15.2**0.75)
    assert found[1].kcal_per_day < found[0].kcal_per_day < found[-1].kcal_per_day
    assert all(estimate.source for estimate in found)
    assert all("memory" in e.source for e in found if e.method in {"by_age", "factor_on_resting"})


def test_neutered_dogs_need_less_than_intact_ones():
    def by_factor(neutered: bool) -> float:
        found = estimates(15.2, neutered=neutered, age_years=None)
        return next(e.kcal_per_day for e in found if e.method == "factor_on_resting")

    # From memory: 1.6 and 1.8 x resting.
    assert by_factor(True) / by_factor(False) == pytest.approx(1.6 / 1.8)


@pytest.mark.parametrize("age", [None, 0.4, 21])
def test_without_an_adults_age_nothing_is_said_by_age(age: float | None):
    methods = {e.method for e in estimates(15.2, neutered=True, age_years=age)}
    assert not methods & {"by_age", "pet_dogs_of_this_age"}


@pytest.mark.parametrize("kg", [0, -4, 0.19, 120.1, float("nan")])
def test_refuses_weights_outside_the_range(kg: float):
    for method in (bermingham_kcal_per_day, after_target_kcal_per_day):
        with pytest.raises(OutOfRange, match="weight_kg"):
            method(kg)
    with pytest.raises(OutOfRange, match="weight_kg"):
        divol_priymenko_kcal_per_day(kg, 5)


@pytest.mark.parametrize("age", [0, 0.9, 20.1, float("nan")])
def test_refuses_ages_that_are_no_adults(age: float):
    with pytest.raises(OutOfRange, match=r"age_years: must be a number from 1 to 20 years"):
        divol_priymenko_kcal_per_day(15, age)


def test_every_printed_level_is_in_order_and_has_a_source():
    assert len({level.word for level in LEVELS}) == len(LEVELS)
    for level in LEVELS:
        told = [part for part in (level.low, level.mid, level.high) if part is not None]
        assert told == sorted(told)
        assert told
        assert level.source
