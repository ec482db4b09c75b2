"""Foods are added, changed by a new row, and put away."""

from __future__ import annotations

import pytest

from server.science.food_energy import Label, label_kcal_per_kg
from tests import people
from tests.people import Phone

pytestmark = pytest.mark.django_db
LABEL = {
    "protein_pct": 28,
    "fat_pct": 9,
    "fibre_pct": 11,
    "moisture_pct": 9,
    "ash_pct": None,
    "form": "dry",
}


@pytest.fixture
def cast():
    return people.cast()


@pytest.fixture
def mara(cast):
    return Phone(cast.lead)


def row(phone: Phone, id: str) -> dict:
    return phone.rows()[id]["data"]


def test_printed_energy_comes_first(mara, cast):
    food = people.add_food(mara, cast.home, label=LABEL)
    shown = row(mara, food)
    assert (shown["energy_from"], shown["kcal_per_kg_used"]) == ("label", 3600)


def test_without_it_the_composition_gives_the_energy(mara, cast):
    food = people.add_food(mara, cast.home, kcal_per_kg=None, label=LABEL)
    shown = row(mara, food)
    assert shown["energy_from"] == "computed"
    # The science's tests hold the equation against its source; here only that it is asked.
    assert shown["kcal_per_kg_used"] == pytest.approx(label_kcal_per_kg(Label(**LABEL)), abs=0.05)
    assert shown["label"] == LABEL


def test_a_food_without_any_energy(mara, cast):
    data = {**people.DRY, "household_id": str(cast.home.pk), "kcal_per_kg": None}
    result = mara.one(mara.op("food.add", data=data))
    assert (result["code"], result["field"]) == ("bad_value", "kcal_per_kg")
    assert "100 to 9500 kcal/kg" in result["text"]


@pytest.mark.parametrize(
    "change", [{"protein_pct": 90}, {"moisture_pct": 100, "protein_pct": 0, "fat_pct": 0}]
)
def test_a_composition_that_cannot_be(mara, cast, change):
    data = {**people.DRY, "household_id": str(cast.home.pk), "kcal_per_kg": None}
    result = mara.one(mara.op("food.add", data={**data, "label": {**LABEL, **change}}))
    assert result["code"] == "bad_value"
    assert result["field"].startswith("label")


@pytest.mark.parametrize("kcal_per_kg", [9000, 1200])
def test_an_energy_that_cannot_belong_to_the_composition(mara, cast, kcal_per_kg):
    data = {**people.DRY, "household_id": str(cast.home.pk), "kcal_per_kg": kcal_per_kg}
    result = mara.one(mara.op("food.add", data={**data, "label": LABEL}))
    assert (result["code"], result["field"]) == ("bad_value", "kcal_per_kg")
    assert "kcal/kg for the parts on this label" in result["text"]


def test_a_changed_recipe_is_a_new_row(mara, cast):
    old = people.add_food(mara, cast.home)
    data = {**people.DRY, "household_id": str(cast.home.pk), "kcal_per_kg": 3700, "replaces": old}
    op = mara.op("food.version", data=data)
    assert mara.send(op) == ["applied"]
    assert (row(mara, old)["kcal_per_kg"], row(mara, old)["replaced_by"]) == (
        3600,
        op["entity_id"],
    )
    assert row(mara, op["entity_id"])["replaces"] == old
    again = mara.one(mara.op("food.version", data=data))
    assert (again["code"], again["field"]) == ("gone", "replaces")


def test_a_recipe_stays_in_its_household(mara, cast):
    old = people.add_food(mara, cast.home)
    other = {**people.DRY, "household_id": str(cast.elsewhere.pk), "replaces": old}
    result = mara.one(mara.op("food.version", data=other))
    assert (result["code"], result["field"]) == ("bad_value", "household_id")


def test_putting_away_and_taking_out(mara, cast):
    food = people.add_food(mara, cast.home)
    for retired in (True, False):
        op = mara.op("food.retire", food, data={"retired": retired})
        assert mara.send(op) == ["applied"]
        assert row(mara, food)["retired"] is retired


def test_of_two_words_on_one_food_the_later_stands(mara, cast):
    food = people.add_food(mara, cast.home)
    early = mara.op("food.retire", food, data={"retired": False})
    late = mara.op("food.retire", food, data={"retired": True})
    assert mara.send(late) == ["applied"]
    result = mara.one(early)
    assert (result["status"], result["winner"]) == ("superseded", {"retired": True})
