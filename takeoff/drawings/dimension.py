"""Dimension lines: extension lines, slashes at the ends, text above the line; moved out a tier where crowded."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from takeoff.drawings.marks import Box, Ink, Lettering, Point, line_box, polyline
from takeoff.drawings.scene import Dimension, Stroke
from takeoff.drawings.style import CLEAR, PAST, TICK, TIER
from takeoff.units import Length, format_length

TEXT_HEIGHT = 6.8
TIERS = 9
#: Where the text may stand along its line: parts of its length off the middle.
PARTS = (0.0, 0.2, -0.2, 0.33, -0.33)
#: A line keeps this far off the walls that it runs past [pt].
BESIDE = 4.0
#: Text at the end of its line instead of the middle is worth so much more distance [pt].
OFF_MIDDLE = 80.0
#: A wall that the line runs through is worth so much more distance from the work [pt].
THROUGH = 30.0
#: A text that an extension line of another dimension runs through is worth so much [pt].
ON_EXTENSION = 40.0


def feet_inches(inches: float, denominator: int = 16) -> str:
    """A drawn distance [in] as feet-inches text."""
    return format_length(Length.from_inches(inches), denominator=denominator)


def dimension(x0: float, y0: float, x1: float, y1: float, offset_pt: float = 16.0, prefix: str = "") -> Dimension:
    """A dimension that says the distance between its points [in]."""
    return Dimension(x0, y0, x1, y1, prefix + feet_inches(math.hypot(x1 - x0, y1 - y0)), offset_pt)


@dataclass(frozen=True, slots=True)
class PlacedDimension:
    """A dimension on paper [pt, y down]: where its line runs and where its text stands."""

    source: Dimension
    feet: tuple[Point, Point]
    ends: tuple[Point, Point]
    lettering: Lettering

    def obstacles(self) -> tuple[Box, ...]:
        """What later dimensions and labels must keep off."""
        return self.lettering.box(), line_box(*self.ends)

    def inks(self) -> tuple[Ink, ...]:
        """Line, extension lines and slashes."""
        out = [polyline(self.ends, Stroke.THIN)]
        for foot, end in zip(self.feet, self.ends, strict=True):
            out += [_extension(foot, end), _slash(end, self.ends)]
        return tuple(out)


def arrange(
    dimensions: Sequence[Dimension], scale: float, taken: Sequence[Box] = (), walls: Sequence[Box] = ()
) -> tuple[PlacedDimension, ...]:
    """Place dimensions at a scale [pt per in], short ones nearest the work, each in the first tier where its text
    lies on nothing and its line on no text and along no other line (lines may cross). A line that would run through
    walls goes past them where that is not far; where it is, the text at least moves along the line off the wall."""
    texts = list(taken)
    lines: list[Box] = []
    placed = []
    shown = sorted((d for d in dimensions if _span(d) * scale >= 0.5), key=_span)
    reaching = [_rays(_place(source, scale)) for source in shown]
    for n, source in enumerate(shown):
        line = line_box(*_place(source, scale).ends)
        others = [ray for m, (along, rays) in enumerate(reaching) if m != n and not _along(line, along) for ray in rays]
        spot = _cheapest(source, scale, texts, lines, walls, others)
        texts.append(spot.lettering.box())
        lines.append(line_box(*spot.ends))
        placed.append(spot)
    return tuple(placed)


def _cheapest(
    source: Dimension,
    scale: float,
    texts: Sequence[Box],
    lines: Sequence[Box],
    walls: Sequence[Box],
    rays: Sequence[Box],
) -> PlacedDimension:
    """The free spot nearest the work, a wall crossed counting as :data:`THROUGH` and a text on an extension line as
    :data:`ON_EXTENSION`; the last tier if none is free."""
    best: PlacedDimension | None = None
    least = math.inf
    for tier in range(TIERS):
        for part in PARTS:
            spot = _place(replace(source, offset_pt=source.offset_pt + tier * TIER), scale, part)
            cost = tier * TIER + abs(part) * OFF_MIDDLE
            if cost >= least:
                continue
            text, line = spot.lettering.box(), line_box(*spot.ends)
            if any(text.meets(other) or line.meets(other) for other in texts):
                continue
            if any(text.meets(other) or (_along(line, other) and line.meets(other)) for other in lines):
                continue
            if any(text.meets(wall) for wall in walls):
                continue
            band = line_box(*spot.ends, BESIDE)
            cost += THROUGH * sum(band.meets(wall) for wall in walls)
            cost += ON_EXTENSION * any(text.meets(ray) for ray in rays)
            if cost < least:
                best, least = spot, cost
        if least <= (tier + 1) * TIER:
            break
    return best or spot


def _rays(placed: PlacedDimension) -> tuple[Box, list[Box]]:
    """Its line, and where its extension lines may run: as far as some tiers out. Those of a line in the same direction
    are stepped clear of by the tiers themselves."""
    out = []
    for foot, end in zip(placed.feet, placed.ends, strict=True):
        reach = math.dist(foot, end)
        if reach:
            part = (reach + 3 * TIER) / reach
            far = foot[0] + (end[0] - foot[0]) * part, foot[1] + (end[1] - foot[1]) * part
            out.append(line_box(foot, far))
    return line_box(*placed.ends), out


def _along(one: Box, other: Box) -> bool:
    apart = (one.angle - other.angle) % 180
    return min(apart, 180 - apart) < 1


def _span(source: Dimension) -> float:
    return math.hypot(source.x1 - source.x0, source.y1 - source.y0)


def _place(source: Dimension, scale: float, part: float = 0.0) -> PlacedDimension:
    a, b = (source.x0 * scale, -source.y0 * scale), (source.x1 * scale, -source.y1 * scale)
    length = math.dist(a, b)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    left = (along[1], -along[0])  # left of the direction of walking, on paper with y down
    shift = (left[0] * source.offset_pt, left[1] * source.offset_pt)
    ends = ((a[0] + shift[0], a[1] + shift[1]), (b[0] + shift[0], b[1] + shift[1]))
    angle = readable(math.degrees(math.atan2(along[1], along[0])))
    turn = math.radians(angle)
    up = (math.sin(turn), -math.cos(turn))
    lift = TEXT_HEIGHT * 0.56 + 1.4
    off = part * length
    x = (ends[0][0] + ends[1][0]) / 2 + along[0] * off + up[0] * lift
    y = (ends[0][1] + ends[1][1]) / 2 + along[1] * off + up[1] * lift
    lettering = Lettering(x, y, source.text, TEXT_HEIGHT, angle, halo=True)
    return PlacedDimension(source, (a, b), ends, lettering)


def readable(angle: float) -> float:
    """The same direction of text, turned so that it is read from below or from the right [deg, clockwise]."""
    turned = (angle + 90) % 180 - 90
    return -90.0 if math.isclose(turned, 90.0, abs_tol=1e-6) else turned


def beside(dx: float) -> str:
    """The anchor of a level text that stands to the left (dx < 0), right or straight above of a thing."""
    return "start" if dx > 3 else "end" if dx < -3 else "middle"


def _extension(foot: Point, end: Point) -> Ink:
    reach = math.dist(foot, end) or 1.0
    ux, uy = (end[0] - foot[0]) / reach, (end[1] - foot[1]) / reach
    near = min(CLEAR, reach)
    return polyline(((foot[0] + ux * near, foot[1] + uy * near), (end[0] + ux * PAST, end[1] + uy * PAST)), Stroke.THIN)


def _slash(end: Point, ends: tuple[Point, Point]) -> Ink:
    turn = math.atan2(ends[1][1] - ends[0][1], ends[1][0] - ends[0][0]) - math.pi / 4
    dx, dy = TICK * math.cos(turn), TICK * math.sin(turn)
    return polyline(((end[0] - dx, end[1] - dy), (end[0] + dx, end[1] + dy)), Stroke.VISIBLE)
