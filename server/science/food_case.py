"""Read what a document says about foods."""

from typing import get_args

from server.errors import BadInput
from server.science.food_energy import Form, Label, label_kcal_per_kg
from server.science.foods import FoodFacts, Purpose, Role, check_shares, energy_basis
from server.science.nutrients import ALLOWANCES
from server.science.reading import Fields

# What may be entered. Our guards against slips of the finger, not findings.
FOOD_KCAL_PER_KG = (50.0, 9500.0)  # from watery vegetables to pure fat
CUP_G = (5.0, 1000.0)
SHARE = (0.001, 1.0)
PERCENT = (0.0, 100.0)
NUTRIENT_PER_KG = (0.0, 1_000_000.0)

_COMPOSITION = ("protein_pct", "fat_pct", "fibre_pct", "moisture_pct", "ash_pct")


def read_foods(fields: Fields) -> tuple[FoodFacts, ...]:
    """Return the foods under "foods", checked to fit together. Raises BadInput."""
    foods = tuple(_food(food) for food in fields.objects("foods"))
    check_shares(foods)
    energy_basis(foods)
    return foods


def _food(fields: Fields) -> FoodFacts:
    name = fields.text("name")
    role: Role = fields.choice("role", get_args(Role))
    share = 1.0
    if role == "meal":
        share = fields.number("share", *SHARE, "")
    elif fields.has("share"):
        raise BadInput(fields.name("share"), "must be left out unless role is meal")
    energy = fields.number_or_none("kcal_per_kg", *FOOD_KCAL_PER_KG, "kcal/kg")
    label: Label | None = None
    nutrients: dict[str, float] = {}
    if fields.has("label"):
        label, nutrients = _label(fields.inner("label"), energy is None)
    if energy is None and label is None:
        raise BadInput(fields.name("kcal_per_kg"), "must be given, or label")
    grams_per_cup = fields.number_or_none("grams_per_cup", *CUP_G, "g")
    purpose: Purpose = "maintenance"
    if fields.has("purpose"):
        purpose = fields.choice("purpose", get_args(Purpose))
    fields.close()
    return FoodFacts(name, role, share, energy, label, grams_per_cup, nutrients, purpose)


def _label(fields: Fields, needs_composition: bool) -> tuple[Label | None, dict[str, float]]:
    nutrients: dict[str, float] = {}
    if fields.has("nutrients_per_kg"):
        inner = fields.inner("nutrients_per_kg")
        for word in ALLOWANCES:
            if inner.has(word):
                nutrients[word] = inner.number(word, *NUTRIENT_PER_KG, ALLOWANCES[word].unit)
        inner.close()
    if not needs_composition and not any(fields.has(key) for key in _COMPOSITION):
        if fields.has("form"):
            fields.choice("form", get_args(Form))
        fields.close()
        return None, nutrients
    form: Form = fields.choice("form", get_args(Form))
    label = Label(
        protein_pct=fields.number("protein_pct", *PERCENT, "%"),
        fat_pct=fields.number("fat_pct", *PERCENT, "%"),
        fibre_pct=fields.number("fibre_pct", *PERCENT, "%"),
        moisture_pct=fields.number("moisture_pct", *PERCENT, "%"),
        ash_pct=fields.number_or_none("ash_pct", *PERCENT, "%"),
        form=form,
    )
    fields.close()
    try:
        label_kcal_per_kg(label)
    except BadInput as error:
        tail = error.field.removeprefix("label")
        raise BadInput(f"{fields.path}{tail}", error.message) from None
    return label, nutrients
