"""Who belongs to a house, and as what. Whoever does not belong gets 'not found', never 'forbidden'."""

from __future__ import annotations

from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest

from jobs.models import Firm, House, HouseMember, Person, Role


class PersonRequest(HttpRequest):
    """A request of somebody logged in: every page asks for a login unless its view says otherwise."""

    user: Person


def houses_of(person: Person) -> QuerySet[House]:
    """Houses the person belongs to: by firm, or by an open role."""
    return House.objects.filter(
        Q(firm__in=firms_of(person))
        | Q(pk__in=HouseMember.objects.filter(person=person, ended_at=None).values("house"))
    )


def get_house(person: Person, pk: int) -> House:
    """The house if the person belongs to it; otherwise 404."""
    house = houses_of(person).select_related("firm", "site").filter(pk=pk).first()
    if house is None:
        raise Http404("No such house.")
    return house


def roles_on(person: Person, house: House) -> frozenset[Role]:
    """All roles of a person on a house."""
    held = HouseMember.objects.filter(house=house, person=person, ended_at=None).values_list("role", flat=True)
    roles = {Role(role) for role in held}
    if house.firm.members.filter(pk=person.pk).exists():
        roles.add(Role.BUILDER)
    return frozenset(roles)


def require_role(person: Person, house: House, *allowed: Role) -> Role:
    """One of the allowed roles the person holds here; 404 otherwise."""
    held = roles_on(person, house)
    for role in allowed:
        if role in held:
            return role
    raise Http404("No such page for you on this house.")


def firms_of(person: Person) -> QuerySet[Firm]:
    """Firms the person builds for now (one at most), as rows to be counted or joined."""
    return Firm.objects.filter(memberships__person=person, memberships__ended_at=None)


def firm_of(person: Person) -> Firm | None:
    """The firm the person builds for, None where there is none (field leads, inspectors)."""
    return firms_of(person).first()


def get_firm(person: Person) -> Firm:
    """The person's firm; 404 where there is none."""
    firm = firm_of(person)
    if firm is None:
        raise Http404("No such page for somebody without a firm.")
    return firm


def require_firm(person: Person, firm: Firm) -> None:
    """Nothing where the person is of this firm; 404 otherwise."""
    if not firm.members.filter(pk=person.pk).exists():
        raise Http404("No such firm.")
