"""Conditions that need a vet before any change of ration."""

from dataclasses import dataclass

PRESCRIPTION = "prescription_diet"
CONSENSUS = "clinical consensus, from memory"
ENDOCRINE = (
    "The Veterinary Nurse; Veterinary Practice News, August 2019: hormone disease behind obesity"
)


@dataclass(frozen=True)
class Listed:
    """A word of the contract with its text for people and its source."""

    word: str
    text: str
    source: str

    def as_json(self) -> dict[str, str]:
        """Return the item as `tuckline conditions` prints it."""
        return {"word": self.word, "text": self.text, "source": self.source}


CONDITIONS = (
    Listed("heart_disease", "Heart disease", CONSENSUS),
    Listed("kidney_disease", "Kidney disease", CONSENSUS),
    Listed("liver_disease", "Liver disease", CONSENSUS),
    Listed("diabetes", "Diabetes, with or without insulin", CONSENSUS),
    Listed("past_pancreatitis", "Pancreatitis now or in the past", CONSENSUS),
    Listed("urinary_stones", "Urinary stones or crystals", CONSENSUS),
    Listed("food_allergy", "Food allergy or a trial diet for one", CONSENSUS),
    Listed(PRESCRIPTION, "A diet prescribed by a vet", CONSENSUS),
    Listed("hypothyroidism", "An underactive thyroid", ENDOCRINE),
    Listed("adrenal_disease", "Disease of the adrenal glands", ENDOCRINE),
    Listed("cancer", "Cancer", CONSENSUS),
    Listed("recent_surgery", "Surgery within the last weeks", CONSENSUS),
    Listed("seizure_drugs", "Medicine against seizures", CONSENSUS),
    Listed("steroids", "Steroids, by mouth or by injection", CONSENSUS),
    Listed("refusing_food_over_a_day", "Refusing food for over a day", CONSENSUS),
    Listed("vomiting", "Vomiting, once a day or more often", CONSENSUS),
)
CONDITION_WORDS = frozenset(item.word for item in CONDITIONS)
