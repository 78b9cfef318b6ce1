"""Rows for tests, with as little said as the test needs."""

from __future__ import annotations

import factory
from factory.django import DjangoModelFactory

from jobs import form_data
from jobs.models import (
    Firm,
    FirmInvitation,
    FirmMember,
    FormSystemRecord,
    House,
    HouseMember,
    HouseStage,
    Invitation,
    Person,
    Role,
    Site,
)
from jobs.stages import DEFAULT_ORDER, TITLES
from takeoff.forms import GENERIC_SYSTEMS
from takeoff.units import Length

PASSWORD = "frost-line-48-inches"


class PersonFactory(DjangoModelFactory):
    """Somebody with a login and the password :data:`PASSWORD`."""

    class Meta:
        model = Person

    email = factory.Sequence(lambda n: f"person{n}@example.org")
    name = factory.Sequence(lambda n: f"Person {n}")

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return model_class.objects.create_user(password=PASSWORD, **kwargs)


class FirmFactory(DjangoModelFactory):
    """A firm with the two generic form systems; ``members=[...]`` makes people its builders."""

    class Meta:
        model = Firm
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Firm {n}")

    @factory.post_generation
    def members(firm, create, people, **kwargs):  # noqa: N805
        for person in people or ():
            FirmMember.objects.create(firm=firm, person=person)
        for system in GENERIC_SYSTEMS:
            FormSystemRecord.objects.create(firm=firm, key=system.key, data=form_data.to_data(system))


class HouseFactory(DjangoModelFactory):
    """A house with its ground and the six default stages (or those of ``stages=[...]``, kinds in order)."""

    class Meta:
        model = House
        skip_postgeneration_save = True

    firm = factory.SubFactory(FirmFactory)
    name = factory.Sequence(lambda n: f"Lot {n}")

    @factory.post_generation
    def site(house, create, values, **kwargs):  # noqa: N805
        Site.objects.create(house=house, **{"frost_depth": Length.feet(4), **kwargs})

    @factory.post_generation
    def stages(house, create, kinds, **kwargs):  # noqa: N805
        HouseStage.objects.bulk_create(
            HouseStage(house=house, position=place, kind=kind, title=TITLES[kind])
            for place, kind in enumerate(DEFAULT_ORDER if kinds is None else kinds, start=1)
        )


class HouseMemberFactory(DjangoModelFactory):
    """A role on a house."""

    class Meta:
        model = HouseMember

    house = factory.SubFactory(HouseFactory)
    person = factory.SubFactory(PersonFactory)
    role = Role.FIELD_LEAD


class InvitationFactory(DjangoModelFactory):
    """An open offer of the inspector's role."""

    class Meta:
        model = Invitation

    house = factory.SubFactory(HouseFactory)
    email = factory.Sequence(lambda n: f"invited{n}@example.org")
    role = Role.INSPECTOR
    token = factory.Sequence(lambda n: f"token-{n}")
    invited_by = factory.SubFactory(PersonFactory)


class FirmInvitationFactory(DjangoModelFactory):
    """An open offer of a place in a firm."""

    class Meta:
        model = FirmInvitation

    firm = factory.SubFactory(FirmFactory)
    email = factory.Sequence(lambda n: f"colleague{n}@example.org")
    token = factory.Sequence(lambda n: f"firm-token-{n}")
    invited_by = factory.SubFactory(PersonFactory)
