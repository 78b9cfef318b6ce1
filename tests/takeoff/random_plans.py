"""Random plans of square corners for the engine's tests: stair-shaped rings with openings, steps and odd lengths."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from takeoff.forms import GENERIC_16, GENERIC_18
from takeoff.plan import Leg, Opening, OpeningKind, Plan, Step, Straight
from takeoff.units import Length
from tests.takeoff.plans import leg, plan, ring


def inches(low: int, high: int, per_inch: int = 1) -> st.SearchStrategy[Length]:
    """Whole inches (or halves, quarters) between two bounds."""
    return st.integers(low * per_inch, high * per_inch).map(lambda n: Length(n * 25_400_000 // per_inch))


@st.composite
def outlines(draw: st.DrawFn, shortest: int = 60) -> list[tuple[Length, float]]:
    """(length, turn) of a ring like a skyline: a flat south side, and columns of different depth. Counter-clockwise, or
    its mirror image."""
    widths = draw(st.lists(inches(shortest, 300, 2), min_size=1, max_size=4))
    depths = [draw(inches(200, 420, 2)) for _ in widths]
    for i in range(1, len(depths)):
        if abs(depths[i] - depths[i - 1]) < Length.inches(shortest):
            depths[i] = depths[i - 1] + Length.inches(shortest)
    south = sum(widths[1:], widths[0])
    sides: list[tuple[Length, float]] = [(south, 90.0), (depths[-1], 90.0)]
    for i in range(len(widths) - 1, 0, -1):
        up = depths[i - 1] > depths[i]
        sides += [(widths[i], -90.0 if up else 90.0), (abs(depths[i] - depths[i - 1]), 90.0 if up else -90.0)]
    sides += [(widths[0], 90.0), (depths[0], 90.0)]
    if draw(st.booleans()):
        return sides
    lengths, turns = [s[0] for s in sides], [s[1] for s in sides]
    return list(zip(lengths[::-1], [-t for t in (*turns[-2::-1], turns[-1])], strict=True))


@st.composite
def openings_in(draw: st.DrawFn, length: Length, foot: Length, top: Length) -> tuple[Opening, ...]:
    """Up to two openings apart from each other, from sill to head inside the wall."""
    out, at = [], Length.inches(20)
    for k in range(draw(st.integers(0, 2))):
        offset, width = at + draw(inches(0, 60, 2)), draw(inches(20, 72, 2))
        if offset + width + Length.inches(20) > length:
            break
        sill = foot + draw(inches(0, 40))
        head = min(top, sill + draw(inches(16, 84)))
        out.append(Opening(f"O{k}", OpeningKind.WINDOW, width, head - sill, sill, offset))
        at = offset + width + Length.inches(10)
    return tuple(out)


@st.composite
def legs(draw: st.DrawFn, name: str, length: Length, turn: float, usual: Leg) -> Leg:
    """One leg: its usual levels, perhaps a step of the footing, the frost wall or the top, perhaps openings."""
    steps: tuple[Step, ...] = ()
    assert usual.wall_top is not None
    if draw(st.booleans()) and length > Length.inches(100):
        at = draw(inches(30, int(length.inch) - 30, 2))
        kind = draw(st.sampled_from(("footing", "top", "both")))
        rise, drop = draw(inches(1, 40)), draw(inches(1, 40))
        steps = (
            Step(
                at,
                footing_top=usual.footing_top + rise if kind != "top" else None,
                wall_top=usual.wall_top - drop if kind != "footing" else None,
            ),
        )
    low = usual.footing_top + Length.inches(40)
    found = draw(openings_in(length, low, usual.wall_top - Length.inches(40)))
    return replace(usual, name=name, path=Straight(length), turn_deg=turn, steps=steps, openings=found)


@st.composite
def square_plans(draw: st.DrawFn, shortest: int = 60) -> Plan:
    """A ring of one form system with odd heights, openings and steps."""
    form = draw(st.sampled_from((GENERIC_16, GENERIC_18)))
    core = draw(st.sampled_from(form.cores()))
    foot, tall = Length.feet(86), draw(inches(100, 140))
    frost = foot + draw(inches(40, 60)) if draw(st.booleans()) else None
    usual = leg("x", "1", form=form.key, core=core, footing_top=foot, frost_top=frost, wall_top=foot + tall)
    sides = draw(outlines(shortest))
    made = [draw(legs(f"L{k}", length, turn, usual)) for k, (length, turn) in enumerate(sides)]
    return plan(ring(*made))
