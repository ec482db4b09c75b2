"""Rows that nothing may lose or double: change numbers, receipts, jobs, heartbeats."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q


class Feed(models.Model):
    """The one row that hands out change numbers, and the age of this database.

    `epoch` changes only when the database was put back from a backup: phones then know that
    their last entries may be missing here and send them again.
    """

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    last_seq = models.BigIntegerField(default=0)
    epoch = models.UUIDField(default=uuid.uuid4)

    class Meta:
        constraints = [models.CheckConstraint(name="feed_is_one_row", condition=Q(id=1))]


class Change(models.Model):
    """The present state of one thing as phones see it, under the number of its last change.

    A thing has one row, so history compacts itself; a deleted thing stays as a row without data.
    """

    entity_id = models.UUIDField(primary_key=True)
    kind = models.CharField(max_length=20)
    seq = models.BigIntegerField(unique=True)
    version = models.PositiveIntegerField(default=1)
    household_id = models.UUIDField(null=True)
    dog_id = models.UUIDField(null=True)
    person_id = models.UUIDField(null=True)  # set where only this person may see it
    deleted = models.BooleanField(default=False)
    data = models.JSONField(default=dict)

    class Meta:
        indexes = [
            models.Index(fields=["household_id", "seq"], name="change_of_household"),
            models.Index(fields=["dog_id", "seq"], name="change_of_dog"),
            models.Index(fields=["person_id", "seq"], name="change_of_person"),
        ]


class Receipt(models.Model):
    """What was answered to one operation of one person: sending twice equals sending once."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    op_id = models.UUIDField()
    payload_hash = models.CharField(max_length=64)
    result = models.JSONField()
    received_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "op_id"], name="receipt_once_per_person")
        ]


class Job(models.Model):
    """Work to be done by some worker. The row is the truth; a message only wakes someone.

    `asked` counts how often the work was asked for, `answered` up to which asking it was done:
    a wish that arrives while the work runs is not lost, and asking twice at rest runs it once.
    """

    kind = models.CharField(max_length=20)
    key = models.CharField(max_length=100)
    asked = models.PositiveIntegerField(default=1)
    answered = models.PositiveIntegerField(default=0)
    due_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True)
    attempts = models.PositiveIntegerField(default=0)
    last_error = models.TextField(blank=True, default="")
    given_up_at = models.DateTimeField(null=True)
    finished_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "key"], name="job_once_per_key")]
        indexes = [
            models.Index(fields=["due_at"], name="job_open", condition=Q(answered__lt=F("asked")))
        ]


class Heartbeat(models.Model):
    """When a worker last said that it is alive."""

    worker = models.CharField(max_length=100, primary_key=True)
    beat_at = models.DateTimeField()


class PhoneReport(models.Model):
    """What one phone last said of itself: how many entries it still held unsent."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    device_id = models.CharField(max_length=64)
    pending = models.PositiveIntegerField(default=0)
    seen_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "device_id"], name="report_once_per_phone")
        ]
