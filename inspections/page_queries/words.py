"""What several pages say alike: numbers to meet, how a point stands, why something is held, who and when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils import timezone

from inspections.gates import Reason, role_words
from inspections.handouts.numbers import amount
from inspections.legs import leg_words
from inspections.process import Point, Scope
from inspections.standing import WHOLE_HOUSE, Ledger, PointStanding, StageRow, Standing
from jobs.models import House, Person, PlanRevision, Role
from takeoff.drawings.tracker import PartState
from takeoff.results import Criterion

_SENSES = {"at least": "or more", "at most": "or less"}
#: Numbers that are what they are: nobody says 'bar #5 or more'.
_PLAIN = (
    "dowel.size",
    "wall.bar_size",
    "footing.bars",
    "wall.horizontal_rows",
    "backfill.unbalanced_before",
    "backfill.unbalanced_after",
)

#: How a point's standing is drawn and said.
LOOKS: dict[Standing, tuple[PartState, str]] = {
    Standing.WAITING: (PartState.PLANNED, "Not presented"),
    Standing.PRESENTED: (PartState.PRESENTED, "Presented"),
    Standing.OUTDATED: (PartState.HELD, "Plan changed: present again"),
    Standing.RELEASED: (PartState.RELEASED, "Released"),
    Standing.VOID: (PartState.HELD, "Release void: plan changed"),
    Standing.REJECTED: (PartState.REJECTED, "Rejected"),
    Standing.CORRECTED: (PartState.HELD, "Put right: present again"),
}


def letter(number: int | None) -> str:
    """Letter of a revision by number."""
    return PlanRevision(number=number).letter if number else ""


def names_of(people: Iterable[int]) -> dict[int, str]:
    """Row id -> name of people. One query."""
    wanted = set(people)
    return {p.pk: str(p) for p in Person.objects.filter(pk__in=wanted).only("name", "email")} if wanted else {}


def upper_first(text: str) -> str:
    """The sentence with a capital."""
    return text[:1].upper() + text[1:]


def where(legs: Sequence[str]) -> str:
    """'Legs A and B', or 'The whole house'."""
    return upper_first(leg_words(tuple(legs))) or "The whole house"


def zone(house: House) -> ZoneInfo:
    """The clock of the site."""
    return ZoneInfo(house.timezone)


def moment(house: House, at: datetime) -> str:
    """'Mon Nov 3, 2:05 pm', by the clock of the site."""
    local = timezone.localtime(at, zone(house))
    clock = f"{local:%I:%M}".lstrip("0") + (" am" if local.hour < 12 else " pm")
    return f"{local:%a %b} {local.day}, {clock}"


def waited(house: House, since: datetime, now: datetime) -> str:
    """'since today', 'for 1 day', 'for 3 days': nights since then, by the clock of the site."""
    nights = (timezone.localdate(now, zone(house)) - timezone.localdate(since, zone(house))).days
    return "since today" if nights <= 0 else f"for {nights} day{'s' if nights > 1 else ''}"


# -- numbers -------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Figure:
    """One number to meet: large, what it is, on which legs, and where it comes from."""

    key: str
    number: str
    label: str
    text: str
    on: str
    source: str


def must(criterion: Criterion) -> str:
    """'30" or more', '± 1/4"', '#5'."""
    said = amount(criterion.value, criterion.unit)
    if criterion.key in _PLAIN:
        return said
    if criterion.sense == "is" and criterion.tolerance and criterion.unit != "yd3":
        tolerance = amount(criterion.tolerance, criterion.unit)
        return f"{said} ± {tolerance}" if criterion.value else f"± {tolerance}"
    return f"{said} {_SENSES.get(criterion.sense, '')}".strip()


def figures(criteria: Iterable[Criterion], legs: Sequence[str] = ()) -> list[Figure]:
    """Criteria as numbers; the same number said of several legs once. ``legs`` are all that are talked of: a number
    for all of them does not name them."""
    groups: dict[tuple[str, str, float], list[Criterion]] = {}
    for criterion in criteria:
        groups.setdefault((criterion.key, must(criterion), criterion.value), []).append(criterion)
    return [_figure(group, legs) for group in groups.values()]


def _figure(group: list[Criterion], legs: Sequence[str]) -> Figure:
    first = group[0]
    named = {leg for criterion in group for leg in criterion.legs}
    on = tuple(leg for leg in legs if leg in named) if legs else tuple(sorted(named))
    every = not named or set(legs) <= named
    return Figure(first.key, must(first), first.label, first.text, "" if every else where(on), str(first.source))


# -- standings -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Group:
    """Legs on which a point stands alike (none named: the whole house)."""

    legs: tuple[str, ...]
    on: str
    state: PartState
    word: str
    note: str
    found: PointStanding
    since: int | None = None  # number of an earlier revision it was given or presented on

    @property
    def standing(self) -> Standing:
        """How it stands there."""
        return self.found.standing


def names_with(ledger: Ledger, stage: StageRow, point: Point) -> tuple[str, ...]:
    """Legs that have the point; ``(WHOLE_HOUSE,)`` for a point of the house."""
    legs = ledger.legs_of(stage)
    if point.scope is Scope.HOUSE:
        return (WHOLE_HOUSE,) if legs else ()
    return tuple(leg.name for leg in legs if point.applies(leg))


def is_waived(ledger: Ledger, stage: StageRow, point: Point, name: str) -> bool:
    """Whether bracing is waived on the leg."""
    leg = ledger.leg(name)
    return leg is not None and point.scope is Scope.LEGS and ledger.waived(stage, point, leg)


def groups(ledger: Ledger, stage: StageRow, point: Point, names: Sequence[str] | None = None) -> list[Group]:
    """How a point stands, legs that stand alike together."""
    found: dict[tuple[object, ...], tuple[PointStanding, bool, list[str]]] = {}
    for name in names_with(ledger, stage, point) if names is None else names:
        standing, waived = ledger.standing(stage, point, name), is_waived(ledger, stage, point, name)
        key = (
            standing.standing,
            standing.presented.pk if standing.presented else None,
            standing.signed.pk if standing.signed else None,
            waived,
        )
        found.setdefault(key, (standing, waived, []))[2].append(name)
    return [_group(ledger, standing, waived, names) for standing, waived, names in found.values()]


def _group(ledger: Ledger, found: PointStanding, is_waived: bool, names: list[str]) -> Group:
    state, word = LOOKS[found.standing]
    if is_waived and found.standing in (Standing.WAITING, Standing.OUTDATED, Standing.VOID):
        state, word = PartState.RELEASED, "Waived: under 4.0 ft of unbalanced fill"
    legs = tuple(name for name in names if name != WHOLE_HOUSE)
    return Group(legs, where(legs), state, word, given_on(ledger, found), found, _since(ledger, found))


def _since(ledger: Ledger, found: PointStanding) -> int | None:
    """The earlier revision that a presentation or release was made on, None where it is of the one in force."""
    record = found.presented if found.standing in (Standing.PRESENTED, Standing.OUTDATED) else found.signed
    return None if record is None or record.revision == ledger.revision else record.revision


def compare_url(house: House, ledger: Ledger, since: int | None) -> str:
    """Address of what changed in the plan since a revision, '' where it is the one in force."""
    if since is None or ledger.revision is None or since >= ledger.revision:
        return ""
    return reverse("jobs:revision_compare", args=[house.pk, ledger.revision, since])


def given_on(ledger: Ledger, found: PointStanding) -> str:
    """'given on B, unchanged in C', where a release of an earlier revision still stands; else ''."""
    signed = found.signed
    if found.standing is not Standing.RELEASED or signed is None or signed.revision == ledger.revision:
        return ""
    return f"given on {letter(signed.revision)}, unchanged in {letter(ledger.revision)}"


def point_state(found: Iterable[Group]) -> PartState:
    """One state for a point in a list: what needs somebody first."""
    order = (PartState.REJECTED, PartState.HELD, PartState.PRESENTED, PartState.PLANNED, PartState.RELEASED)
    states = {group.state for group in found}
    return next((state for state in order if state in states), PartState.PLANNED)


# -- reasons -------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Why:
    """One reason in words, and where it can be mended."""

    sentence: str
    url: str


def whys(house: House, ledger: Ledger, reasons: Iterable[Reason]) -> list[Why]:
    """Reasons with the address of their point, else of their stage."""
    return [Why(reason.sentence, _mend_url(house, ledger, reason)) for reason in reasons]


def _mend_url(house: House, ledger: Ledger, reason: Reason) -> str:
    row = ledger.stage(reason.stage_pk) if reason.stage_pk is not None else None
    if row is None:
        return ""
    if reason.code == "not_strong":
        return f"{reverse('inspections:pour', args=[house.pk, row.pk])}?{urlencode({'leg': reason.legs[0]})}#strength"
    return point_url(house, row, reason.about) if row.process.point(reason.about) else stage_url(house, row)


def stage_url(house: House, stage: StageRow) -> str:
    """Address of a stage."""
    return reverse("inspections:stage", args=[house.pk, stage.pk])


def point_url(house: House, stage: StageRow, key: str) -> str:
    """Address of a point."""
    return reverse("inspections:point", args=[house.pk, stage.pk, key])


def whose_words(roles: Sequence[Role]) -> str:
    """'The inspector or the surveyor'."""
    return upper_first(role_words(tuple(roles)))
