"""What people saw: weigh-ins, condition checks, a vet's words. Facts are added, never edited."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

LIGHTEST_G, HEAVIEST_G = 300, 120_000  # may be recorded: puppies too, so wider than any formula


class Seen(models.Model):
    """When it happened, as the phone said, and when we heard of it: two different things."""

    id = models.UUIDField(primary_key=True)  # made on the phone, offline
    dog = models.ForeignKey("households.Dog", models.CASCADE, related_name="%(class)ss")
    measured_at = models.DateTimeField()
    local_date = models.DateField()  # the day it was there, whatever zone we are in
    tz = models.CharField(max_length=64)
    received_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="recorded_%(class)ss"
    )
    hlc = models.CharField(max_length=40)  # clamped to the time of receipt
    hlc_said = models.CharField(max_length=40)  # as the phone said it
    flagged_future = models.BooleanField(default=False)  # over a day ahead of our clock
    note = models.CharField(max_length=200, blank=True, default="")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, related_name="replaced_by")
    voided_at = models.DateTimeField(null=True)
    voided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+"
    )
    void_reason = models.CharField(max_length=200, blank=True, default="")
    void_clock = models.CharField(max_length=40, blank=True, default="")

    class Meta:
        abstract = True


class WeighIn(Seen):
    """One reading of one dog on one scale [whole grams]. A correction is a new row."""

    weight_g = models.PositiveIntegerField()
    scale = models.CharField(max_length=40)
    method = models.CharField(max_length=8, default="platform")  # platform, or held by a person
    use = models.BooleanField(null=True)  # a person's word on a reading that a review set aside
    use_clock = models.CharField(max_length=40, blank=True, default="")

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="weigh_in_plausible", condition=Q(weight_g__range=(LIGHTEST_G, HEAVIEST_G))
            )
        ]
        indexes = [models.Index(fields=["dog", "-measured_at"], name="weigh_in_newest_first")]


class ConditionCheck(Seen):
    """What hands and eyes found: three looks, or a score a vet gave, and the muscle question."""

    ribs = models.CharField(max_length=30, null=True)
    waist = models.CharField(max_length=30, null=True)
    tuck = models.CharField(max_length=30, null=True)
    score = models.PositiveSmallIntegerField(null=True)  # 1 to 9
    muscle = models.CharField(max_length=8, default="normal")

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="check_score_or_looks",
                condition=Q(score__range=(1, 9), ribs=None, waist=None, tuck=None)
                | Q(score=None, ribs__isnull=False, waist__isnull=False, tuck__isnull=False),
            ),
            models.CheckConstraint(
                name="check_muscle_known",
                condition=Q(muscle__in=["normal", "mild", "moderate", "severe"]),
            ),
        ]
        indexes = [models.Index(fields=["dog", "-measured_at"], name="check_newest_first")]


class VetWord(models.Model):
    """A licensed vet's word that lifts one gate, until its end. Only a lead records it."""

    id = models.UUIDField(primary_key=True)
    dog = models.ForeignKey("households.Dog", models.CASCADE, related_name="vet_words")
    on = models.DateField()
    by = models.CharField(max_length=80)  # the vet or practice
    covers = models.CharField(max_length=60)
    until = models.DateField(null=True)
    ended_on = models.DateField(null=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    received_at = models.DateTimeField()
