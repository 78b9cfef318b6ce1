"""Firms, people, houses, plan revisions, stages, and the event log.

Records that a person makes carry an id made on that person's device (``client_id``), so that sending one twice
counts once. Plan revisions and events are append-only.
"""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from typing import Any, Self

from django.conf import settings
from django.contrib.auth.models import AbstractUser, BaseUserManager
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.timezone import now

from jobs.fields import LengthModelField
from takeoff.plan import Stage as StageKind


class Role(models.TextChoices):
    """What a person is on one house. The builder's role comes from belonging to the firm."""

    BUILDER = "builder", "builder"
    FIELD_LEAD = "field_lead", "field lead"
    INSPECTOR = "inspector", "inspector"
    ENGINEER = "engineer", "engineer of record"
    SURVEYOR = "surveyor", "surveyor"


class AppendOnly(models.Model):
    """A row that is written once. A correction is a new row that names the old one."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ValidationError("This record cannot be changed; make a new one that names it.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise ValidationError("This record cannot be deleted.")


# -- people ----------------------------------------------------------------------------------------
class PersonManager(BaseUserManager["Person"]):
    """Creates people by e-mail address."""

    use_in_migrations = True

    def create_user(self, email: str, password: str | None = None, **extra: Any) -> Person:
        """A person who may log in."""
        person = self.model(email=self.normalize_email(email).lower(), **extra)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> Person:
        """The person of an address, however a phone's keyboard capitalised it; addresses are kept in small letters."""
        return self.get(email=(username or "").lower())

    def create_superuser(self, email: str, password: str | None = None, **extra: Any) -> Person:
        """A person who may use the admin pages."""
        return self.create_user(email, password, is_staff=True, is_superuser=True, **extra)


class Person(AbstractUser):
    """Somebody with a login; the e-mail address is the login name."""

    username = None  # type: ignore[assignment]
    first_name = None  # type: ignore[assignment]
    last_name = None  # type: ignore[assignment]
    email = models.EmailField("e-mail address", unique=True)
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]
    objects = PersonManager()  # type: ignore[misc,assignment]

    def __str__(self) -> str:
        return self.name or self.email

    def get_full_name(self) -> str:
        return self.name

    def get_short_name(self) -> str:
        return self.name.split(" ")[0]


class Firm(models.Model):
    """A builder's firm. Its members are builders on all its houses and on nobody else's."""

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    #: alignment braces the firm has, wherever they stand; None where nobody said
    braces_owned = models.PositiveIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name

    @property
    def members(self) -> models.QuerySet[Person]:
        """The people who build for the firm now; whoever left is not among them."""
        return Person.objects.filter(firm_memberships__firm=self, firm_memberships__ended_at=None)


class FirmMember(models.Model):
    """A person of a firm; ended, never deleted. A person builds for one firm at a time."""

    firm = models.ForeignKey(Firm, on_delete=models.CASCADE, related_name="memberships")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="firm_memberships")
    since_at = models.DateTimeField(default=now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=Q(ended_at__isnull=True), name="one_firm_at_a_time_each"
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} of {self.firm}"


# -- houses ----------------------------------------------------------------------------------------
class House(models.Model):
    """One house on one lot. ``version`` counts edits of the house and its site, to catch a stale page."""

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="houses")
    name = models.CharField(max_length=120)
    lot = models.CharField(max_length=60, blank=True)
    address = models.CharField(max_length=200, blank=True)
    jurisdiction = models.CharField(max_length=120, blank=True)
    permit_number = models.CharField(max_length=60, blank=True)
    timezone = models.CharField(max_length=60, default="America/Chicago")
    dig_date = models.DateField(null=True, blank=True)
    buried_by_date = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField(default=now, editable=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(dig_date=None) | Q(buried_by_date=None) | Q(buried_by_date__gte=F("dig_date")),
                name="buried_after_the_dig",
            )
        ]

    def __str__(self) -> str:
        return self.name


class Site(models.Model):
    """The ground of one house: see :class:`takeoff.site.Site` for units."""

    house = models.OneToOneField(House, on_delete=models.CASCADE, related_name="site")
    soil_class = models.CharField(max_length=6, default="SM")
    equivalent_fluid_pcf = models.FloatField(default=45.0)
    bearing_psf = models.FloatField(default=2000.0)
    frost_depth = LengthModelField()
    ground_water = LengthModelField(null=True, blank=True)
    exterior_grade = LengthModelField(null=True, blank=True)
    code_edition = models.CharField(max_length=40, default="IRC 2021")
    #: where the site lies, degrees north and east, for a forecast; None where nobody said
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(equivalent_fluid_pcf__gt=0, bearing_psf__gt=0), name="loads_of_the_ground_are_positive"
            ),
            models.CheckConstraint(
                condition=Q(latitude=None, longitude=None) | Q(latitude__range=(-90, 90), longitude__range=(-180, 180)),
                name="site_lies_on_the_globe",
            ),
        ]

    def __str__(self) -> str:
        return f"site of {self.house}"


class HouseMember(models.Model):
    """A person's role on one house (field lead, inspector, engineer, surveyor); ended, never deleted."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="memberships")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=20, choices=Role.choices)
    since_at = models.DateTimeField(default=now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["house", "person", "role"], condition=Q(ended_at__isnull=True), name="one_open_role_each"
            ),
            models.CheckConstraint(condition=~Q(role=Role.BUILDER), name="builder_comes_from_the_firm"),
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_role_display()} on {self.house}"


class OfferQuerySet(models.QuerySet[Any]):
    """Offers by how they stand."""

    def unanswered(self) -> Self:
        """Neither taken up nor withdrawn, expired or not."""
        return self.filter(accepted_at=None, withdrawn_at=None)

    def open(self) -> Self:
        """Those whose link still opens something."""
        return self.unanswered().filter(invited_at__gt=now() - Offer.LIFE)


class Offer(models.Model):
    """Something offered to an e-mail address and taken up through a secret link, once and within its time."""

    #: How long a link opens something. Counted from ``invited_at``, so there is nothing to sweep.
    LIFE = timedelta(days=30)

    email = models.EmailField()
    name = models.CharField(max_length=120, blank=True)
    token = models.CharField(max_length=64, unique=True)
    invited_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    invited_at = models.DateTimeField(default=now)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    accepted_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = OfferQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["-invited_at", "-pk"]

    @property
    def expires_at(self) -> datetime:
        """From when on the link opens nothing."""
        return self.invited_at + self.LIFE

    @property
    def is_expired(self) -> bool:
        """Its time is over, whatever became of it."""
        return now() >= self.expires_at

    @property
    def is_open(self) -> bool:
        """Not taken up, not withdrawn, not expired."""
        return self.accepted_at is None and self.withdrawn_at is None and not self.is_expired


_ACCEPTED_OR_NOT = Q(accepted_by=None, accepted_at=None) | Q(
    accepted_by__isnull=False, accepted_at__isnull=False, withdrawn_at=None
)


class Invitation(Offer):
    """An offer of a role on a house."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=20, choices=[c for c in Role.choices if c[0] != Role.BUILDER])

    class Meta(Offer.Meta):
        constraints = [models.CheckConstraint(condition=_ACCEPTED_OR_NOT, name="accepted_by_someone_or_not")]

    def __str__(self) -> str:
        return f"{self.email} as {self.get_role_display()} on {self.house}"


class FirmInvitation(Offer):
    """An offer to build for a firm, as a colleague of those who already do."""

    firm = models.ForeignKey(Firm, on_delete=models.CASCADE, related_name="invitations")

    class Meta(Offer.Meta):
        constraints = [models.CheckConstraint(condition=_ACCEPTED_OR_NOT, name="firm_accepted_by_someone_or_not")]

    def __str__(self) -> str:
        return f"{self.email} into {self.firm}"


class FormSystemRecord(models.Model):
    """A firm's form system: ``data`` is the form-system part of the plan file format."""

    firm = models.ForeignKey(Firm, on_delete=models.CASCADE, related_name="form_systems")
    key = models.SlugField(max_length=60)
    data = models.JSONField()
    version = models.PositiveIntegerField(default=1)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["key"]
        constraints = [models.UniqueConstraint(fields=["firm", "key"], name="form_system_key_per_firm")]

    def __str__(self) -> str:
        return str(self.data.get("name", self.key))


# -- plans -----------------------------------------------------------------------------------------
class PlanDraft(models.Model):
    """The plan being walked: the document as typed, wrong or right. ``version`` catches a stale page."""

    house = models.OneToOneField(House, on_delete=models.CASCADE, related_name="draft")
    document = models.JSONField(default=dict)
    version = models.PositiveIntegerField(default=1)
    updated_at = models.DateTimeField(default=now)
    updated_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"draft of {self.house}"


class PlanRevision(AppendOnly):
    """A plan as locked. ``document`` is the whole plan file; ``frozen`` what the engine made of it on that day.

    Both are described in :mod:`jobs.frozen`. ``facts`` is the small part of it that gates and lists read (legs, their
    sections, fingerprints per stage, unbalanced heights); ``frozen`` the whole (quantities, criteria, problems).
    """

    house = models.ForeignKey(House, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()  # 1 is shown as A
    note = models.CharField(max_length=300, blank=True)
    document = models.JSONField()
    digest = models.CharField(max_length=64)
    facts = models.JSONField()
    frozen = models.JSONField()
    engine_version = models.CharField(max_length=40)
    locked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    locked_at = models.DateTimeField(default=now)

    class Meta:
        ordering = ["house", "-number"]
        constraints = [models.UniqueConstraint(fields=["house", "number"], name="revision_number_per_house")]

    def __str__(self) -> str:
        return f"{self.house} rev. {self.letter}"

    @property
    def letter(self) -> str:
        """Revision letter: 1 is A, 27 is AA."""
        number, letters = self.number, ""
        while number:
            number, digit = divmod(number - 1, 26)
            letters = chr(ord("A") + digit) + letters
        return letters


class HouseStage(models.Model):
    """One stage of one house, in its place. A house may leave a kind out or have it twice."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="stages")
    position = models.PositiveIntegerField()
    kind = models.CharField(max_length=20, choices=[(k.value, k.value.replace("_", " ")) for k in StageKind])
    title = models.CharField(max_length=80)
    planned_start_date = models.DateField(null=True, blank=True)
    planned_end_date = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["house", "position"]
        constraints = [models.UniqueConstraint(fields=["house", "position"], name="one_stage_per_place")]

    def __str__(self) -> str:
        return self.title

    @property
    def stage_kind(self) -> StageKind:
        """The engine's name for this kind of stage."""
        return StageKind(self.kind)


# -- what happened ---------------------------------------------------------------------------------
class Event(AppendOnly):
    """One thing somebody did to a house (or to a firm's own data): written in the same transaction as the thing.

    ``client_id`` is made on the device; the second arrival of an id is answered with the first's result.
    ``subject_type``/``subject_id`` name the row it made.
    """

    house = models.ForeignKey(House, null=True, on_delete=models.PROTECT, related_name="events")
    firm = models.ForeignKey(Firm, null=True, on_delete=models.PROTECT, related_name="events")
    client_id = models.UUIDField(default=uuid.uuid4, unique=True)
    verb = models.CharField(max_length=40)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    role = models.CharField(max_length=20, choices=Role.choices)
    stage = models.ForeignKey(HouseStage, null=True, on_delete=models.PROTECT, related_name="events")
    summary = models.CharField(max_length=300)
    reason = models.TextField(blank=True)
    subject_type = models.CharField(max_length=40, blank=True)
    subject_id = models.BigIntegerField(null=True)
    device_at = models.DateTimeField(null=True)
    at = models.DateTimeField(default=now)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["house", "-at"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(house__isnull=False, firm=None) | Q(house=None, firm__isnull=False),
                name="event_of_a_house_or_of_a_firm",
            )
        ]

    def __str__(self) -> str:
        return self.summary


# Records of a part of their own, found by Django through this module.
import jobs.weather.records  # noqa: E402, F401
