"""The only door to a dog. A stranger's dog and no dog look the same."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Literal

from server.errors import NotAllowed, NotFound
from server.households.models import Dog, Membership, Person, Role

Need = Literal["read", "log", "lead"]
ENOUGH: dict[Need, frozenset[str]] = {
    "read": frozenset({Role.LEAD, Role.CARER, Role.VIEWER}),
    "log": frozenset({Role.LEAD, Role.CARER}),
    "lead": frozenset({Role.LEAD}),
}
IN_WORDS: dict[Need, str] = {
    "read": "Only members of this household can see this.",
    "log": "You can look at this dog but not log for it. Ask a lead of the household.",
    "lead": "Only a lead of the household can change this.",
}


@dataclass(frozen=True)
class Door:
    """A dog that this person may touch, and as what."""

    dog: Dog
    role: str

    @property
    def leads(self) -> bool:
        """True for a lead of the dog's household."""
        return self.role == Role.LEAD

    def may_accept(self) -> bool:
        """A lead accepts plans; a carer only for a dog for which a lead allows it."""
        return self.leads or (self.role == Role.CARER and self.dog.carer_may_accept)


def role_in(person: Person, household_id: uuid.UUID) -> str | None:
    """This person's role in a household, None for a stranger."""
    row = Membership.objects.filter(person=person, household_id=household_id).first()
    return row.role if row else None


def household_for(person: Person, household_id: uuid.UUID, *, need: Need) -> str:
    """The person's role in the household. Raises NotFound for a stranger, NotAllowed below need."""
    role = role_in(person, household_id)
    if role is None:
        raise NotFound("There is no such household for you.")
    if role not in ENOUGH[need]:
        raise NotAllowed(IN_WORDS[need])
    return role


def dog_for(person: Person, dog_id: uuid.UUID | None, *, need: Need, lock: bool = False) -> Door:
    """The dog, if this person may do what is asked; judged on the stored row, now.

    lock: hold the row until the transaction ends, for a write that depends on what it reads.
    Raises NotFound where there is no such dog for this person, NotAllowed below need.
    """
    rows = Dog.objects.select_for_update() if lock else Dog.objects.all()
    dog = rows.filter(pk=dog_id).first() if dog_id else None
    role = role_in(person, dog.household_id) if dog else None
    if dog is None or role is None:
        raise NotFound("There is no such dog for you.")
    if role not in ENOUGH[need]:
        raise NotAllowed(IN_WORDS[need])
    return Door(dog, role)
