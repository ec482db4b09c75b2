"""People, the households they share dogs in, and the dogs."""

from __future__ import annotations

import uuid
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q

LIGHTEST_G, HEAVIEST_G = 300, 120_000  # a recorded lean or adult weight, puppies of toys included


class PersonManager(BaseUserManager["Person"]):
    """Makes people; an e-mail address names one of them, whatever its case."""

    def create_user(self, email: str, password: str | None = None, **extra: Any) -> Person:
        """A person who can sign in (with no password: only after setting one)."""
        person = self.model(email=self.normalize_email(email).lower(), **extra)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> Person:
        """Find by e-mail, case aside."""
        return self.get(email__iexact=username)


class Person(AbstractBaseUser):
    """Someone who feeds, weighs or looks after dogs."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=80)
    tz = models.CharField(max_length=64, default="UTC")  # where they were last seen
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []
    objects: ClassVar[PersonManager] = PersonManager()

    def __str__(self) -> str:
        return self.name or self.email


class Role(models.TextChoices):
    """What a person may do in a household; a coordinator is the lead of a rescue."""

    LEAD = "lead"
    CARER = "carer"
    VIEWER = "viewer"


class Household(models.Model):
    """People who share dogs: a home, a rescue or a kennel."""

    class Kind(models.TextChoices):
        HOME = "home"
        RESCUE = "rescue"
        KENNEL = "kennel"

    id = models.UUIDField(primary_key=True)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.HOME)
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="household_kind_known", condition=Q(kind__in=["home", "rescue", "kennel"])
            )
        ]


class Membership(models.Model):
    """One person's role in one household."""

    id = models.UUIDField(primary_key=True)
    household = models.ForeignKey(Household, models.CASCADE, related_name="memberships")
    person = models.ForeignKey(Person, models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role.choices)
    since = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["household", "person"], name="one_role_per_household"),
            models.CheckConstraint(
                name="role_known", condition=Q(role__in=["lead", "carer", "viewer"])
            ),
        ]


class Dog(models.Model):
    """A dog and what decides how it may be fed. Who changed which field when is kept beside it."""

    id = models.UUIDField(primary_key=True)  # made on the phone
    household = models.ForeignKey(Household, models.PROTECT, related_name="dogs")
    name = models.CharField(max_length=60)
    sex = models.CharField(max_length=6)  # female, male
    neutered = models.BooleanField()
    birth_date = models.DateField(null=True)
    grown = models.CharField(max_length=7, null=True)  # yes, no, unknown; only without birth_date
    breed = models.CharField(max_length=80, null=True)  # a name of the breed table; None is mixed
    frame = models.CharField(max_length=6, null=True)  # small, medium, large
    coat = models.CharField(max_length=6, default="medium")  # short, medium, long
    reproduction = models.CharField(max_length=8, default="none")  # none, pregnant, nursing
    conditions = models.JSONField(default=list)  # words of the list of conditions for a vet
    lean_weight_g = models.PositiveIntegerField(null=True)  # recorded at ideal condition
    adult_weight_g = models.PositiveIntegerField(null=True)  # recorded or expected when grown
    carer_may_accept = models.BooleanField(default=False)
    paused = models.JSONField(null=True)  # {reason, since, note}
    closed = models.JSONField(null=True)  # {reason, on, note}
    created_at = models.DateTimeField()
    added_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    field_clocks = models.JSONField(default=dict)  # field: hlc of the write that stands

    class Meta:
        constraints = [
            models.CheckConstraint(name="dog_sex_known", condition=Q(sex__in=["female", "male"])),
            models.CheckConstraint(
                name="dog_coat_known", condition=Q(coat__in=["short", "medium", "long"])
            ),
            models.CheckConstraint(
                name="dog_reproduction_known",
                condition=Q(reproduction__in=["none", "pregnant", "nursing"]),
            ),
            models.CheckConstraint(
                name="dog_age_told_once", condition=Q(birth_date=None) | Q(grown=None)
            ),
            models.CheckConstraint(
                name="dog_lean_weight_plausible",
                condition=Q(lean_weight_g=None) | Q(lean_weight_g__range=(LIGHTEST_G, HEAVIEST_G)),
            ),
            models.CheckConstraint(
                name="dog_adult_weight_plausible",
                condition=Q(adult_weight_g=None)
                | Q(adult_weight_g__range=(LIGHTEST_G, HEAVIEST_G)),
            ),
        ]


class DogFieldWrite(models.Model):
    """One write of one field of a dog, kept whether it won or lost against another."""

    dog = models.ForeignKey(Dog, models.CASCADE, related_name="field_writes")
    field = models.CharField(max_length=20)
    value = models.JSONField(null=True)
    hlc = models.CharField(max_length=40)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    won = models.BooleanField()
    received_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["dog", "field", "-hlc"], name="dog_field_history")]
