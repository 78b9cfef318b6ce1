"""May this person? Each answer is a list of sentences; an empty list means yes.

Whether the *work* is ready is another question, answered by :mod:`inspections.gates`. The rules:

* a role counts only while it is held on this house; being a site administrator gives no role;
* members of the builder's firm never act as inspector on the firm's houses, even where a row says so;
* a point names the roles that may present it and those that may release or reject it;
* nobody releases a point on a leg they have presented it on, in whatever role. Rejecting one's own is allowed:
  it only ever stops work.
"""

from __future__ import annotations

from collections.abc import Iterable

from inspections.gates import role_words
from inspections.legs import leg_words
from inspections.process import CLOSES, Operation, Point
from inspections.standing import WHOLE_HOUSE, Ledger, StageRow
from jobs import access
from jobs.models import House, Person, Role


def roles(person: Person, house: House) -> frozenset[Role]:
    """Roles that count for the person on the house."""
    held = access.roles_on(person, house)
    return held - {Role.INSPECTOR} if Role.BUILDER in held else held


def role_for(person: Person, house: House, allowed: Iterable[Role]) -> Role | None:
    """The first of the allowed roles that the person holds, or None: what a page offers to act as."""
    held = roles(person, house)
    return next((role for role in allowed if role in held), None)


def may_present(person: Person, house: House, point: Point, role: Role) -> list[str]:
    """Whether the person, in the role, may say that the point is ready."""
    return _holds(person, house, role) + _allowed(role, point.presents, f"present “{point.title}”")


def may_do(person: Person, house: House, operation: Operation, role: Role) -> list[str]:
    """Whether the person, in the role, may record that the operation took place."""
    return _holds(person, house, role) + _allowed(role, operation.does, f"record “{operation.title}”")


def may_close(person: Person, house: House, role: Role) -> list[str]:
    """Whether the person, in the role, may say that a correction is closed."""
    return _holds(person, house, role) + _allowed(role, CLOSES, "close a correction")


def may_write(person: Person, house: House, role: Role, allowed: tuple[Role, ...], what: str) -> list[str]:
    """Whether the person, in the role, may write a record that only some roles may; ``what`` is said of it."""
    return _holds(person, house, role) + _allowed(role, allowed, what)


def may_reject(person: Person, house: House, point: Point, role: Role) -> list[str]:
    """Whether the person, in the role, may reject the point."""
    return _holds(person, house, role) + _allowed(role, point.releases, f"reject “{point.title}”")


def may_sign(
    person: Person, house: House, point: Point, role: Role, *, ledger: Ledger, stage: StageRow, legs: Iterable[str]
) -> list[str]:
    """Whether the person, in the role, may release the point on the legs (``WHOLE_HOUSE`` for one of the house)."""
    problems = _holds(person, house, role) + _allowed(role, point.releases, f"release “{point.title}”")
    own = presented_by(person, ledger, stage, point, legs)
    if own:
        on = f" on {leg_words(own)}" if own != (WHOLE_HOUSE,) else ""
        problems.append(f"You presented “{point.title}”{on} yourself; somebody else must release it.")
    return problems


def presented_by(person: Person, ledger: Ledger, stage: StageRow, point: Point, legs: Iterable[str]) -> tuple[str, ...]:
    """Those of the legs on which the person has ever presented the point."""
    own = {
        leg
        for p in ledger.presented
        if (p.stage, p.point, p.by) == (stage.pk, point.key, person.pk)
        for leg in p.legs or (WHOLE_HOUSE,)
    }
    return tuple(leg for leg in legs if leg in own)


def _holds(person: Person, house: House, role: Role) -> list[str]:
    if role in roles(person, house):
        return []
    if role is Role.INSPECTOR and role in access.roles_on(person, house):
        return ["Nobody of the builder's firm can act as inspector on its own house."]
    return [f"You are not {_as(role)} on this house."]


def _allowed(role: Role, allowed: tuple[Role, ...], what: str) -> list[str]:
    return [] if role in allowed else [f"Only {role_words(allowed)} may {what}."]


def _as(role: Role) -> str:
    return role_words((role,))
