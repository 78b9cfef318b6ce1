"""One house: its section through the ground, its stages, its next moves, its people and papers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from inspections import states
from inspections.page_queries import pictures, words
from inspections.page_queries.mine import Mine
from inspections.page_queries.stage import Turn, turn_of
from inspections.page_queries.words import Why
from inspections.standing import Ledger, StageRow, Standing
from jobs.models import Event, HouseStage, PlanRevision
from jobs.queries import People, people_on
from takeoff.drawings.tracker import PartState
from takeoff.units import Length, format_length

#: So many of the latest records are shown.
LATELY = 6


@dataclass(frozen=True, slots=True)
class Step:
    """One stage in the list of the house."""

    title: str
    state: PartState
    url: str
    current: bool
    note: str


@dataclass(frozen=True, slots=True)
class Next:
    """What a section is up to."""

    section: str
    stage: str
    url: str
    turn: Turn | None  # None: only closing points are left
    reasons: list[Why]
    whose: str


@dataclass(frozen=True, slots=True)
class HousePage:
    """The page."""

    mine: Mine
    revision: PlanRevision | None
    steps: list[Step]
    moves: list[Next]
    corrections: list[Why]
    people: People
    ground: list[tuple[str, str]]
    engineer: tuple[str, ...]
    lately: list[Event]
    kept_releases: list[str]  # 'given on B, unchanged in C', by stage
    phone: str
    desk: str

    @property
    def stages(self) -> list[StageRow]:
        """Stages that a leg of the plan goes through."""
        return [stage for stage in self.mine.ledger.stages if self.mine.ledger.legs_of(stage)]

    @property
    def house(self) -> Any:
        """The house."""
        return self.mine.house


def read(each: Mine) -> HousePage:
    """Everything of one house. Nine queries beside those that found it."""
    house, ledger = each.house, each.ledger
    revision = PlanRevision.objects.filter(house=house).defer("document", "frozen", "facts").order_by("-number").first()
    kept = pictures.plans([house]).get(house.pk)
    moves = states.next_moves(ledger)
    return HousePage(
        each,
        revision,
        _steps(each),
        [_next(each, move) for move in moves],
        [_fix(each, fix) for fix in states.open_corrections(ledger)],
        people_on(house),
        _ground(each),
        ledger.facts.engineer_required if ledger.facts else (),
        list(Event.objects.filter(house=house).select_related("by")[:LATELY]),
        _kept_releases(ledger),
        pictures.large(kept, ledger, house, pictures.PHONE),
        pictures.large(kept, ledger, house, pictures.DESK),
    )


def _steps(each: Mine) -> list[Step]:
    ledger, current = each.ledger, states.current_stage(each.ledger)
    days = {row.pk: row for row in HouseStage.objects.filter(house=each.house)}
    return [_step(each, row, row == current, days[row.pk]) for row in ledger.stages]


def _step(each: Mine, row: StageRow, is_current: bool, stage: HouseStage) -> Step:
    ledger = each.ledger
    sections = ledger.facts.sections if ledger.facts else ()
    found = [(name, state) for key, name in sections if (state := states.section_state(ledger, key, row)) is not None]
    several = len({state for _, state in found}) > 1
    note = " · ".join(f"{name}: {state.value}" for name, state in found) if several else ""
    state = states.together(state for _, state in found) if found else PartState.PLANNED
    note = note or ("" if found or ledger.facts is None else "no leg of the plan goes through it")
    said = " · ".join(part for part in (_days(stage), note) if part)
    return Step(row.title, state, words.stage_url(each.house, row), is_current, said)


def _days(stage: HouseStage) -> str:
    said = [f"{day:%b} {day.day}" for day in (stage.planned_start_date, stage.planned_end_date) if day]
    return " to ".join(said)


def _next(each: Mine, move: states.Move) -> Next:
    turn = turn_of(each.house, each.ledger, move, each.roles) if move.operation else None
    return Next(
        move.section_name,
        move.stage.title,
        words.stage_url(each.house, move.stage),
        turn,
        words.whys(each.house, each.ledger, move.reasons),
        words.whose_words(move.whose),
    )


def _fix(each: Mine, fix: states.Correction) -> Why:
    on = f" on {words.leg_words(fix.legs)}" if fix.legs else ""
    sentence = f"{fix.stage.title}: “{fix.point.title}”{on}: “{fix.signed.reason}”"
    return Why(sentence, words.point_url(each.house, fix.stage, fix.point.key))


def _ground(each: Mine) -> list[tuple[str, str]]:
    site = each.house.site

    def said(length: Length | None) -> str:
        return format_length(length) if length is not None else "not known"

    return [
        ("Soil class", site.soil_class),
        ("Equivalent fluid", f"{site.equivalent_fluid_pcf:g} pcf"),
        ("Bearing", f"{site.bearing_psf:,.0f} psf"),
        ("Frost depth", said(site.frost_depth)),
        ("Ground water", said(site.ground_water)),
        ("Exterior grade", said(site.exterior_grade)),
        ("Code", site.code_edition),
    ]


def _kept_releases(ledger: Ledger) -> list[str]:
    """Releases of earlier revisions that still stand, by stage and revision."""
    counts: dict[tuple[str, str], int] = {}
    for stage in ledger.stages:
        for point in stage.process.points:
            for group in words.groups(ledger, stage, point):
                if group.standing is Standing.RELEASED and group.note:
                    key = stage.title, group.note
                    counts[key] = counts.get(key, 0) + 1
    return [f"{title}: {n} release{'s' if n > 1 else ''} {note}" for (title, note), n in counts.items()]
