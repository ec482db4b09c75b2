"""Households and dogs as phones see them."""

from __future__ import annotations

from typing import Any

from server.households.models import Dog, Household, Membership, Person

# The fields of a dog that a lead may edit; each one has its own clock and history.
DOG_FIELDS = (
    "name",
    "sex",
    "neutered",
    "birth_date",
    "grown",
    "breed",
    "frame",
    "coat",
    "reproduction",
    "conditions",
    "lean_weight_g",
    "adult_weight_g",
    "carer_may_accept",
    "paused",
    "closed",
)
_GROWN_ON_PHONE: dict[str | None, bool | str | None] = {
    None: None,
    "yes": True,
    "no": False,
    "unknown": "unknown",
}


def grown_on_phone(stored: str | None) -> bool | str | None:
    """yes, no, unknown as the contract writes it: true, false, "unknown"."""
    return _GROWN_ON_PHONE[stored]


def dog_row(dog: Dog) -> dict[str, Any]:
    """A dog as phones keep it."""
    row: dict[str, Any] = {name: getattr(dog, name) for name in DOG_FIELDS}
    row["birth_date"] = dog.birth_date.isoformat() if dog.birth_date else None
    row["grown"] = grown_on_phone(dog.grown)
    row["household_id"] = str(dog.household_id)
    row["created_at"] = dog.created_at.isoformat()
    return row


def household_row(household: Household) -> dict[str, Any]:
    """A household with its people; names only, nobody's e-mail address."""
    members = household.memberships.select_related("person").order_by("since", "id")
    return {
        "name": household.name,
        "kind": household.kind,
        "members": [
            {"id": str(m.person_id), "name": m.person.name, "role": m.role} for m in members
        ],
    }


def access_row(membership: Membership) -> dict[str, Any]:
    """What a person's own phone is told about getting or losing a household."""
    return {
        "household_id": str(membership.household_id),
        "name": membership.household.name,
        "kind": membership.household.kind,
        "role": membership.role,
    }


def memberships_of(person: Person) -> list[Membership]:
    """The person's households, oldest first."""
    rows = Membership.objects.filter(person=person).select_related("household")
    return list(rows.order_by("since", "id"))


def by(person: Person | None) -> dict[str, str] | None:
    """Who did it, as phones show it."""
    return {"id": str(person.pk), "name": person.name} if person else None
