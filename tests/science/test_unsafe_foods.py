"""Foods that harm dogs, found by whole words in three languages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.science.foods import FoodFacts
from server.science.plan import make_plan
from server.science.unsafe_foods import UNSAFE, unsafe_findings, unsafe_in
from tests.science.cast import CASE, DRY, JUNIPER


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("peanut butter with xylitol", "xylitol"),
        ("Xylit", "xylitol"),
        ("gum (E967)", "xylitol"),
        ("gum, E 967", "xylitol"),
        ("gum e-967", "xylitol"),
        ("Birch sugar sweets", "xylitol"),
        ("birch  sugar", "xylitol"),
        ("BIRKENZUCKER", "xylitol"),
        ("azúcar de abedul", "xylitol"),
        ("azucar de abedul", "xylitol"),
        ("xilitol", "xylitol"),
        ("grapes", "grapes"),
        ("a grape", "grapes"),
        ("raisin bread", "grapes"),
        ("currants", "grapes"),
        ("Sultanas", "grapes"),
        ("Weintrauben", "grapes"),
        ("Rosinen", "grapes"),
        ("Korinthen", "grapes"),
        ("uvas", "grapes"),
        ("pan con pasas", "grapes"),
        ("onion rings", "onion"),
        ("Zwiebeln", "onion"),
        ("Röstzwiebeln", "onion"),
        ("Roestzwiebeln", "onion"),
        ("cebolla frita", "onion"),
        ("Garlic bread", "garlic"),
        ("Knoblauch", "garlic"),
        ("pollo al ajo", "garlic"),
        ("leek soup", "leek"),
        ("Lauch", "leek"),
        ("puerro", "leek"),
        ("chives", "chives"),
        ("Schnittlauch", "chives"),
        ("cebollino", "chives"),
        ("macadamia", "macadamia"),
        ("Macadamianüsse", "macadamia"),
        ("nueces de macadamia", "macadamia"),
        ("chocolate", "chocolate"),
        ("Milchschokolade", "chocolate"),
        ("cacao", "chocolate"),
        ("caffeine", "caffeine"),
        ("Kaffee", "caffeine"),
        ("cafeína", "caffeine"),
        ("beer", "alcohol"),
        ("Wein", "alcohol"),
        ("cerveza", "alcohol"),
        ("raw dough", "raw_dough"),
        ("roher Teig", "raw_dough"),
        ("masa cruda", "raw_dough"),
    ],
)
def test_every_language_and_name_is_found(name: str, code: str):
    assert [food.code for food in unsafe_in(name)] == [code]


@pytest.mark.parametrize(
    "name",
    [
        "grapefruit",
        "dry food A",
        "Trabajo",
        "Schwein",
        "winery dog biscuit",
        "leeky",
        "onionless",
        "grappa-free",
        "E9670",
        "pasta",
        "Traubenzucker",
        "scallop",
        "",
        "redcurrants",
    ],
)
def test_parts_of_other_words_are_not(name: str):
    assert unsafe_in(name) == ()


def test_one_name_may_speak_of_several():
    codes = [food.code for food in unsafe_in("chocolate-raisin bread with garlic_powder")]
    assert codes == ["grapes", "garlic", "chocolate"]


def test_every_food_has_words_text_and_a_source():
    expected = {
        *("xylitol", "grapes", "onion", "garlic", "leek", "chives"),
        *("macadamia", "chocolate", "caffeine", "alcohol", "raw_dough"),
    }
    assert {food.code for food in UNSAFE} == expected
    for food in UNSAFE:
        assert food.words
        assert food.text
        assert food.source
        assert all(dose > 0 for dose in food.doses.values())


def test_a_plan_says_it_first_whatever_else_it_says():
    treat = FoodFacts("raisin biscuit", role="treat", kcal_per_piece=20)
    for dog in (JUNIPER, replace(JUNIPER, reproduction="pregnant")):
        result = make_plan(replace(CASE, dog=dog, foods=(DRY, treat)))
        first = result.cautions[0]
        assert (first.code, first.values) == (
            "unsafe_food",
            {"food": "raisin biscuit", "unsafe": "grapes"},
        )
        assert first.source
        assert result.as_json()["treats"] == []
    old = replace(CASE, changing_from=FoodFacts("garlic sausage", kcal_per_kg=3000))
    assert make_plan(old).cautions[0].values["unsafe"] == "garlic"


def test_a_safe_plan_says_nothing_of_it():
    assert "unsafe_food" not in [caution.code for caution in make_plan(CASE).cautions]
    assert unsafe_findings(["grapefruit", "carrot"]) == ()
    assert len(unsafe_findings(["grapes", "grapes"])) == 1
