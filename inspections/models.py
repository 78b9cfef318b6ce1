"""Append-only records: what was presented, its evidence, who released or rejected it, what was put right or done.

Nothing here is ever changed. A later record supersedes an earlier one by naming it; state is worked out by
:mod:`inspections.standing` from the records and never stored.
"""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q

from inspections.pours import models as pours
from inspections.record import Record
from jobs.models import AppendOnly, House

#: Records of a pour; kept in their own room.
POUR_RECORDS = pours.RECORDS


class Presentation(Record):
    """Somebody says a point is ready to be looked at, with evidence."""

    point = models.CharField(max_length=40)
    note = models.TextField(blank=True)
    #: why a reading outside its tolerance is presented all the same; shown to whoever releases
    deviation = models.TextField(blank=True)
    #: by leg, of the inputs it was presented against; see :mod:`takeoff.fingerprint`
    fingerprints = models.JSONField()

    def __str__(self) -> str:
        return f"{self.point} presented"


class SignOff(Record):
    """A release or a rejection, by leg. ``fingerprints`` are of the inputs released; see :mod:`takeoff.fingerprint`.

    ``supersedes`` names the sign-offs of the same point that ruled on any of its legs until then.
    """

    class Decision(models.TextChoices):
        RELEASED = "released", "released"
        REJECTED = "rejected", "rejected"

    point = models.CharField(max_length=40)
    presentation = models.ForeignKey(Presentation, on_delete=models.PROTECT, related_name="sign_offs")
    decision = models.CharField(max_length=10, choices=Decision.choices)
    reason = models.TextField(blank=True)
    fingerprints = models.JSONField()
    supersedes = models.ManyToManyField("self", symmetrical=False, related_name="superseded_by")

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(condition=~Q(decision="rejected", reason=""), name="a_rejection_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.point} {self.decision}"


class CorrectionClosed(Record):
    """What was done about a rejection, on the legs named. The point may then be presented again."""

    sign_off = models.ForeignKey(SignOff, on_delete=models.PROTECT, related_name="closures")
    done = models.TextField()

    def __str__(self) -> str:
        return f"correction of {self.sign_off.point} closed"


class WorkDone(Record):
    """A covering or loading operation took place on the legs named."""

    operation = models.CharField(max_length=40)
    note = models.TextField(blank=True)

    def __str__(self) -> str:
        return f"{self.operation} done"


def evidence_path(instance: EvidenceItem, filename: str) -> str:
    """Where an uploaded file is kept: by house, under a name of our own."""
    return f"evidence/{instance.house_id}/{uuid.uuid4().hex}.{filename.rsplit('.', 1)[-1].lower()}"


class EvidenceItem(AppendOnly):
    """One piece of evidence of a presentation or of a closed correction."""

    house = models.ForeignKey(House, on_delete=models.PROTECT, related_name="evidence")
    presentation = models.ForeignKey(Presentation, null=True, on_delete=models.PROTECT, related_name="evidence")
    closure = models.ForeignKey(CorrectionClosed, null=True, on_delete=models.PROTECT, related_name="evidence")
    key = models.CharField(max_length=40)  # of the Evidence asked for
    kind = models.CharField(max_length=20)
    leg = models.CharField(max_length=40, blank=True)
    number = models.FloatField(null=True)  # a measurement, in `unit`
    unit = models.CharField(max_length=20, blank=True)
    text = models.TextField(blank=True)  # as typed, a choice's value, a ticket number
    within = models.BooleanField(null=True)  # of tolerance; None where nothing is compared
    required = models.TextField(blank=True)  # the criterion it was compared with, in words
    file = models.FileField(upload_to=evidence_path, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)  # of the file as kept
    camera_time = models.CharField(max_length=19, blank=True)  # by the camera's own clock, '2026:11:03 14:05:00'

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(presentation__isnull=False, closure__isnull=True)
                | Q(presentation__isnull=True, closure__isnull=False),
                name="evidence_belongs_to_one_record",
            )
        ]

    def __str__(self) -> str:
        return f"{self.key}"
