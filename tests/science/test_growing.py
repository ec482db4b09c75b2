"""Growing, pregnant and nursing dogs: what they need, and what a vet should hear."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from server.errors import OutOfRange
from server.science.growing import (
    growing_kcal_per_day,
    growth_findings,
    growth_of,
    stage_kcal_per_day,
)
from server.science.plan import make_plan
from server.science.reproduction import (
    gestation_kcal_per_day,
    lactation_kcal_per_day,
    needs_more,
)
from tests.science.cast import CASE, JUNIPER, TODAY

PUPPY = replace(JUNIPER, birth_date=date(2025, 9, 20), adult_weight_kg=14.0)


def weighed(*kgs: float) -> list[tuple[date, float]]:
    """Weights a week apart, the last a week ago."""
    return [(TODAY - timedelta(weeks=len(kgs) - n), kg) for n, kg in enumerate(kgs)]


def told(kg: float, *earlier: float, dog=PUPPY) -> list[str]:
    growth = growth_of(dog, kg)
    return [f.code for f in growth_findings(growth, TODAY, kg, weighed(*earlier))]


def test_need_per_metabolic_weight_falls_as_a_dog_grows():
    levels = [growing_kcal_per_day(kg, 30) / kg**0.75 for kg in (3, 9, 15, 24, 30)]
    assert levels == sorted(levels, reverse=True)


def test_equation_and_stages_tell_of_the_same_dogs():
    # Two publications: NRC 2006 (as given in WikiVet) and FEDIAF 2021. A curve against steps: at
    # these shares, about the middle of each step, they agree to a tenth; a quarter grown they
    # differ by 40%, and both are shown.
    for share in (0.5, 0.75, 0.9, 1.0):
        equation, stages = (f(share * 20, 20) for f in (growing_kcal_per_day, stage_kcal_per_day))
        assert equation == pytest.approx(stages, rel=0.1)
    quarter = growing_kcal_per_day(5, 20) / stage_kcal_per_day(5, 20)
    assert quarter == pytest.approx(1.4, abs=0.05)


@pytest.mark.parametrize(("share", "level"), [(0.5, 210), (0.51, 175), (0.8, 175), (0.81, 140)])
def test_stages_end_where_they_are_printed_to(share: float, level: float):
    # FEDIAF 2021, quoted in Veterinary Nursing Journal 37(4), Table 2.
    assert stage_kcal_per_day(share * 20, 20) == pytest.approx(level * (share * 20) ** 0.75)


def test_an_adult_weight_below_todays_is_refused():
    with pytest.raises(OutOfRange, match="adult_kg"):
        growing_kcal_per_day(12, 10)
    with pytest.raises(OutOfRange, match="weight_kg"):
        stage_kcal_per_day(float("nan"), 10)


def test_steady_growth_says_only_what_it_needs():
    assert told(8.0, 6.9, 7.5) == ["growth_energy"]


def test_a_puppy_that_loses_weight_is_told():
    assert "growth_loses" in told(7.0, 7.4, 7.6)
    # Within the noise of two readings (1% each, assumed) nothing is said.
    assert "growth_loses" not in told(7.55, 7.4, 7.6)


def test_growth_that_speeds_up_is_told():
    assert "growth_speeds_up" in told(8.6, 7.3, 7.5)
    assert "growth_speeds_up" not in told(8.0, 6.9, 7.5)
    # One earlier weight is no curve.
    assert told(8.6, 7.5) == ["growth_energy"]


def test_a_puppy_above_its_adult_weight_is_told():
    assert told(14.5) == ["growth_above_adult"]


def test_a_mixed_breed_without_a_record_has_no_numbers():
    unknown = replace(PUPPY, adult_weight_kg=None)
    assert told(8.0, dog=unknown) == ["growth_adult_unknown"]
    assert growth_of(unknown, 8.0).as_json()["kcal_per_day"] is None
    assert growth_of(replace(unknown, breed_grown_kg=13.0), 8.0).adult_from == "breed"


def test_no_growth_standard_reaches_giants():
    # Salt et al. 2017: to 40 kg of adult weight.
    for adult, standard in [(40.0, True), (41.0, False)]:
        shown = growth_of(replace(PUPPY, adult_weight_kg=adult), 8.0).as_json()
        assert shown["growth_standard"] is standard


def test_a_puppys_plan_is_refused_with_the_numbers_for_the_vet():
    result = make_plan(replace(CASE, dog=PUPPY, weight_kg=8.0, earlier=tuple(weighed(8.2, 8.4))))
    shown = result.as_json()
    assert result.refused is not None
    assert result.refused.code == "growing"
    assert shown["kcal_per_day"] is None
    assert shown["ration"] == []
    assert shown["growth"]["share_of_adult"] == 0.57
    assert "growth_energy" in [c.code for c in result.cautions]
    assert make_plan(CASE).as_json()["growth"] is None


@pytest.mark.parametrize("state", ["pregnant", "nursing"])
def test_pregnant_and_nursing_dogs_need_more_and_get_no_number_to_feed(state):
    result = make_plan(replace(CASE, dog=replace(JUNIPER, reproduction=state)))
    assert result.refused is not None
    assert result.refused.code == state
    assert result.kcal_per_day is None
    assert result.cautions[0].code == "needs_more"
    assert result.cautions[0].values["times"] > 1


def test_a_litter_needs_more_with_each_puppy_and_no_more_beyond_eight():
    needs = [lactation_kcal_per_day(20, puppies, 4) for puppies in range(1, 10)]
    assert needs[:8] == sorted(needs[:8])
    assert needs[8] == needs[7]
    weeks = [lactation_kcal_per_day(20, 4, week) for week in (1, 2, 3, 4)]
    assert weeks == sorted(weeks)
    assert gestation_kcal_per_day(20) < weeks[0]
    assert needs_more("nursing", 20).values["times"] > needs_more("pregnant", 20).values["times"]


@pytest.mark.parametrize(("puppies", "week"), [(0, 1), (21, 1), (4, 0), (4, 5)])
def test_refuses_litters_and_weeks_that_cannot_be(puppies: int, week: int):
    with pytest.raises(OutOfRange):
        lactation_kcal_per_day(20, puppies, week)
