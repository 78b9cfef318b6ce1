"""Forms beside the courses: braces wall by wall, bucks board by board, lintels, cut-outs and straps, bent walls."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.handouts.subject import Subject
from takeoff.bracing import braced
from takeoff.bucks import PlacedBuck, placed_bucks
from takeoff.lintels import Lintel, lintel_over
from takeoff.openings_forms import formed_openings
from takeoff.plan import Stage
from takeoff.radius import BendWay, arc_legs
from takeoff.radius_orders import sixteenths
from takeoff.tally import number
from takeoff.units import Length, format_length

WALLS = (Stage.FROST_WALL, Stage.FULL_WALL)

EIGHTH = Length.inches("0.125")

#: Quantities that say where something is done to the forms, in the order they are read.
DONE_TO_FORMS = (
    "forms.tee_cutouts",
    "forms.tee_panel",
    "forms.straps",
    "forms.corner_straps",
    "forms.corner_plywood",
    "forms.ties",
    "blocks.end_caps",
    "ledge.ends",
    "forms.trim",
    "forms.adhesive",
)


@dataclass(frozen=True, slots=True)
class BraceRow:
    """Braces and planks of one wall; ``said``: '5 along the wall + 4 at openings'."""

    leg: str
    said: str
    braces: int
    planks: int


def brace_rows(subject: Subject) -> list[BraceRow]:
    """Braces leg by leg; none for a stage that stacks no wall."""
    if subject.kind not in WALLS:
        return []
    plan, out = subject.takeoff.plan, []
    for name in subject.legs:
        geometry = subject.placement.legs.get(name)
        row = braced(plan, geometry, subject.kind) if geometry is not None else None
        if row is not None:
            parts = (
                (row.field, "along the wall"),
                (row.openings, "at openings"),
                (row.tees, "at Ts"),
                (row.mitres, "at mitred corners"),
            )
            said = " + ".join(f"{count} {where}" for count, where in parts if count)
            out.append(BraceRow(name, said, row.braces, row.planks))
    return out


# -- openings ----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class BuckRow:
    """Boards of one buck: how many and how long, as wide as the wall but for the sill strips."""

    leg: str
    opening: str
    size: str
    width: str
    frame: str
    braces: str


def buck_rows(subject: Subject) -> list[BuckRow]:
    """The buck of every opening that is set in this stage."""
    found = placed_bucks(subject.takeoff.plan, subject.placement)
    own = [placed for placed in found if placed.stage is subject.kind and placed.leg in subject.legs]
    return [_buck(placed) for placed in own]


def _buck(placed: PlacedBuck) -> BuckRow:
    buck = placed.buck
    return BuckRow(
        leg=placed.leg,
        opening=placed.opening.name,
        size=f"{placed.opening.width} x {placed.height}",
        width=format_length(placed.thick, "in"),
        frame=_boards(("jambs", *buck.jambs), ("head", *buck.head), ("sill strips", *buck.sill)),
        braces=_boards(("across", *buck.across), ("upright", *buck.upright)) or "none",
    )


def _boards(*boards: tuple[str, int, Length]) -> str:
    """'jambs 2 x 4'-0", head 1 x 3'-0"'."""
    return ", ".join(f"{name} {count} x {format_length(length)}" for name, count, length in boards if count)


@dataclass(frozen=True, slots=True)
class LintelRow:
    """What goes over one opening; where no table speaks, ``engineer`` says why for all named."""

    where: str
    span: str = ""
    depth: str = ""
    bars: str = ""
    stirrups: str = ""
    source: str = ""
    engineer: str = ""


def lintel_rows(subject: Subject) -> list[LintelRow]:
    """The lintel over every opening of the stage's walls, those for the engineer last."""
    if subject.kind not in WALLS:
        return []
    plan, rows, refused = subject.takeoff.plan, list[LintelRow](), dict[str, list[str]]()
    bucks = {(b.leg, b.opening.name): b.stage for b in placed_bucks(plan, subject.placement)}
    for name, geometry in subject.placement.legs.items():
        for opening in formed_openings(plan, geometry.leg) if name in subject.legs else ():
            found = lintel_over(plan, geometry, opening)
            if isinstance(found, Lintel):
                rows += [_lintel(found)] if found.zone.stage is subject.kind else []
            elif found and bucks.get((name, opening.name)) is subject.kind:
                start, end = geometry.opening_span(opening)
                refused.setdefault(found, []).append(f"{opening.name} in {name} ({format_length(end - start)})")
    return rows + [LintelRow(", ".join(where), engineer=reason) for reason, where in refused.items()]


def _lintel(found: Lintel) -> LintelRow:
    bars, each, apart = found.bars, found.stirrups_each_side, found.stirrup_spacing
    spaced = f"{each} #3 from each jamb, first {_down(apart.half())} in, then {_down(apart)} apart"
    return LintelRow(
        where=f"{found.opening.name} in {found.geometry.leg.name}",
        span=format_length(found.span),
        depth=f'{bars.depth}"',
        bars=f"{bars.number} #{found.size} above and {bars.number} below",
        stirrups=spaced if each else "none",
        source=f"{bars.source}, load condition {bars.condition}",
    )


# -- the forms themselves ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class DoneRow:
    """Something done to the forms: how much, and where, as counted for the sections of the sheet."""

    what: str
    amount: str
    where: str


def done_rows(subject: Subject) -> list[DoneRow]:
    """Cut-outs, straps, ties, caps, trimming and adhesive, with the places."""
    found: dict[str, list[DoneRow]] = {}
    for quantity in subject.takeoff.of(subject.kind, subject.sections):
        if quantity.key in DONE_TO_FORMS:
            unit = "" if quantity.unit == "each" else f" {quantity.unit}"
            where = "; ".join(part for part in quantity.basis.split("; ") if not part.startswith("in all "))
            found.setdefault(quantity.key, []).append(
                DoneRow(quantity.label, f"{number(quantity.amount)}{unit}", where)
            )
    return [row for key in DONE_TO_FORMS for row in found.get(key, ())]


@dataclass(frozen=True, slots=True)
class ArcRow:
    """How the units of one bent wall are slotted."""

    leg: str
    radius: str
    panel: str
    slot: str
    per_unit: str
    other: str


def arc_rows(subject: Subject) -> list[ArcRow]:
    """Bent walls of the sheet."""
    if subject.kind not in WALLS:
        return []
    return [
        ArcRow(
            leg=arc.name,
            radius=format_length(Length.from_inches(arc.outside), denominator=16),
            panel=arc.slotted,
            slot=f"{sixteenths(arc.bend.slot)} ({arc.bend.slot:.3f} in)",
            per_unit=f"{arc.bend.cells}, one of them half at each end",
            other="left whole"
            if arc.bend.way is BendWay.SKIN_KEPT
            else f"cut through beside each slot; the cuts open {arc.bend.relief:.3f} in",
        )
        for arc in arc_legs(subject.takeoff.plan, subject.placement)
        if arc.name in subject.legs
    ]


def _down(length: Length) -> str:
    """A largest spacing as a tape shows it: the eighth of an inch below."""
    return format_length(Length(length.nm // EIGHTH.nm * EIGHTH.nm), "in")
