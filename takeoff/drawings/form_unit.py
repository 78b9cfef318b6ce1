"""One form system to scale: a straight unit from outside, and the corner unit of one core from above."""

from __future__ import annotations

from takeoff.drawings.scene import Dimension, Hatch, Line, Path, Scene, Shape, Stroke, Text
from takeoff.forms import CornerLegs, FormSystem
from takeoff.units import Length, format_length

#: Clear paper between the two views [in].
GAP = 26.0
#: Names of the views stand under their dimension lines [pt].
UNDER = -27.0


def form_unit(system: FormSystem) -> Scene:
    """Face and webs of a straight unit, and the legs of the corner unit of the middle core the system is made in."""
    legs = system.corners[len(system.corners) // 2]
    corner_x = system.length.inch + GAP
    straight = f"straight unit {_inch(system.length)} long and {_inch(system.face_height)} high"
    corner = f"corner unit for a {_inch(legs.core)} core, legs {_inch(legs.long)} and {_inch(legs.short)}"
    return Scene(
        title=f"Units of {system.name}",
        description=f"{system.name}: {straight}; {corner}.",
        shapes=(*_straight(system), *_corner(system, legs, corner_x)),
        key=f"unit-{system.key}",
        scale_bar=True,
    )


def _inch(length: Length) -> str:
    return format_length(length, "in")


def _straight(system: FormSystem) -> list[Shape]:
    long, high, every = system.length.inch, system.face_height.inch, system.web_spacing.inch
    face = Path(((0, 0), (long, 0), (long, high), (0, high)), closed=True, hatch=Hatch.FOAM)
    count = max(int(long / every + 1e-9), 1)
    margin = (long - (count - 1) * every) / 2
    webs = [Line(x, 0, x, high, Stroke.HIDDEN) for x in (margin + k * every for k in range(count)) if 0 < x < long]
    return [
        face,
        *webs,
        Dimension(0, 0, 0, high, _inch(system.face_height)),
        Dimension(long, 0, 0, 0, _inch(system.length)),
        Text(long / 2, 0, "Straight unit, from outside", bold=True, dy_pt=UNDER),
    ]


def _corner(system: FormSystem, legs: CornerLegs, x: float) -> list[Shape]:
    long, short = legs.long.inch, legs.short.inch
    foam, thick = system.foam.inch, system.thickness(legs.core).inch

    def bend(near: float, far: float) -> Path:
        """The L between two depths from the outside face."""
        points = (
            (x + near, near), (x + long, near), (x + long, far), (x + far, far), (x + far, short), (x + near, short)
        )  # fmt: skip
        return Path(points, closed=True, hatch=Hatch.FOAM if near == 0 or far == thick else Hatch.NONE)

    return [
        bend(foam, thick - foam),
        bend(0, foam),
        bend(thick - foam, thick),
        Dimension(x, 0, x, short, _inch(legs.short)),
        Dimension(x + long, 0, x, 0, _inch(legs.long)),
        Dimension(x + foam, short, x + thick - foam, short, _inch(legs.core)),
        Text(x + long / 2, 0, f"Corner, {_inch(legs.core)} core, from above", bold=True, dy_pt=UNDER),
    ]
