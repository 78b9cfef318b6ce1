"""Openings as the forms see them: the rough opening and the buck around it (its lumber is in :mod:`takeoff.bucks`).

A buck is the frame that keeps the concrete out of an opening. Its boards stand outside the rough opening where
:attr:`takeoff.site.LayoutSpec.buck` says how thick they are; 0 means that openings are typed as formed. Whatever cuts
forms, concrete or bars asks :func:`as_formed` (or :func:`formed_openings`) for the hole it must go around.
"""

from __future__ import annotations

from dataclasses import replace

from takeoff.plan import Leg, Opening, OpeningKind, Plan
from takeoff.units import Length


def as_formed(opening: Opening, buck: Length) -> Opening:
    """The hole in the forms for a rough opening: one board wider on both sides and one higher.

    A window also has a board below its sill, laid in two strips that leave the middle open for filling; a door stands
    on what is below it and has none. Offsets are measured to the nearer jamb, so they get shorter by one board.
    Common practice, no source.
    """
    if not buck:
        return opening
    below = buck if opening.kind is OpeningKind.WINDOW else Length(0)
    return replace(
        opening,
        width=opening.width + 2 * buck,
        height=opening.height + buck + below,
        sill=opening.sill - below,
        offset=opening.offset - buck,
    )


def formed_openings(plan: Plan, leg: Leg) -> tuple[Opening, ...]:
    """All openings of a leg as formed, in the order of the plan."""
    return tuple(as_formed(opening, plan.spec.layout.buck) for opening in leg.openings)
