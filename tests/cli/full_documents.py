"""Documents that use every key at least once, for trying a wrong value in each."""

from __future__ import annotations

from tests.cli.documents import PLAN, REVIEW

NUTRIENTS = {"protein": 250, "zinc": 120}
LABEL = {
    "protein_pct": 27,
    "fat_pct": 14,
    "fibre_pct": 2,
    "moisture_pct": 10,
    "ash_pct": 6,
    "form": "dry",
    "nutrients_per_kg": NUTRIENTS,
}
WORD = {"on": "2026-03-01", "by": "Dr Amadi", "covers": "plan", "until": "2026-12-31"}
FULL_PLAN = {
    **PLAN,
    "dog": {
        **PLAN["dog"],
        "conditions": ["diabetes"],
        "lean_weight_kg": 12.0,
        "adult_weight_kg": 13.0,
    },
    "condition": {"score": 7, "muscle": "normal", "on": "2026-03-01", "scatter": True},
    "foods": [
        {
            **PLAN["foods"][0],
            "share": 0.5,
            "purpose": "maintenance",
            "label": LABEL,
            "cup_weighed_g": 97,
        },
        {"name": "wet", "role": "meal", "share": 0.5, "kcal_per_kg": 900, "grams_per_cup": 240},
    ],
    "what_if_kcal": 420,
    "changing_from": {"name": "old", "role": "meal", "share": 1.0, "kcal_per_kg": 3800},
    "earlier_weights": [{"on": "2026-02-02", "kg": 15.4}],
    "treats": 20,
    "vet_word": [WORD],
}
LOOKS = {"ribs": "pressed", "waist": "straight", "tuck": "level"}
FULL_LOOKS = {**FULL_PLAN, "condition": LOOKS}
# The first food of a list is the one that is tried: each way of printing an energy once.
FULL_ENERGIES = {
    key: {**PLAN, "foods": [{"name": "first", "role": "meal", "share": 1.0, key: value}]}
    for key, value in [("kj_per_kg", 15000), ("kcal_per_100g", 360), ("kj_per_100g", 1500)]
}
FULL_TREAT = {
    **PLAN,
    "foods": [
        {
            "name": "biscuit",
            "role": "treat",
            "kcal_per_piece": 12,
            "grams_per_piece": 3,
            "pieces_per_day": 2,
        },
        PLAN["foods"][0],
    ],
}
FULL_EXTRA = {
    **PLAN,
    "foods": [
        {"name": "carrot", "role": "extra", "common_extra": "carrot_raw", "grams_per_day": 30},
        PLAN["foods"][0],
    ],
}
FULL_BASIS = {
    **PLAN,
    "foods": [{"name": "x", "role": "meal", "share": 1, "label": LABEL | {"basis": "dry_matter"}}],
}
FULL_REVIEW = {**REVIEW, "dog": FULL_PLAN["dog"], "vet_word": [WORD]}
AGELESS = {**PLAN, "dog": {**PLAN["dog"], "birth_date": None, "grown": True}}
