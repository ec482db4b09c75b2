"""What we advise: foods, plans with their changes, weekly reviews."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q


class Food(models.Model):
    """A food of one household. A changed recipe is a new row; a food in use is only retired."""

    id = models.UUIDField(primary_key=True)
    household = models.ForeignKey("households.Household", models.CASCADE, related_name="foods")
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=6)  # meal, treat, extra
    kcal_per_kg = models.FloatField(null=True)  # as the label says, metabolisable, as fed
    label = models.JSONField(null=True)  # analysis in %, as fed, where no energy is printed
    grams_per_cup = models.FloatField(null=True)
    purpose = models.CharField(max_length=12, default="maintenance")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, related_name="replaced_by")
    retired = models.BooleanField(default=False)
    retired_clock = models.CharField(max_length=40, blank=True, default="")
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    received_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="food_role_known", condition=Q(role__in=["meal", "treat", "extra"])
            ),
            models.CheckConstraint(
                name="food_has_energy",
                condition=Q(kcal_per_kg__isnull=False) | Q(label__isnull=False),
            ),
        ]


class Plan(models.Model):
    """A ration asked for, computed by a worker, and taken or not by a person."""

    class State(models.TextChoices):
        WAITING = "waiting"
        PROPOSED = "proposed"
        ACTIVE = "active"
        DECLINED = "declined"
        REFUSED = "refused"
        SUSPENDED = "suspended"
        ENDED = "ended"

    id = models.UUIDField(primary_key=True)  # made on the phone that asked
    dog = models.ForeignKey("households.Dog", models.CASCADE, related_name="plans")
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    kind = models.CharField(max_length=8, default="reduce")  # reduce, hold, step_up
    request = models.JSONField()  # as sent: weigh-in, check, intake, foods, treats, cup
    requested_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    requested_at = models.DateTimeField()
    local_date = models.DateField()
    result = models.JSONField(null=True)  # the science's answer, word for word
    problem = models.CharField(max_length=200, blank=True, default="")
    computed_at = models.DateTimeField(null=True)
    start_kg = models.FloatField(null=True)
    target_kg = models.JSONField(null=True)  # low, mid, high
    first_goal_kg = models.FloatField(null=True)
    accepted_on = models.DateField(null=True)
    kcal_per_day = models.FloatField(null=True)  # in force
    ration = models.JSONField(default=list)  # of the energy in force
    treat_kcal_max = models.FloatField(null=True)

    class Meta:
        constraints = [
            # One ration at a time: two in force would be fed on top of each other.
            models.UniqueConstraint(
                fields=["dog"],
                condition=Q(state__in=["active", "suspended"]),
                name="one_plan_in_force",
            )
        ]


class PlanChange(models.Model):
    """One answer of a person to one proposed energy."""

    plan = models.ForeignKey(Plan, models.CASCADE, related_name="changes")
    on = models.DateField()
    kcal_per_day = models.FloatField()
    answer = models.CharField(max_length=8)  # accepted, declined
    review = models.ForeignKey("plans.WeeklyReview", models.PROTECT, null=True, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    reason = models.CharField(max_length=200, blank=True, default="")
    answered_at = models.DateTimeField()


class WeeklyReview(models.Model):
    """The judgement of one dog's week; new facts within the week refresh it."""

    id = models.UUIDField(primary_key=True)
    dog = models.ForeignKey("households.Dog", models.CASCADE, related_name="reviews")
    plan = models.ForeignKey(Plan, models.CASCADE, related_name="reviews")
    week = models.CharField(max_length=8)  # ISO year and week, 2026-W10
    as_of = models.DateField()
    computed_at = models.DateTimeField()
    result = models.JSONField()
    proposal = models.JSONField(null=True)  # kcal_per_day, ration, treat_kcal_max
    answer = models.CharField(max_length=8, null=True)  # accepted, declined

    class Meta:
        constraints = [models.UniqueConstraint(fields=["dog", "week"], name="one_review_per_week")]
