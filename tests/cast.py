"""The cast of every test: one firm with its house and the people on it, and a stranger who builds next door.

``cast`` holds them all; ``clients`` has a logged-in client for each role, for the stranger, and one for nobody.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from django.test import Client

from jobs.models import Firm, House, Person, Role
from tests.factories import FirmFactory, HouseFactory, HouseMemberFactory, PersonFactory

STRANGER = "stranger"
ANONYMOUS = "anonymous"
#: Everybody who may try an address.
EVERYBODY = (*(role.value for role in Role), STRANGER, ANONYMOUS)


@dataclass(frozen=True)
class Cast:
    """Who is who on the house."""

    firm: Firm
    house: House
    builder: Person
    field_lead: Person
    inspector: Person
    engineer: Person
    surveyor: Person
    stranger: Person
    strange_firm: Firm
    strange_house: House

    def person(self, part: str) -> Person:
        """Somebody by role, or the stranger."""
        return getattr(self, part)


def make_cast() -> Cast:
    """The cast as rows."""
    builder = PersonFactory(name="Bodil Builder", email="bodil@example.org")
    stranger = PersonFactory(name="Stan Stranger", email="stan@example.org")
    firm = FirmFactory(name="Northfoot Builders", members=[builder])
    strange_firm = FirmFactory(name="Southfoot Builders", members=[stranger])
    house = HouseFactory(name="Lot 12", firm=firm)
    people = {
        role.value: PersonFactory(name=f"{role.label.capitalize()} Person", email=f"{role.value}@example.org")
        for role in Role
        if role is not Role.BUILDER
    }
    for role, person in people.items():
        HouseMemberFactory(house=house, person=person, role=role)
    strange_house = HouseFactory(name="Lot 99", firm=strange_firm)
    return Cast(
        firm, house, builder, **people, stranger=stranger, strange_firm=strange_firm, strange_house=strange_house
    )


@pytest.fixture
def cast(db) -> Cast:
    """One firm, its house and everybody on it; a stranger with a house of his own."""
    return make_cast()


@pytest.fixture
def house(cast: Cast) -> House:
    """The house of the cast."""
    return cast.house


@pytest.fixture
def builder(cast: Cast) -> Person:
    """The builder of the house."""
    return cast.builder


@pytest.fixture
def clients(cast: Cast) -> dict[str, Client]:
    """A client per part: logged in as each role and as the stranger, and one not logged in."""
    found = {ANONYMOUS: Client()}
    for part in EVERYBODY:
        if part != ANONYMOUS:
            found[part] = Client()
            found[part].force_login(cast.person(part))
    return found
