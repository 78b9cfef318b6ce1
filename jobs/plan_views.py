"""What the plan's templates are given: fields, cards of legs, walks. Made by :mod:`jobs.plan_page`."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.plan_fields import Entry, Kind
from jobs.plan_forms import TURN_OTHER

#: Letters of a choice that a narrow column shows.
_ONE_COLUMN = 12


def dom_id(path: str) -> str:
    """An id for what stands at an address."""
    return "at-" + path.replace(".", "-")


# -- fields ------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Choice:
    """One line of a select, or one button of a turn."""

    value: str
    label: str
    chosen: bool
    icon: str = ""


@dataclass(frozen=True, slots=True)
class PlanField:
    """One field as the page shows it."""

    path: str
    entry: Entry
    value: str
    placeholder: str = ""
    choices: tuple[Choice, ...] = ()
    errors: tuple[str, ...] = ()
    other: str = ""
    bare: str = ""
    focus: bool = False

    @property
    def id(self) -> str:
        """Id of its input."""
        return dom_id(self.path)

    @property
    def label(self) -> str:
        """What it is called."""
        return self.entry.label

    @property
    def other_name(self) -> str:
        """Name of the input for an angle that has no button."""
        return f"{self.path.rpartition('.')[0]}.{TURN_OTHER}"

    @property
    def long_choice(self) -> bool:
        """Whether what can be chosen needs two columns to be read."""
        return any(len(choice.label) > _ONE_COLUMN for choice in self.choices)

    @property
    def is_length(self) -> bool:
        """Whether feet and inches belong here."""
        return self.entry.kind in (Kind.LENGTH, Kind.LENGTHS, Kind.LEVEL)


@dataclass(frozen=True, slots=True)
class Part:
    """One opening, step, ledge, pocket, section or closing choice."""

    path: str
    title: str
    fields: tuple[PlanField, ...]
    rest: str = ""
    more: tuple[PlanField, ...] = ()
    rest_more: tuple[tuple[str, str], ...] = ()
    errors: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Id of its group of fields."""
        return dom_id(self.path)

    @property
    def filled(self) -> bool:
        """Whether the fields folded away hold anything."""
        return any(f.value for f in self.more)


@dataclass(frozen=True, slots=True)
class Group:
    """All parts of one kind on a leg."""

    path: str
    add: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class LegView:
    """One leg as a card."""

    path: str
    summary: str
    wrong: int
    open: bool
    first: bool
    last: bool
    name: PlanField
    length: PlanField
    turn: PlanField
    arc: tuple[PlanField, ...]
    built: tuple[PlanField, ...]
    levels: tuple[PlanField, ...]
    groups: tuple[Group, ...]
    rest: str
    errors: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        return dom_id(self.path)

    @property
    def of(self) -> str:
        """Said behind a button's label to those who do not see the card."""
        return f"leg {self.name.value}"

    @property
    def bent(self) -> bool:
        """Whether anything is typed for an arc."""
        return any(f.value for f in self.arc)

    @property
    def own(self) -> bool:
        """Whether it differs from what all legs have."""
        return any(f.value for f in (*self.built, *self.levels))


@dataclass(frozen=True, slots=True)
class WalkView:
    """One ring or spur with its legs."""

    path: str
    title: str
    spur: bool
    name: PlanField
    where: tuple[PlanField, ...]
    legs: tuple[LegView, ...]
    hidden: tuple[tuple[str, str], ...]
    errors: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Id of its section of the page."""
        return dom_id(self.path)

    @property
    def legs_path(self) -> str:
        """Where another leg is added."""
        return f"{self.path}.legs"

    @property
    def of(self) -> str:
        """Said behind a button's label to those who do not see the heading."""
        return f"to {self.title}"


@dataclass(frozen=True, slots=True)
class Told:
    """One problem with where its field is."""

    sentence: str
    href: str
    severity: str
