"""Where the wall is: walks turned into coordinates, faces offset, lengths and areas measured.

How it is done
--------------
The dimensioned face of each walk is drawn as it is walked. Every other face of a leg is the parallel of that line at
the leg's own distance (foam, core and foam of its own form system), and faces of neighbouring legs end where they
meet: a mitre. So a plan dimensioned to the core's centre line gives the right outside lengths at corners of any
angle, between straight legs and arcs, and where the thickness changes.

The outside of a ring is on the right hand when its turns add up to +360 degrees, on the left when they add up to
-360. A spur's outside is found the same way from its turns; a spur with no turn has its outside on the side that
faces the start of the leg it stands on.

:mod:`takeoff.rings`, :mod:`takeoff.spurs`, :mod:`takeoff.closure`, :mod:`takeoff.crossing` and :mod:`takeoff.trace`
hold the parts; everything other modules need can be imported from here.
"""

from __future__ import annotations

from takeoff.placement import (
    Closure,
    Corner,
    CornerKind,
    Curve,
    FaceLine,
    LegGeometry,
    Outline,
    Placement,
    Tee,
)

__all__ = [
    "Closure",
    "Corner",
    "CornerKind",
    "Curve",
    "FaceLine",
    "LegGeometry",
    "Outline",
    "Placement",
    "Tee",
]
