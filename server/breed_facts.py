"""What the science needs to know of a breed, from the breed table: for the worker and the CLI."""

from server.breeds import adult_range, breed_max_kg, breeds_called
from server.errors import BadInput
from server.science.dog import Sex
from server.science.dog_case import BreedFacts


def breed_facts(name: str, sex: Sex) -> BreedFacts | None:
    """Return the facts of a breed of this name, None for an unknown one.

    Raises BadInput for a name that several breeds of the table share.
    """
    breeds = breeds_called(name)
    if not breeds:
        return None
    if len(breeds) > 1:
        raise BadInput("dog.breed", f"must name one breed: {', '.join(breeds)}")
    row = adult_range(breeds[0], sex)
    return BreedFacts(
        name=breeds[0],
        min_kg=row.low_kg if row else None,
        max_kg=row.high_kg if row else None,
        grown_kg=breed_max_kg(breeds[0], sex),
    )
