"""Is the upright steel of each wall enough, while it is filled and when the house stands?

The residential code's tables decide where they may be used; a strip of wall stands beside them with its moment and
capacity. Where neither may decide, an engineer must. Level ground without a load beside the wall is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from takeoff.forms import ENGINEER_REQUIRED_CORE
from takeoff.laps import bar_size
from takeoff.plan import Plan
from takeoff.problems import About, Problem, Severity
from takeoff.results import Part, SteelCheck, Verdict, WallState
from takeoff.site import AboveGrade, BarPlace, Site, Specification
from takeoff.sources import Source
from takeoff.strength import capacity
from takeoff.strength.capacity import Section
from takeoff.strength.openings_held import not_held_under_openings
from takeoff.strength.prescriptive import SOIL_COLUMNS, Wanted, enough, soil_load, wanted
from takeoff.strength.situations import STATE_WORDS, Situation
from takeoff.strength.strip import Effects, cantilever, pinned
from takeoff.units import Length, format_length

IRC_R404_1_7: Final = Source("IRC", "2021", "R404.1.7 backfill placement")

#: Said on every sheet that shows a check.
DEFER: Final = (
    "Level ground, no load beside the wall and no water behind it are taken, in Seismic Design Category A, B or C; the "
    "local code and the engineer of record decide."
)

#: A wall with this much unbalanced fill is held at top and foot before it comes. IRC 2021 R404.1.7.
HELD_FROM: Final = Length.feet(4)


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of a situation: what the earth does, the section that carries it, and the sum in words."""

    effects: Effects
    section: Section
    bar: int
    moment: float
    shear: float
    words: str

    @property
    def capacity(self) -> float:
        """phi Mn [lb ft per ft]."""
        return capacity.moment_capacity_lb_ft(self.section)

    @property
    def ratio(self) -> float:
        """The larger of moment and shear over capacity."""
        bending = self.moment / self.capacity if self.capacity else float("inf")
        across = capacity.shear_capacity_lb(self.section)
        return max(bending if self.moment else 0.0, self.shear / across if self.shear else 0.0)


def checks_of(plan: Plan, found: tuple[Situation, ...]) -> Part:
    """The checks of all situations, and in words what is not enough or is for the engineer."""
    checks = tuple(check(plan, situation) for situation in found)
    problems = (
        *_problems(checks),
        *_held_by_frost_wall(plan, found),
        *not_held_under_openings(plan, found),
        *_concrete_above(plan, checks),
    )
    return Part(checks=checks, problems=problems)


def check(plan: Plan, situation: Situation) -> SteelCheck:
    """One stretch in one state."""
    want = table_wants(plan, situation)
    strip = strip_of(plan, situation, float(plan.spec.concrete.strength_psi))
    bars = plan.spec.bars
    passes, words = enough(want, bars.vertical_size, bars.vertical_spacing, bars.grade_ksi, situation.leg.core)
    verdict, reason = _verdict(situation, barred(plan, situation), want, strip, passes, words)
    provided = f"#{strip.bar} @ {bars.vertical_spacing.inch:g} in"
    return SteelCheck(
        leg=situation.leg.name,
        start=situation.start,
        end=situation.end,
        stage=situation.stage,
        state=situation.state,
        core=situation.leg.core,
        height=situation.height,
        fill=situation.fill,
        table=f"IRC 2021 Table {want.table}" if want.table else "",
        row=want.row,
        required="" if want.refused else words,
        provided=provided,
        verdict=verdict,
        reason=reason,
        moment_lb_ft=strip.moment,
        capacity_lb_ft=strip.capacity,
        ratio=strip.ratio,
        basis=_basis(plan, situation, want, words, strip, provided),
        source=want.source if want.table else capacity.MODEL,
    )


def barred(plan: Plan, situation: Situation) -> str:
    """Why neither a table nor the strip may be used, or ''."""
    water = plan.site.ground_water
    if situation.refused:
        return situation.refused
    if water is not None and water > situation.foot:
        return f"ground water at {water} stands above the foot of the wall at {situation.foot}"
    if situation.leg.core <= ENGINEER_REQUIRED_CORE:
        return f"a core of {_in(situation.leg.core)} below grade is in no table"
    return ""


def table_wants(plan: Plan, situation: Situation) -> Wanted:
    """What the tables ask, or why they may not be asked."""
    if reason := barred(plan, situation):
        return Wanted(refused=reason)
    if not situation.held:
        return Wanted(refused="the tables are for walls held at top and foot, and this one is free at its top")
    soil = soil_load(plan.site.soil_class, plan.site.equivalent_fluid_pcf)
    if isinstance(soil, str):
        return Wanted(refused=soil)
    bars, psi = plan.spec.bars, float(plan.spec.concrete.strength_psi)
    if situation.outside_pulled and bars.vertical_place is BarPlace.INSIDE_FACE:
        return Wanted(refused="its bars stand near the inside face, and earth from the inside pulls the outside")
    return wanted(
        situation.leg.core, situation.height, situation.fill, soil, bars.vertical_place, psi, bars.inside_cover
    )


def pressure(site: Site) -> float:
    """Lateral load of the strip [psf per ft]: the design load of the site, or that the code gives its soil where it is
    greater."""
    return max(site.equivalent_fluid_pcf, float(SOIL_COLUMNS.get(site.soil_class, 0)))


def bar_depth_in(spec: Specification, core: Length, size: int, outside_pulled: bool) -> float:
    """Depth of the upright bars from the face in compression [in], as placed, in a wall half an inch under nominal.

    A wall held at its top is pulled on its inside; one free at its top is pulled on its outside at the foot, where
    bars near the inside face stand in the compressed part and do little.
    """
    thick = capacity.thickness_in(core.inch)
    if spec.bars.vertical_place is BarPlace.CENTRE:
        return thick / 2
    from_inside = spec.bars.inside_cover.inch + bar_size(size).diameter / 2
    return from_inside if outside_pulled else thick - from_inside


def effects_of(plan: Plan, situation: Situation) -> Effects:
    """Moment and reactions of a situation: pinned at both ends where its top is held, else fixed at its foot."""
    load = situation.load(pressure(plan.site))
    return pinned(load) if situation.held else cantilever(load)


def strip_of(plan: Plan, situation: Situation, strength_psi: float, share: float = 1.0) -> Strip:
    """The strip of a situation in concrete of a strength; ``share`` of the yield that its laps can bring out.

    Held at the top it is pinned at both ends and its upright bars carry it between; free at the top its foot is fixed
    and the bars through the joint there carry it: dowels at a footing, the frost wall's bars above one.
    """
    spec, bars = plan.spec, plan.spec.bars
    effects = effects_of(plan, situation)
    size = bars.vertical_size
    if not situation.held and situation.on_footing:
        size = min(bars.dowel_size, bars.vertical_size)
    depth = bar_depth_in(spec, situation.leg.core, size, situation.outside_pulled)
    area = capacity.area_per_foot_in2(bar_size(size).area, bars.vertical_spacing.inch)
    full = Section(area, depth, bars.grade_ksi * 1000.0, strength_psi)
    section = full if share == 1.0 else replace(full, fy_psi=full.fy_psi * share)
    moment = capacity.moment_to_carry_lb_ft(full, capacity.EARTH_FACTOR * effects.moment)
    shear = capacity.EARTH_FACTOR * max(effects.foot, effects.top)
    return Strip(effects, section, size, moment, shear, _strip_words(plan, situation, effects, section, moment))


def _verdict(
    situation: Situation, reason: str, want: Wanted, strip: Strip, passes: bool, words: str
) -> tuple[Verdict, str]:
    """Table first; a wall free at its top by its strip, where the code does not want it held."""
    if reason or (situation.held and want.refused):
        return Verdict.ENGINEER, reason or want.refused
    if situation.held:
        return (Verdict.ENOUGH, "") if passes else (Verdict.NOT_ENOUGH, f"Table {want.table} asks for {words}")
    if situation.fill >= HELD_FROM:
        held = f"{situation.fill} of unbalanced fill wants the wall held at its top and foot first ({IRC_R404_1_7})"
        return Verdict.ENGINEER, held
    if strip.ratio <= 1:
        return Verdict.ENOUGH, ""
    return Verdict.ENGINEER, f"free at its top, its bars carry {1 / strip.ratio:.0%} of what the earth asks"


# -- words -----------------------------------------------------------------------------------------
def _basis(plan: Plan, situation: Situation, want: Wanted, words: str, strip: Strip, provided: str) -> tuple[str, ...]:
    site = plan.site
    if want.refused:
        table = f"no table: {want.refused}"
    else:
        table = f"IRC 2021 Table {want.table}, {want.row}: prints {want.cell}: {words}; {provided} there"
    soil = f"soil {site.soil_class}, design load {site.equivalent_fluid_pcf:g} psf per ft, {pressure(site):g} taken"
    return (situation.words, soil, table, *want.notes, strip.words, DEFER)


def _strip_words(plan: Plan, situation: Situation, effects: Effects, section: Section, moment: float) -> str:
    core, grade = situation.leg.core.inch, plan.spec.bars.grade_ksi
    thick = capacity.thickness_in(core)
    way = "pinned at top and foot" if situation.held else "fixed at its foot, free at its top"
    factored = capacity.EARTH_FACTOR * effects.moment
    light = "" if moment == factored else f", a third more for light steel {moment:,.0f}"
    return (
        f"strip {way}, {pressure(plan.site):g} psf per ft over {situation.fill.foot:.2f} ft on "
        f"{situation.height.foot:.2f} ft: moment {effects.moment:,.0f} lb ft per ft {effects.at:.1f} ft up, x "
        f"{capacity.EARTH_FACTOR} = {factored:,.0f}{light}; {core:g} in wall counted {thick:g} in, "
        f"bars {section.depth:.2f} in deep, {section.area:.3f} in2 per ft, Grade {grade}, {section.fc_psi:,.0f} psi "
        f"carry {capacity.moment_capacity_lb_ft(section):,.0f}; top pushes {effects.top:,.0f} and foot "
        f"{effects.foot:,.0f} lb per ft"
    )


def _problems(checks: tuple[SteelCheck, ...]) -> list[Problem]:
    """One sentence for legs alike."""
    told: dict[tuple[Severity, str], list[str]] = {}
    for found in checks:
        state = STATE_WORDS[found.state]
        if found.verdict is Verdict.ENGINEER:
            key = (Severity.ENGINEER, f"{state}: engineer required for its upright bars: {found.reason}")
        elif found.verdict is Verdict.NOT_ENOUGH:
            row = f"{found.row}: {found.provided} is not enough; {found.table} asks for {found.required}"
            key = (Severity.WARNING, f"{state}, {row}")
        else:
            continue
        if found.leg not in told.setdefault(key, []):
            told[key].append(found.leg)
    return [
        Problem(severity, f"{', '.join(legs)}, {words}.", "spec.bars", legs[0], About.STEEL, legs=tuple(legs))
        for (severity, words), legs in told.items()
    ]


def _held_by_frost_wall(plan: Plan, found: tuple[Situation, ...]) -> list[Problem]:
    """Before the slab a wall on a frost wall leans on the ground the frost wall stands in; no table speaks of it."""
    of = [s for s in found if s.state is WallState.BEFORE_SLAB and s.held and not s.on_footing and not barred(plan, s)]
    of = [s for s in of if s.fill >= HELD_FROM]
    if not of:
        return []
    most = max(pinned(s.load(pressure(plan.site))).foot for s in of)
    sentence = (
        f"{', '.join(dict.fromkeys(s.leg.name for s in of))}: until the slab is placed the ground around the filled "
        f"frost wall is taken to hold the foot of the wall, up to {most:,.0f} lb per ft; the code's tables do not "
        "speak of that. Place the slab first or ask the engineer."
    )
    return [Problem(Severity.NOTE, sentence, leg=of[0].leg.name)]


def _concrete_above(plan: Plan, checks: tuple[SteelCheck, ...]) -> list[Problem]:
    """Walls of concrete above ask for their own bars too, which no table here gives."""
    if plan.spec.building.walls is not AboveGrade.CONCRETE_OR_MASONRY or not checks:
        return []
    sentence = (
        "Concrete walls stand on the foundation: its upright bars must also be those IRC R608.6 asks of the walls "
        "above, which are not worked out here; engineer required."
    )
    return [Problem(Severity.ENGINEER, sentence, "spec.building.walls", about=About.STEEL)]


def _in(length: Length) -> str:
    return format_length(length, "in")
