"""Read what a document says about foods."""

from typing import Literal, get_args

from server.errors import BadInput
from server.science.extras import EXTRA_OF
from server.science.food_energy import (
    Form,
    Label,
    as_fed,
    check_printed_energy,
    label_kcal_per_kg,
)
from server.science.foods import CupFrom, FoodFacts, Purpose, Role, check_shares, energy_basis
from server.science.nutrients import ALLOWANCES
from server.science.reading import Fields
from server.science.units import KJ_PER_KCAL

# What may be entered. Our guards against slips of the finger, not findings.
FOOD_KCAL_PER_KG = (50.0, 9500.0)  # from watery vegetables to pure fat
CUP_G = (5.0, 1000.0)
SHARE = (0.001, 1.0)
PERCENT = (0.0, 100.0)
NUTRIENT_PER_KG = (0.0, 1_000_000.0)
PIECE_G, PIECE_KCAL = (0.05, 1000.0), (0.05, 2000.0)
DAY_G, DAY_PIECES = (0.0, 5000.0), (0.0, 500.0)
Basis = Literal["as_fed", "dry_matter"]

_ROLES: tuple[Role, ...] = get_args(Role)
# Ways to print an energy: the factor to kcal per kg, and the unit.
_ENERGY_KEYS: dict[str, tuple[float, str]] = {
    "kcal_per_kg": (1.0, "kcal/kg"),
    "kj_per_kg": (1 / KJ_PER_KCAL, "kJ/kg"),
    "kcal_per_100g": (10.0, "kcal/100 g"),
    "kj_per_100g": (10 / KJ_PER_KCAL, "kJ/100 g"),
    "common_extra": (1.0, "kcal/kg"),
}
_COMPOSITION = ("protein_pct", "fat_pct", "fibre_pct", "moisture_pct", "ash_pct")


def read_foods(fields: Fields) -> tuple[FoodFacts, ...]:
    """Return the foods under "foods", checked to fit together. Raises BadInput."""
    foods = tuple(_food(food) for food in fields.objects("foods"))
    check_shares(foods)
    energy_basis(foods)
    return foods


def read_old_food(fields: Fields) -> FoodFacts:
    """Return the food that a dog comes from: as a meal food, share left out. Raises BadInput."""
    return _food(fields, old=True)


def _food(fields: Fields, old: bool = False) -> FoodFacts:
    name = fields.text("name")
    role: Role = "meal" if old and not fields.has("role") else fields.choice("role", _ROLES)
    if old and role != "meal":
        raise BadInput(fields.name("role"), f"must be meal or left out, not {role}")
    share = 1.0
    if role == "meal" and not (old and not fields.has("share")):
        share = fields.number("share", *SHARE, "")
    elif fields.has("share"):
        raise BadInput(fields.name("share"), "must be left out unless role is meal")
    energy, energy_key = _energy(fields)
    grams_per_piece, kcal_per_piece = _piece(fields, role)
    grams_per_day, pieces_per_day = _given(fields, role, grams_per_piece, kcal_per_piece)
    if kcal_per_piece is not None and energy is not None:
        raise BadInput(fields.name(energy_key), "must be left out beside kcal_per_piece")
    label: Label | None = None
    nutrients: dict[str, float] = {}
    if fields.has("label"):
        inner = fields.inner("label")
        label, nutrients = _label(inner, energy is None and kcal_per_piece is None)
        if label is not None and energy is not None:
            _check_printed(fields, energy_key, energy, label)
    if energy is None and label is None and kcal_per_piece is None:
        raise BadInput(fields.name("kcal_per_kg"), "must be given, or label")
    grams_per_cup = fields.number_or_none("grams_per_cup", *CUP_G, "g")
    weighed = fields.number_or_none("cup_weighed_g", *CUP_G, "g")
    cup_from: CupFrom = "label" if weighed is None else "weighed"
    purpose: Purpose = "maintenance"
    if fields.has("purpose"):
        purpose = fields.choice("purpose", get_args(Purpose))
    fields.close()
    return FoodFacts(
        name,
        role,
        share,
        energy,
        label,
        grams_per_cup if weighed is None else weighed,
        nutrients,
        purpose,
        grams_per_piece,
        kcal_per_piece,
        cup_from,
        grams_per_cup,
        grams_per_day,
        pieces_per_day,
    )


def _energy(fields: Fields) -> tuple[float | None, str]:
    """Return the printed energy [kcal/kg] and the key that gave it; at most one key may."""
    given = [key for key in _ENERGY_KEYS if fields.has(key)]
    if len(given) > 1:
        raise BadInput(fields.name(given[1]), f"must be left out beside {given[0]}")
    if not given:
        return None, "kcal_per_kg"
    key = given[0]
    if key == "common_extra":
        return EXTRA_OF[fields.choice("common_extra", tuple(EXTRA_OF))].kcal_per_kg, key
    factor, unit = _ENERGY_KEYS[key]
    low, high = (limit / factor for limit in FOOD_KCAL_PER_KG)
    return fields.number(key, round(low, 1), round(high, 1), unit) * factor, key


def _piece(fields: Fields, role: Role) -> tuple[float | None, float | None]:
    for key in ("grams_per_piece", "kcal_per_piece"):
        if role == "meal" and fields.has(key):
            raise BadInput(fields.name(key), "must be left out unless role is treat or extra")
    grams = fields.number_or_none("grams_per_piece", *PIECE_G, "g")
    kcal = fields.number_or_none("kcal_per_piece", *PIECE_KCAL, "kcal")
    if grams is not None and kcal is not None:
        low, high = FOOD_KCAL_PER_KG
        if not low <= 1000 * kcal / grams <= high:
            raise BadInput(
                fields.name("kcal_per_piece"),
                f"must be from {low * grams / 1000:g} to {high * grams / 1000:g} kcal for a piece "
                f"of {grams:g} g, not {kcal:g}",
            )
    return grams, kcal


def _given(
    fields: Fields, role: Role, grams_per_piece: float | None, kcal_per_piece: float | None
) -> tuple[float | None, float | None]:
    """Return what is given of a treat or extra each day: grams, or pieces."""
    for key in ("grams_per_day", "pieces_per_day"):
        if role == "meal" and fields.has(key):
            raise BadInput(fields.name(key), "must be left out unless role is treat or extra")
    grams = fields.number_or_none("grams_per_day", *DAY_G, "g")
    pieces = fields.number_or_none("pieces_per_day", *DAY_PIECES, "pieces")
    if grams is not None and pieces is not None:
        raise BadInput(fields.name("pieces_per_day"), "must be left out beside grams_per_day")
    if pieces is not None and grams_per_piece is None and kcal_per_piece is None:
        raise BadInput(
            fields.name("pieces_per_day"), "must stand beside kcal_per_piece or grams_per_piece"
        )
    if grams is not None and kcal_per_piece is not None and grams_per_piece is None:
        raise BadInput(
            fields.name("grams_per_day"), "must be told in pieces_per_day beside kcal_per_piece"
        )
    return grams, pieces


def _check_printed(fields: Fields, key: str, energy: float, label: Label) -> None:
    try:
        check_printed_energy(energy, label)
    except BadInput as error:
        raise BadInput(fields.name(key), error.message) from None


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
        if fields.has("basis"):
            fields.choice("basis", get_args(Basis))
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
    basis: Basis = "as_fed"
    if fields.has("basis"):
        basis = fields.choice("basis", get_args(Basis))
    fields.close()
    try:
        if basis == "dry_matter":
            label = as_fed(label)
        label_kcal_per_kg(label)
    except BadInput as error:
        tail = error.field.removeprefix("label")
        raise BadInput(f"{fields.path}{tail}", error.message) from None
    return label, nutrients
