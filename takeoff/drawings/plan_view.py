"""The plan: walls cut across with foam and core, footings hidden below, everything dimensioned on its own face."""

from __future__ import annotations

import math
from dataclasses import dataclass

from takeoff.drawings.dimension import beside, dimension, feet_inches
from takeoff.drawings.scene import Hatch, Legend, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.geometry import CornerKind, LegGeometry, Placement, place
from takeoff.plan import Face, Leg, Plan, Section, Step, WalkKind
from takeoff.units import Length

Point = tuple[float, float]

#: Bubbles of the first, second, ... section of a plan.
SECTION_MARKS = (Mark.ROUND, Mark.HEXAGON, Mark.BOX, Mark.DIAMOND)

DIMENSIONED_TO = {
    Face.OUTSIDE_OF_FOAM: "outside of foam",
    Face.OUTSIDE_OF_CONCRETE: "outside of concrete",
    Face.CENTRE_LINE: "centre line of concrete",
    Face.INSIDE_OF_CONCRETE: "inside of concrete",
    Face.INSIDE_OF_FOAM: "inside of foam",
}

DIMENSION_OFF = 24.0
BUBBLE_OFF = 15.0
SMALLEST_GAP = 0.05  # in
#: A piece of wall shorter than this [in] does not carry the name of its leg.
NAMED_PIECE = 36.0


@dataclass(frozen=True, slots=True)
class Wall:
    """One leg on the plan: points at a distance along its outside face and a depth ``d`` inside it [in]."""

    geometry: LegGeometry
    foam: float
    core: float

    @property
    def thickness(self) -> float:
        """Foam, core, foam."""
        return 2 * self.foam + self.core

    @property
    def length(self) -> float:
        """Length of the outside face."""
        return self.geometry.outside.length.inch

    def end_point(self, d: float, end: bool) -> Point:
        """A depth on the mitre at the start or end of the leg."""
        for depth, face in self._faces():
            if math.isclose(d, depth, abs_tol=1e-6):
                line = self.geometry.faces[face]
                return line.end if end else line.start
        outer, inner = self.geometry.outside, self.geometry.faces[Face.INSIDE_OF_FOAM]
        (ox, oy), (ix, iy) = (outer.end, inner.end) if end else (outer.start, inner.start)
        part = d / self.thickness
        return ox + (ix - ox) * part, oy + (iy - oy) * part

    def _faces(self) -> tuple[tuple[float, Face], ...]:
        return (
            (0.0, Face.OUTSIDE_OF_FOAM),
            (self.foam, Face.OUTSIDE_OF_CONCRETE),
            (self.thickness / 2, Face.CENTRE_LINE),
            (self.thickness - self.foam, Face.INSIDE_OF_CONCRETE),
            (self.thickness, Face.INSIDE_OF_FOAM),
        )

    def point(self, along: float, d: float) -> Point:
        """A depth square to the outside face at a distance along it."""
        x, y = self.geometry.outside.at(along)
        nx, ny = self.inward(along)
        return x + nx * d, y + ny * d

    def heading(self, along: float) -> float:
        """Direction of walking at a distance along the outside face [deg]."""
        curve = self.geometry.outside.curve
        if curve is None:
            outer = self.geometry.outside
            return math.degrees(math.atan2(outer.y1 - outer.y0, outer.x1 - outer.x0))
        return self.geometry.heading_deg + math.copysign(math.degrees(along / curve.radius), curve.sweep_deg)

    def inward(self, along: float) -> Point:
        """Unit vector from the outside face to the inside."""
        turn = math.radians(self.heading(along) + (-90 if self.geometry.outside_left else 90))
        return math.cos(turn), math.sin(turn)

    def strip(self, d0: float, d1: float, start: float | None, end: float | None, **look: object) -> Path:
        """The part of the wall between two depths, from ``start`` to ``end`` along the outside face (None: the
        mitre)."""
        a0, a1 = (self.end_point(d, False) if start is None else self.point(start, d) for d in (d0, d1))
        b0, b1 = (self.end_point(d, True) if end is None else self.point(end, d) for d in (d0, d1))
        bulges = (self._bulge(a0, b0), 0.0, -self._bulge(a1, b1), 0.0)
        return Path((a0, b0, b1, a1), bulges, True, **look)  # type: ignore[arg-type]

    def line(self, d: float, start: float | None, end: float | None, stroke: Stroke) -> Path:
        """A line along the wall at a depth."""
        a = self.end_point(d, False) if start is None else self.point(start, d)
        b = self.end_point(d, True) if end is None else self.point(end, d)
        return Path((a, b), (self._bulge(a, b),), False, stroke)

    def _bulge(self, a: Point, b: Point) -> float:
        """How the wall bends between two points of it: about the centre of its own arc."""
        curve = self.geometry.outside.curve
        if curve is None:
            return 0.0
        turned = math.atan2(b[1] - curve.cy, b[0] - curve.cx) - math.atan2(a[1] - curve.cy, a[0] - curve.cx)
        sweep = turned % math.tau if curve.sweep_deg > 0 else -(-turned % math.tau)
        return math.tan(sweep / 4)


def plan_view(plan: Plan, placement: Placement | None = None, key: str = "plan") -> Scene:
    """The whole plan: walls with their hatches, footings, openings, steps, ledges, leg names, dimensions.

    Legs that could not be placed are missing (the placement's problems say why).
    """
    placement = placement or place(plan)
    walls = [_wall(plan, g) for g in placement.legs.values()]
    shapes: list[Shape] = []
    for wall in walls:
        shapes += _footing(plan, wall)
    for wall in walls:
        shapes += _body(wall)
    for wall in walls:
        shapes += _ledges(wall) + _steps(plan, wall)
    for wall in walls:
        shapes += _dimensions(plan, wall) + _names(plan, wall)
    shapes += _angles(walls)
    shapes += _section_names(plan, walls)
    return Scene(
        title=f"{plan.title}: plan, {plan.drawing}",
        description=_describe(plan, placement),
        shapes=tuple(shapes),
        key=key,
        caption="Plan",
        scale_bar=True,
        up_arrow="up",
        legend=_legend(plan, walls),
    )


def _wall(plan: Plan, geometry: LegGeometry) -> Wall:
    return Wall(geometry, plan.form(geometry.leg.form).foam.inch, geometry.leg.core.inch)


def _describe(plan: Plan, placement: Placement) -> str:
    legs = ", ".join(f"{g.leg.name} {g.dimension_length}" for g in placement.legs.values())
    return f"Walls seen from above, dimensioned to the {DIMENSIONED_TO[plan.dimensions_to]}. Legs: {legs}."


# -- the wall ----------------------------------------------------------------------------------------
def _gaps(wall: Wall) -> list[tuple[float, float, str]]:
    """Openings along the outside face, in order: from, to, name and width."""
    spans = [(wall.geometry.opening_span(o), o) for o in wall.geometry.leg.openings]
    gaps = [(a.inch, b.inch, f"{o.name}  {feet_inches(o.width.inch)}") for (a, b), o in spans]
    return sorted(gaps)


def _pieces(wall: Wall) -> list[tuple[float | None, float | None]]:
    """What stands between the openings, from mitre to mitre (None)."""
    at: float | None = None
    out: list[tuple[float | None, float | None]] = []
    for start, end, _ in _gaps(wall):
        if start - (at or 0.0) > SMALLEST_GAP:
            out.append((at, start))
        at = end
    if wall.length - (at or 0.0) > SMALLEST_GAP:
        out.append((at, None))
    return out


def _body(wall: Wall) -> list[Shape]:
    foam, deep = wall.foam, wall.thickness
    out: list[Shape] = []
    for start, end in _pieces(wall):
        out.append(wall.strip(0, foam, start, end, stroke=None, hatch=Hatch.FOAM))
        out.append(wall.strip(foam, deep - foam, start, end, stroke=None, hatch=Hatch.CONCRETE))
        out.append(wall.strip(deep - foam, deep, start, end, stroke=None, hatch=Hatch.FOAM))
    for start, end in _pieces(wall):
        out += [wall.line(d, start, end, Stroke.VISIBLE) for d in (0.0, deep)]
        out += [wall.line(d, start, end, Stroke.THIN) for d in (foam, deep - foam)]
        out += [Line(*wall.point(at, 0), *wall.point(at, deep)) for at in (start, end) if at is not None]
    out += _free_ends(wall)
    for start, end, label in _gaps(wall):
        out += [wall.line(d, start, end, Stroke.THIN) for d in (0.0, deep)]
        out.append(_beside(wall, (start + end) / 2, deep, label, 9.0))
    for pocket in wall.geometry.leg.beam_pockets:
        out += _pocket(wall, pocket.offset, pocket.width.inch, pocket.name)
    return out


def _free_ends(wall: Wall) -> list[Shape]:
    ends = ((wall.geometry.start, False), (wall.geometry.end, True))
    out: list[Shape] = []
    for corner, end in ends:
        if corner.kind is CornerKind.END:
            out.append(Line(*wall.end_point(0, end), *wall.end_point(wall.thickness, end)))
    return out


def _pocket(wall: Wall, offset: Length, width: float, name: str) -> list[Shape]:
    at = wall.geometry.along_outside(offset).inch
    foam, deep = wall.foam, wall.thickness
    seat = wall.strip(foam + wall.core / 2, deep, at - width / 2, at + width / 2, hatch=Hatch.PAPER)
    return [seat, _beside(wall, at, deep, name, 8.0)]


def _beside(
    wall: Wall, along: float, d: float, text: str, off: float, height: float = 6.4, ahead: bool = False
) -> Text:
    """A text beside the wall, read along it, moving away from it where something else stands; ``ahead``: not over
    the place but beyond it in walking direction."""
    nx, ny = wall.inward(along)
    x, y = wall.point(along, d)
    heading = wall.heading(along)
    angle = (heading + 90) % 180 - 90
    if math.isclose(angle, -90, abs_tol=1e-6):
        angle = 90.0
    anchor, dx, dy = "middle", nx * off, ny * off
    if ahead:
        anchor = "start" if math.isclose((heading - angle) % 360, 0, abs_tol=1e-3) else "end"
        dx += 3 * math.cos(math.radians(heading))
        dy += 3 * math.sin(math.radians(heading))
    return Text(
        x, y, text, height, rotate=angle, anchor=anchor, dx_pt=dx, dy_pt=dy, avoid=True, halo=True, from_scale=0.55
    )


def _footing(plan: Plan, wall: Wall) -> list[Shape]:
    spec = plan.spec.footing
    width = max(spec.width.inch, wall.thickness + 2 * spec.projection.inch)
    toe = (width - wall.thickness) / 2
    outer = wall.line(-toe, None, None, Stroke.HIDDEN)
    inner = wall.line(wall.thickness + toe, None, None, Stroke.HIDDEN)
    return [outer, inner]


def _ledges(wall: Wall) -> list[Shape]:
    out: list[Shape] = []
    for ledge in wall.geometry.leg.ledges:
        start = wall.geometry.along_outside(ledge.start).inch if ledge.start else None
        end = wall.geometry.along_outside(ledge.until).inch if ledge.until is not None else None
        d = -ledge.projection.inch
        out.append(wall.line(d, start, end, Stroke.PLANNED))
        for at, is_end in ((start, False), (end, True)):
            edge = [wall.end_point(x, is_end) if at is None else wall.point(at, x) for x in (0.0, d)]
            out.append(Line(*edge[0], *edge[1], Stroke.THIN))
        first, last = start or 0.0, wall.length if end is None else end
        out.append(_beside(wall, first + 0.72 * (last - first), d, f"ledge {ledge.level}", -7.0))
    return out


def _steps(plan: Plan, wall: Wall) -> list[Shape]:
    """A heavy line across the footing where a level changes, and what changes to what."""
    out: list[Shape] = []
    for step in wall.geometry.leg.steps:
        at = wall.geometry.along_outside(step.at).inch
        toe = plan.spec.footing.projection.inch
        out.append(Line(*wall.point(at, -toe * 1.6), *wall.point(at, wall.thickness + toe * 1.6), Stroke.HEAVY))
        for n, words in enumerate(_step_words(step)):
            out.append(_beside(wall, at, wall.thickness, words, 9.0 + 8 * n, 5.8, ahead=True))
    return out


def _step_words(step: Step) -> list[str]:
    levels = (
        ("footing", step.footing_top),
        ("frost wall", step.frost_top),
        ("wall", step.wall_top),
        ("grade", step.grade_outside),
        ("inside", step.grade_inside),
    )
    return [f"{word} {level}" for word, level in levels if level is not None]


# -- words and numbers -------------------------------------------------------------------------------
def _dimensions(plan: Plan, wall: Wall) -> list[Shape]:
    geometry = wall.geometry
    face = geometry.faces[plan.dimensions_to]
    if geometry.outside.curve is not None:
        return _arc_words(plan, wall)
    a, b = face.start, face.at(geometry.dimension_length.inch)
    if math.dist(a, b) < SMALLEST_GAP:
        return []
    return [dimension(*a, *b, DIMENSION_OFF) if geometry.outside_left else dimension(*b, *a, DIMENSION_OFF)]


def _arc_words(plan: Plan, wall: Wall) -> list[Shape]:
    """Radius and sweep of an arc, as typed, beside its middle; and its centre marked."""
    curve = wall.geometry.faces[plan.dimensions_to].curve
    assert curve is not None
    middle = wall.length / 2
    words = f"R {feet_inches(curve.radius)}, {abs(curve.sweep_deg):g}°"
    nx, ny = wall.inward(middle)
    x, y = wall.point(middle, 0)
    start = Line(curve.cx, curve.cy, *wall.point(middle, 0), Stroke.CENTRE)
    cross = [
        Line(curve.cx - 4, curve.cy, curve.cx + 4, curve.cy, Stroke.THIN),
        Line(curve.cx, curve.cy - 4, curve.cx, curve.cy + 4, Stroke.THIN),
    ]
    return [
        start,
        *cross,
        Text(x, y, words, 6.8, anchor=beside(-nx * 12), dx_pt=-nx * 12, dy_pt=-ny * 12, avoid=True, halo=True),
    ]


def section_mark(plan: Plan, leg: Leg) -> Mark:
    """The bubble of a leg's section."""
    keys = [section.key for section in plan.sections]
    return SECTION_MARKS[keys.index(leg.section) % len(SECTION_MARKS)]


def _names(plan: Plan, wall: Wall) -> list[Shape]:
    middle = wall.length / 2
    if wall.geometry.outside.curve is None and wall.geometry.leg.openings:
        middle = _clear_place(wall)
    nx, ny = wall.inward(middle)
    x, y = wall.point(middle, wall.thickness)
    leg = wall.geometry.leg
    return [
        Symbol(x, y, section_mark(plan, leg), leg.name, 7.6, dx_pt=nx * BUBBLE_OFF, dy_pt=ny * BUBBLE_OFF, avoid=True)
    ]


def _clear_place(wall: Wall) -> float:
    """The middle of the longest piece of wall between openings; of the whole wall where no piece is worth a name."""
    pieces = [(start or 0.0, wall.length if end is None else end) for start, end in _pieces(wall)]
    start, end = max(pieces or [(0.0, wall.length)], key=lambda p: p[1] - p[0])
    return (start + end) / 2 if end - start >= NAMED_PIECE else wall.length / 2


def _angles(walls: list[Wall]) -> list[Shape]:
    """Turns that are not square, inside the corner."""
    out: list[Shape] = []
    for wall in walls:
        corner = wall.geometry.end
        odd = corner.kind in (CornerKind.OUTSIDE, CornerKind.INSIDE) and abs(corner.deflection_deg - 90) > 0.01
        if odd and wall.geometry.leg.turn_deg:
            x, y = wall.end_point(wall.thickness, True)
            ox, oy = wall.end_point(0, True)
            reach = math.hypot(x - ox, y - oy) or 1.0
            ux, uy = (x - ox) / reach, (y - oy) / reach
            words = f"{corner.deflection_deg:g}°"
            out.append(Text(x, y, words, 6.4, dx_pt=ux * 9, dy_pt=uy * 9, avoid=True, halo=True, from_scale=0.55))
    return out


def _section_names(plan: Plan, walls: list[Wall]) -> list[Shape]:
    """The name of each section among its walls, where there is more than one."""
    out: list[Shape] = []
    for section in plan.sections:
        own = [w for w in walls if w.geometry.leg.section == section.key]
        if own:
            x, y, wide = _middle_of(own)
            title = section.name.upper()
            dx, dy = _away(walls, x, y)
            out.append(Text(x, y, title, 8.4, bold=True, dx_pt=dx, dy_pt=dy, room=wide * 0.75, avoid=True, halo=True))
            out.append(Text(x, y, _slab_words(section), 6.4, dy_pt=-11, avoid=True, halo=True))
    return [shape for shape in out if not isinstance(shape, Text) or shape.text]


def _away(walls: list[Wall], x: float, y: float) -> Point:
    """Which way a title goes that has no room among its walls: away from the middle of the house, by next to nothing
    to begin with."""
    house_x, house_y, _ = _middle_of(walls)
    reach = math.hypot(x - house_x, y - house_y)
    return (0.0, 0.01) if reach < 1.0 else ((x - house_x) / reach * 0.01, (y - house_y) / reach * 0.01)


def _slab_words(section: Section) -> str:
    return f"slab {section.slab_top}" if section.slab_top is not None else ""


def _middle_of(walls: list[Wall]) -> tuple[float, float, float]:
    """The middle of the walls of a section, and how wide they stand apart."""
    ring = [w for w in walls if w.geometry.walk.kind is WalkKind.RING] or walls
    xs, ys = zip(*(w.point(w.length * part, 0) for w in ring for part in (0, 0.25, 0.5, 0.75, 1)), strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2, max(xs) - min(xs)


def _legend(plan: Plan, walls: list[Wall]) -> tuple[Legend, ...]:
    out = [
        Legend("concrete core", Stroke.THIN, Hatch.CONCRETE),
        Legend("foam", Stroke.THIN, Hatch.FOAM),
        Legend("footing below", Stroke.HIDDEN),
    ]
    if any(w.geometry.leg.ledges for w in walls):
        out.append(Legend("ledge", Stroke.PLANNED))
    if any(w.geometry.leg.steps for w in walls):
        out.append(Legend("level changes", Stroke.HEAVY))
    used = {w.geometry.leg.section for w in walls}
    for n, section in enumerate(plan.sections):
        if section.key in used:
            out.append(Legend(f"leg of {section.name.lower()}", None, mark=SECTION_MARKS[n % len(SECTION_MARKS)]))
    out.append(Legend(f"dimensions to {DIMENSIONED_TO[plan.dimensions_to]}", Stroke.THIN))
    return tuple(out)
