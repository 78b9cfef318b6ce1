"""Append-only records of a pour. A correction is a later record that names the earlier one by ``replaces``.

Times are of the thing itself (the truck was batched, the cylinder was broken), with their zone; a time that has not
come yet, or was not noted, is empty.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inspections.record import Record
from jobs.weather.records import WeatherSource


class PourRecord(Record):
    """What every record of a pour carries besides. ``replaces`` is the record this one corrects or goes on from; each
    is replaced once, so that two corrections of the same one cannot both stand."""

    replaces = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="replaced_by")
    note = models.TextField(blank=True)

    class Meta(Record.Meta):
        abstract = True


class MixAgreed(PourRecord):
    """What was agreed for every truck of a pour, and by whom the slump was approved."""

    mix = models.CharField(max_length=60, blank=True)
    slump_in = models.FloatField()
    approved_by = models.CharField(max_length=120)
    air_percent = models.FloatField(null=True)
    limit_min = models.FloatField(default=90.0)  # from batching to empty
    least_f = models.FloatField()  # of the concrete at discharge
    most_f = models.FloatField()
    protection = models.TextField(blank=True)  # what is on site to keep it warm
    cement_lb = models.FloatField(null=True)  # all binder in a yard
    water_ratio = models.FloatField(null=True)  # water by binder
    curve = models.JSONField(null=True)  # [days in the laboratory, psi] by the supplier's own tests; None: not given

    def __str__(self) -> str:
        return f"mix agreed at {self.slump_in:g} in"


class TruckLoad(PourRecord):
    """One truck: its ticket, its times, what was measured, and whether it was taken."""

    class Decision(models.TextChoices):
        OPEN = "", "not decided"
        ACCEPTED = "accepted", "accepted"
        REJECTED = "rejected", "sent back"

    ticket = models.CharField(max_length=40)
    mix = models.CharField(max_length=60, blank=True)
    yd3 = models.FloatField()
    batched = models.DateTimeField()
    arrived = models.DateTimeField(null=True)
    started = models.DateTimeField(null=True)
    ended = models.DateTimeField(null=True)
    concrete_f = models.FloatField(null=True)
    air_f = models.FloatField(null=True)
    slump_in = models.FloatField(null=True)
    air_percent = models.FloatField(null=True)
    water_gal = models.FloatField(default=0.0)
    water_by = models.CharField(max_length=120, blank=True)
    water_allowed_gal = models.FloatField(null=True)  # what the ticket still allows on site; None: not noted
    revolutions = models.PositiveIntegerField(null=True)  # of the drum, when it was empty
    decision = models.CharField(max_length=10, choices=Decision.choices, blank=True)
    reason = models.TextField(blank=True)

    class Meta(PourRecord.Meta):
        constraints = [
            models.CheckConstraint(condition=~Q(decision="rejected", reason=""), name="a_truck_sent_back_says_why"),
        ]

    def __str__(self) -> str:
        return f"truck {self.ticket}"


class TemperatureReading(PourRecord):
    """One temperature at one place."""

    class Place(models.TextChoices):
        CORE_TOP = "core_top", "core, near the top"
        CORE_MIDDLE = "core_middle", "core, mid height"
        NORTH_CORNER = "north_corner", "core, north corner"
        FACE = "face", "outer face of the wall"
        FOOTING = "footing", "footing"
        GROUND = "ground", "ground under the footing"
        AIR = "air", "air"

    place = models.CharField(max_length=20, choices=Place.choices)
    value_f = models.FloatField()
    taken = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.value_f:g} °F, {self.get_place_display()}"


class LoggerFile(PourRecord):
    """A file of a temperature logger at one place, as it was brought. Times in it that are hours count from ``begun``,
    clock times without a zone are of its clock."""

    place = models.CharField(max_length=20, choices=TemperatureReading.Place.choices)
    name = models.CharField(max_length=120)
    text = models.TextField()
    begun = models.DateTimeField()

    def __str__(self) -> str:
        return f"logger file {self.name}"


class ProtectionSet(PourRecord):
    """What keeps the wall warm from ``when`` until the next of these, or until protection was taken off: covers on both
    sides and on the top as R values [h ft2 F/Btu], air heated to [F]; 0 and None are none."""

    side_r = models.FloatField(default=0.0)
    top_r = models.FloatField(default=0.0)
    air_f = models.FloatField(null=True)
    when = models.DateTimeField()

    def __str__(self) -> str:
        return f"protection R {self.side_r:g}"


class LevelReading(PourRecord):
    """How far down from the top of the forms the fresh concrete stands on one leg [in], read with a tape."""

    down_in = models.FloatField()
    taken = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.down_in:g} in down on leg {', '.join(self.legs)}"


class PourDecision(PourRecord):
    """Whether a pour goes ahead, as somebody decided it: for which hours, on which answer of the guide, by which
    weather and under which conditions (as typed). ``answer`` is what the guide said, ``verdict`` what was decided."""

    class Verdict(models.TextChoices):
        GO = "go", "go"
        PROTECT = "protect", "go with protection"
        NO = "no", "no"

    verdict = models.CharField(max_length=10, choices=Verdict.choices)
    answer = models.CharField(max_length=10, choices=Verdict.choices)
    first_at = models.DateTimeField()  # first concrete
    until = models.DateTimeField()
    reasons = models.JSONField(default=list)  # sentences of the guide
    conditions = models.JSONField(default=dict)
    source = models.ForeignKey(WeatherSource, null=True, on_delete=models.PROTECT, related_name="+")
    weather = models.TextField()

    def __str__(self) -> str:
        return f"{self.get_verdict_display()} for {self.first_at:%Y-%m-%d %H:%M}"


class AlignmentReading(PourRecord):
    """How true one leg stands after the pour [in]: out of plumb, off its line, its top over (+) or under its level."""

    plumb_in = models.FloatField(null=True)
    line_in = models.FloatField(null=True)
    top_in = models.FloatField(null=True)
    taken = models.DateTimeField()

    def __str__(self) -> str:
        return f"alignment of leg {', '.join(self.legs)}"


class CylinderBreak(PourRecord):
    """One cylinder broken."""

    class Cured(models.TextChoices):
        FIELD = "field", "beside the wall"
        LAB = "lab", "in the laboratory"

    specimen = models.CharField(max_length=40)
    cast = models.DateTimeField()
    broken = models.DateTimeField()
    psi = models.FloatField()
    cured = models.CharField(max_length=10, choices=Cured.choices)

    def __str__(self) -> str:
        return f"cylinder {self.specimen}: {self.psi:.0f} psi"


class StrengthEstimate(PourRecord):
    """A strength [psi] that was worked out from temperatures, and accepted, with a reason, by whoever wrote it down.
    ``inputs`` is all it was worked out from, in words and numbers; ``ahead`` how the strength was expected to grow from
    then on, None where it was accepted before that was kept."""

    low_psi = models.FloatField()
    likely_psi = models.FloatField()
    high_psi = models.FloatField()
    until = models.DateTimeField()  # of the last reading: what it speaks of
    inputs = models.JSONField()
    ahead = models.JSONField(null=True)
    reason = models.TextField()

    class Meta(PourRecord.Meta):
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="an_accepted_estimate_says_why"),
        ]

    def __str__(self) -> str:
        return f"estimate of {self.low_psi:.0f} to {self.high_psi:.0f} psi"


class PourMoment(PourRecord):
    """Something done to the fresh wall, and when."""

    class What(models.TextChoices):
        VIBRATED = "vibrated", "vibrated through, last lift"
        TRUED = "trued", "pulled true"
        COVERED = "covered", "top covered"
        PROTECTED = "protected", "protection in place"
        UNPROTECTED = "unprotected", "protection taken off"
        OPENED = "opened", "forms opened (blow-out)"

    what = models.CharField(max_length=20, choices=What.choices)
    when = models.DateTimeField()

    def __str__(self) -> str:
        return self.get_what_display()


RECORDS: tuple[type[PourRecord], ...] = (
    MixAgreed, TruckLoad, TemperatureReading, LoggerFile, ProtectionSet, LevelReading, AlignmentReading, CylinderBreak,
    PourMoment, StrengthEstimate, PourDecision,
)  # fmt: skip
