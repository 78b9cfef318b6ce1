"""A person's houses, with the roles that count on each and their ledgers: the start of every list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspections import queries
from inspections.standing import Ledger
from jobs import access
from jobs.models import House, HouseMember, Person, Role


@dataclass(frozen=True, slots=True)
class Mine:
    """One of the person's houses."""

    person: int
    house: House
    roles: frozenset[Role]
    ledger: Ledger


def houses(person: Person) -> list[House]:
    """All houses of a person, by name. One query."""
    return list(access.houses_of(person).select_related("firm").order_by("name", "pk"))


def mine(person: Person) -> list[Mine]:
    """All houses of a person. Twelve queries, however many houses."""
    found = houses(person)
    roles = roles_on(person, found)
    ledgers = queries.ledgers(found)
    return [Mine(person.pk, house, roles[house.pk], ledgers[house.pk]) for house in found]


def roles_on(person: Person, found: Iterable[House]) -> dict[int, frozenset[Role]]:
    """House row id -> roles that count, by the rule of :func:`inspections.permissions.roles`. Two queries."""
    firms = set(access.firms_of(person).values_list("pk", flat=True))
    held: dict[int, set[Role]] = {}
    for key, role in HouseMember.objects.filter(person=person, ended_at=None).values_list("house", "role"):
        held.setdefault(key, set()).add(Role(role))
    out = {}
    for house in found:
        roles = held.get(house.pk, set())
        out[house.pk] = frozenset(roles - {Role.INSPECTOR} | {Role.BUILDER} if house.firm_id in firms else roles)
    return out
