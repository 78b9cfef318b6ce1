"""What every record made by a person carries."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.utils import timezone

from jobs.models import AppendOnly, House, HouseStage, PlanRevision, Role


class Record(AppendOnly):
    """What every record carries: the person, the role, the times, and the device's own id."""

    client_id = models.UUIDField(default=uuid.uuid4, unique=True)
    house = models.ForeignKey(House, on_delete=models.PROTECT, related_name="%(class)ss")
    stage = models.ForeignKey(HouseStage, on_delete=models.PROTECT, related_name="%(class)ss")
    revision = models.ForeignKey(PlanRevision, on_delete=models.PROTECT, related_name="%(class)ss")
    legs = models.JSONField(default=list)  # names, in walking order; empty for a point of the whole house
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    role = models.CharField(max_length=20, choices=Role.choices)
    device_at = models.DateTimeField(null=True)
    at = models.DateTimeField(default=timezone.now)
    #: of everything that was sent: the same ``client_id`` with another content is a mistake, not a replay
    digest = models.CharField(max_length=64)

    class Meta:
        abstract = True
        ordering = ["at", "pk"]
