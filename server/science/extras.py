"""Energy of common extras, so that a carrot or a spoon of peanut butter needs no label.

Values set for people; how well they hold for dogs was not found. All count inside the day.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Extra:
    """One common extra. kcal_per_kg: energy as fed [kcal/kg]."""

    word: str
    text: str
    kcal_per_kg: float
    source: str

    def as_json(self) -> dict[str, str | float]:
        """Return the extra as `tuckline conditions` prints it."""
        return {
            "word": self.word,
            "text": self.text,
            "kcal_per_kg": self.kcal_per_kg,
            "source": self.source,
        }


EXTRAS = (
    Extra("carrot_raw", "Carrot, raw", 410.0, "USDA FDC 170393"),
    Extra("cheddar", "Cheddar cheese", 4020.0, "USDA FDC 173414 (another release: 4030)"),
    Extra("chicken_breast", "Chicken breast, roasted, no skin", 1650.0, "USDA SR28 NDB 05064"),
    Extra("oat_rings", "Oat-ring cereal, plain, toasted", 3760.0, "USDA SR NDB 08013"),
    Extra("peanut_butter", "Peanut butter, smooth, without xylitol", 5970.0, "USDA: 32 g = 191"),
    Extra("green_beans", "Green beans, cooked", 350.0, "USDA SR (from memory)"),
    Extra("apple", "Apple with skin, raw, no seeds", 520.0, "USDA SR (from memory)"),
    Extra("banana", "Banana", 890.0, "USDA SR (from memory)"),
)
EXTRA_OF = {extra.word: extra for extra in EXTRAS}
