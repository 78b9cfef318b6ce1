"""Where the job is not as planned: four questions about one plan revision, each answered when it is asked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from django.http import QueryDict

from inspections import asbuilt, states
from inspections.differences_forms import SAME, BlocksForm, FootingForm, RevisedForm, ShortForm, is_block
from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.standing import Standing
from jobs import form_data, order_changes, plans
from jobs.models import FormSystemRecord, PlanRevision
from jobs.order_changes import OrderChanges, buying
from jobs.stages import TITLES
from jobs.suppliers import READY_MIX, supplier_of
from takeoff.differences import Difference, Topic, face_height, other_form
from takeoff.footing_as_poured import footing_as_poured
from takeoff.forms import FormSystem
from takeoff.geometry import place
from takeoff.orders import order_lines
from takeoff.plan import Leg, Plan, Stage
from takeoff.results import Takeoff
from takeoff.short_delivery import ShortDelivery, short_delivery
from takeoff.tally import inch_text
from takeoff.units import Length

BLOCKS, SHORT, FOOTING, REVISED = "blocks", "short", "footing", "revised"


# -- answers -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Moves:
    """Lines that move together: course lines of a section, bar levels of legs. ``moves`` are 'from', 'to' in inches;
    ``also`` says where there are more or fewer of them."""

    where: str
    moves: tuple[tuple[str, str], ...]
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BlocksAnswer:
    """Other blocks: units by kind, course lines, bar levels, and what else about the blocks differs."""

    said: str
    refused: str
    units: tuple[Difference, ...]
    courses: tuple[Moves, ...]
    bars: tuple[Moves, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShortAnswer:
    """A short delivery. ``found`` is of blocks, None where none were counted; ``others`` is everything else missing."""

    said: str
    found: ShortDelivery | None
    others: tuple[str, ...]

    @property
    def missing(self) -> tuple[Difference, ...]:
        """Blocks that did not come."""
        return tuple(d for d in self.found.items if d.change < 0) if self.found else ()

    @property
    def taken(self) -> tuple[str, ...]:
        """What standing in for corner units takes."""
        return tuple(d.say for d in self.found.items if d.change > 0) if self.found else ()


@dataclass(frozen=True, slots=True)
class FootingAnswer:
    """A footing off its level: two ways where it is low, one where it is high, and the laps that are left."""

    said: str
    build_up: tuple[str, ...]
    rip_rest: tuple[str, ...]
    rip_high: tuple[str, ...]
    laps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VoidRelease:
    """A release that the revision in force voids."""

    stage: str
    point: str
    on: str
    given: str  # letter of the revision it was given on
    url: str


@dataclass(frozen=True, slots=True)
class RevisedAnswer:
    """A plan revised after ordering. ``void`` is None where the revision looked at is not in force."""

    older: PlanRevision
    stages: str
    changes: OrderChanges
    void: tuple[VoidRelease, ...] | None


# -- the page ----------------------------------------------------------------------------------------
@dataclass(slots=True)
class DifferencesPage:
    """The page: four forms, and the answer to the one asked, by question. ``stage``: whose delivery is asked."""

    revision: PlanRevision
    in_force: PlanRevision
    blocks: BlocksForm
    short: ShortForm
    footing: FootingForm
    revised: RevisedForm
    stage: Stage
    stages: tuple[tuple[str, str], ...]
    asked: str = ""
    answers: dict[str, object] = field(default_factory=dict)

    @property
    def stage_title(self) -> str:
        """What the stage is called."""
        return TITLES[self.stage]

    @property
    def is_refused(self) -> bool:
        """Whether something was asked that cannot be answered as typed."""
        return bool(self.asked) and not self.answers


def read(each: Mine, revision: PlanRevision, in_force: PlanRevision, asked: QueryDict) -> DifferencesPage:
    """The page of a revision; what was asked is answered on it."""
    made, locked = plans.takeoff_of(revision), order_changes.as_locked(revision)
    question = asked.get("ask", "")

    def typed(name: str) -> QueryDict | None:
        return asked if question == name else None

    stages = tuple(stage for stage in Stage if any(q.buy for q in locked.of(stage)))
    stage = _stage(each, locked, stages, asked.get("stage", ""))
    lines = [line for line in order_lines(locked, stage) if supplier_of(line.key) is not READY_MIX]
    page = DifferencesPage(
        revision,
        in_force,
        BlocksForm(typed(BLOCKS), plan=made.plan, others=_systems(each, made.plan)),
        ShortForm(typed(SHORT), lines=lines, needed=_needed(locked, stage)),
        FootingForm(typed(FOOTING), plan=made.plan, legs=_legs(made.plan), shot=_shot(each, made.plan)),
        RevisedForm(typed(REVISED), earlier=_earlier(each, revision)),
        stage,
        tuple((one.value, TITLES[one]) for one in stages),
        question if question in (BLOCKS, SHORT, FOOTING, REVISED) else "",
    )
    _answer(page, each, made, locked)
    return page


def _answer(page: DifferencesPage, each: Mine, made: Takeoff, locked: Takeoff) -> None:
    """Fill in the answer to what was asked, where it can be answered as typed."""
    if page.blocks.is_valid():
        page.answers[BLOCKS] = _blocks(page.blocks, made)
    elif page.short.is_valid():
        page.answers[SHORT] = _short(page.short, locked, page.stage)
    elif page.footing.is_valid():
        page.answers[FOOTING] = _footing(page.footing, made)
    elif page.revised.is_valid():
        page.answers[REVISED] = _revised(page, each)


def _stage(each: Mine, locked: Takeoff, stages: tuple[Stage, ...], named: str) -> Stage:
    """The stage named; else the first that takes blocks, of those still to come where there is one."""
    current = states.current_stage(each.ledger)
    order = list(Stage)
    to_come = order[order.index(current.kind) :] if current else order
    takes_blocks = [stage for stage in (*to_come, *order) if _needed(locked, stage)]
    wanted = [*(stage for stage in stages if stage.value == named), *takes_blocks, *stages, Stage.FOOTING]
    return wanted[0]


# -- other blocks ------------------------------------------------------------------------------------
def _systems(each: Mine, plan: Plan) -> list[FormSystem]:
    """The firm's form systems that are not in the plan. One query."""
    known = {form.key for form in plan.forms}
    rows = FormSystemRecord.objects.filter(firm=each.house.firm_id, retired_at=None).exclude(key__in=known)
    return [form_data.from_data(row.data) for row in rows.order_by("key")]


def _blocks(form: BlocksForm, made: Takeoff) -> BlocksAnswer:
    came, planned = form.cleaned_data["came"], form.systems[form.cleaned_data["planned"]]
    if came == SAME:
        height: Length = form.cleaned_data["height"]
        found, other = face_height(made, planned.key, height), replace(planned, face_height=height)
    else:
        other = form.systems[came]
        forms = tuple({f.key: f for f in (*made.plan.forms, other)}.values())
        found = other_form(replace(made, plan=replace(made.plan, forms=forms)), {planned.key: other.key})
    refused = next((d.say for d in found if d.topic is Topic.UNITS and not d.key), "")
    return BlocksAnswer(
        f"{other.name}, {inch_text(other.face_height.inch)} high, instead of {planned.name}, "
        f"{inch_text(planned.face_height.inch)} high.",
        refused,
        tuple(d for d in found if d.topic is Topic.UNITS and d.key),
        _moves(found, Topic.COURSES),
        _moves(found, Topic.BAR_LEVELS),
        () if refused else tuple(_notes(made.plan, planned, other)),
    )


def _moves(found: Iterable[Difference], topic: Topic) -> tuple[Moves, ...]:
    """Differences of one kind, those of the same legs or section together."""
    groups: dict[str, list[Difference]] = {}
    for each in found:
        if each.topic is topic:
            groups.setdefault(each.where, []).append(each)
    return tuple(
        Moves(
            where,
            tuple((inch_text(d.before), inch_text(d.after)) for d in own if d.unit == "in"),
            tuple(d.say for d in own if d.unit != "in"),
        )
        for where, own in groups.items()
    )


def _notes(plan: Plan, planned: FormSystem, other: FormSystem) -> Iterable[str]:
    """What else differs between two systems that somebody must look at."""
    for core in dict.fromkeys(leg.core for leg in plan.legs() if leg.form == planned.key):
        was, now = planned.thickness(core), other.thickness(core)
        if was != now:
            yield (
                f"Walls of an {inch_text(core.inch)} core are {inch_text(now.inch)} thick, not {inch_text(was.inch)}: "
                "bucks, footing and ledges must suit."
            )
    if other.rated_pressure_psf < planned.rated_pressure_psf:
        yield (
            f"They are rated for {other.rated_pressure_psf:g} psf, not {planned.rated_pressure_psf:g}: "
            "look at the rate of the pour again."
        )


# -- a short delivery --------------------------------------------------------------------------------
def _needed(locked: Takeoff, stage: Stage) -> dict[str, int]:
    """Pieces of each kind of block by the layout."""
    out: dict[str, float] = {}
    for quantity in locked.of(stage):
        if quantity.key.startswith("blocks."):
            out[quantity.key] = out.get(quantity.key, 0.0) + quantity.amount
    return {key: round(amount) for key, amount in out.items()}


def _short(form: ShortForm, locked: Takeoff, stage: Stage) -> ShortAnswer:
    counted = list(form.came())
    blocks: Counter[str] = Counter()
    for line, count in counted:
        if is_block(line):
            blocks[line.key] += count
    others = tuple(
        f"{line.label}: {_some(count, line.buy_unit)} of {buying(line.count, line.buy_unit)} came, "
        f"{buying(line.count - count, line.buy_unit)} missing."
        for line, count in counted
        if not is_block(line) and count < line.count
    )
    said = "; ".join(f"{line.label}: {count:,} came" for line, count in counted)
    return ShortAnswer(f"{said}.", short_delivery(locked, stage, blocks) if blocks else None, others)


def _some(count: int, unit: str) -> str:
    return buying(count, unit) if " yard" in unit or not count else f"{count:,}"


# -- a footing off its level -------------------------------------------------------------------------
def _legs(plan: Plan) -> list[Leg]:
    """Legs that stand on a footing of their own, in walking order."""
    placed = place(plan).legs
    return [leg for leg in plan.legs() if leg.name in placed]


def _shot(each: Mine, plan: Plan) -> Mapping[str, Length]:
    """Levels on record less planned ones, where they differ by more than a rod is read to."""
    levels = {leg: shot.level for leg, shot in asbuilt.shots(each.ledger).items()}
    return {row.leg: row.off for row in asbuilt.compare(plan, levels) if not row.is_level}


def _footing(form: FootingForm, made: Takeoff) -> FootingAnswer:
    low = form.low()
    found = footing_as_poured(made, low)

    def of(topic: Topic) -> tuple[str, ...]:
        return tuple(d.say for d in found if d.topic is topic)

    said = ", ".join(
        f"leg {leg} {inch_text(abs(amount).inch)} {'low' if amount > Length(0) else 'high'}"
        for leg, amount in low.items()
    )
    sentence = f"{words.upper_first(said)}, the rest at its level."
    return FootingAnswer(sentence, of(Topic.BUILD_UP), of(Topic.RIP_REST), of(Topic.RIP_HIGH), of(Topic.LAPS))


# -- a plan revised after ordering -------------------------------------------------------------------
def _earlier(each: Mine, revision: PlanRevision) -> list[PlanRevision]:
    """Revisions before this one, newest first. One query."""
    return list(PlanRevision.objects.filter(house=each.house, number__lt=revision.number).order_by("-number"))


def _revised(page: DifferencesPage, each: Mine) -> RevisedAnswer:
    older, wanted = page.revised.older(), page.revised.wanted()
    said = "all stages" if len(wanted) == len(Stage) else ", ".join(TITLES[stage].lower() for stage in wanted)
    void = tuple(_void(each)) if page.revision.number == page.in_force.number else None
    return RevisedAnswer(older, said, order_changes.between(older, page.revision, wanted), void)


def _void(each: Mine) -> Iterable[VoidRelease]:
    """Releases that do not stand any more because the plan changed, as the ledger has them."""
    for stage in each.ledger.stages:
        for point in stage.process.points:
            for group in words.groups(each.ledger, stage, point):
                signed = group.found.signed
                if group.standing is Standing.VOID and signed and group.word == words.LOOKS[Standing.VOID][1]:
                    url = words.point_url(each.house, stage, point.key)
                    yield VoidRelease(stage.title, point.title, group.on, words.letter(signed.revision), url)
