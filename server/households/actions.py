"""Writes to households and dogs."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from typing import Any

from server.households import queries
from server.households.ids import uuid7
from server.households.models import Dog, DogFieldWrite, Household, Membership, Person, Role
from server.ledger import changes
from server.ledger.changes import Stamp
from server.ledger.turns import together

_GROWN_STORED: dict[Any, str | None] = {None: None, True: "yes", False: "no", "unknown": "unknown"}


@together
def open_household(*, name: str, kind: str, lead: Person, now: datetime) -> Household:
    """A new household with its first lead."""
    changes.hold()
    household = Household.objects.create(id=uuid7(now), name=name[:80], kind=kind, created_at=now)
    admit(household=household, person=lead, role=Role.LEAD, now=now)
    return household


@together
def admit(*, household: Household, person: Person, role: str, now: datetime) -> Membership:
    """Give a person a role, or another role; their phone is told to fetch the dogs."""
    changes.hold()
    membership, _ = Membership.objects.update_or_create(
        household=household,
        person=person,
        defaults={"role": role},
        create_defaults={"id": uuid7(now), "role": role, "since": now},
    )
    changes.publish(
        kind="access.granted",
        entity_id=membership.pk,
        person_id=person.pk,
        data=queries.access_row(membership),
    )
    publish_household(household)
    return membership


@together
def remove(*, membership: Membership) -> None:
    """End a membership; from this moment the person sees and changes nothing of it."""
    changes.hold()
    row = queries.access_row(membership)
    household, membership_id, person_id = membership.household, membership.pk, membership.person_id
    membership.delete()
    changes.publish(kind="access.removed", entity_id=membership_id, person_id=person_id, data=row)
    publish_household(household)


def publish_household(household: Household) -> Stamp:
    """Tell the household's phones how it stands."""
    return changes.publish(
        kind="household",
        entity_id=household.pk,
        household_id=household.pk,
        data=queries.household_row(household),
    )


def publish_dog(dog: Dog) -> Stamp:
    """Tell phones how the dog stands."""
    return publish_about(dog, kind="dog", entity_id=dog.pk, data=queries.dog_row(dog))


def publish_about(
    dog: Dog, *, kind: str, entity_id: uuid.UUID, data: dict[str, Any], new: bool = False
) -> Stamp:
    """Tell phones of the dog's household how a thing about this dog stands. new: see publish."""
    return changes.publish(
        kind=kind,
        entity_id=entity_id,
        household_id=dog.household_id,
        dog_id=dog.pk,
        data=data,
        new=new,
    )


def stored(field: str, value: Any) -> Any:
    """A field's value as the table holds it, from the value as phones say it."""
    if field == "grown":
        return _GROWN_STORED[value]
    if field == "birth_date" and isinstance(value, str):
        return date.fromisoformat(value)
    return value


@together
def add_dog(
    *,
    id: uuid.UUID,
    household_id: uuid.UUID,
    fields: dict[str, Any],
    hlc: str,
    by: Person,
    now: datetime,
) -> tuple[Dog, Stamp | None]:
    """Keep a new dog. The stamp is None where this very dog is known already.

    Raises Rejected "id_taken" where the id belongs to something else.
    """
    values = {name: stored(name, value) for name, value in fields.items()}
    if not changes.is_free(id):
        existing = Dog.objects.filter(pk=id, household_id=household_id).first()
        if existing and _as_added(existing) == _as_json(fields):
            return existing, None
        raise changes.id_taken()
    dog = Dog.objects.create(
        id=id,
        household_id=household_id,
        added_by=by,
        created_at=now,
        field_clocks=dict.fromkeys(fields, hlc),
        **values,
    )
    _remember(dog, fields, hlc=hlc, by=by, now=now, won=set(fields))
    return dog, publish_dog(dog)


@together
def edit_dog(
    *, dog: Dog, fields: dict[str, Any], won: set[str], hlc: str, by: Person, now: datetime
) -> Stamp:
    """Write the fields that won against the writes that stand; the others are history.

    dog: a locked row. Returns the dog's new stamp.
    """
    for name in won:
        setattr(dog, name, stored(name, fields[name]))
        dog.field_clocks[name] = hlc
    if won:
        dog.save()
    _remember(dog, fields, hlc=hlc, by=by, now=now, won=won)
    return publish_dog(dog)


def _as_added(dog: Dog) -> dict[str, Any]:
    writes = dog.field_writes.filter(received_at=dog.created_at)
    return {write.field: write.value for write in writes}


def _as_json(fields: dict[str, Any]) -> dict[str, Any]:
    return {
        name: value.isoformat() if isinstance(value, date) else value
        for name, value in fields.items()
    }


def _remember(
    dog: Dog, fields: dict[str, Any], *, hlc: str, by: Person, now: datetime, won: set[str]
) -> None:
    DogFieldWrite.objects.bulk_create(
        DogFieldWrite(
            dog=dog, field=name, value=value, hlc=hlc, by=by, won=name in won, received_at=now
        )
        for name, value in _as_json(fields).items()
    )
