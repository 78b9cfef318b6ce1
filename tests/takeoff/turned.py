"""The same house written down another way: walked back, mirrored, turned, begun elsewhere, renamed."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from takeoff.geometry import place
from takeoff.plan import Arc, Attachment, BeamPocket, End, Ledge, Leg, Opening, Plan, Step, Walk, WalkKind, stretches
from takeoff.units import Length

LEVELS = ("footing_top", "frost_top", "wall_top", "grade_outside", "grade_inside")


def walked_back(plan: Plan) -> Plan:
    """The same walls on the same ground, every walk gone the other way round."""
    placed = place(plan)
    lengths = {name: g.dimension_length - g.adjustment for name, g in placed.legs.items()}
    return replace(
        plan, walks=tuple(_walk_back(w, lengths, placed.legs[w.legs[-1].name].heading_deg) for w in plan.walks)
    )


def _walk_back(walk: Walk, lengths: dict[str, Length], last_heading: float) -> Walk:
    ring = walk.kind is WalkKind.RING
    turns = [-leg.turn_deg for leg in walk.legs[-2::-1]] + [-walk.legs[-1].turn_deg if ring else 0.0]
    legs = tuple(_leg_back(leg, lengths[leg.name], turn) for leg, turn in zip(walk.legs[::-1], turns, strict=True))
    if ring:
        return replace(walk, legs=legs, heading_deg=(last_heading + 180) % 360)

    def flip(at: Attachment | None) -> Attachment | None:
        return None if at is None else Attachment(at.leg, lengths[at.leg] - at.at)

    if walk.ends_on is None:  # it hangs on one wall and is walked from there either way
        return replace(walk, starts_on=flip(walk.starts_on), heading_deg=-walk.heading_deg)
    return replace(
        walk, legs=legs, starts_on=flip(walk.ends_on), ends_on=flip(walk.starts_on), heading_deg=-walk.heading_deg
    )


def _leg_back(leg: Leg, length: Length, turn: float) -> Leg:
    parts = stretches(leg, length)[::-1]
    steps = tuple(
        Step(
            length - here.start,
            **{
                n: getattr(then.levels, n) if getattr(then.levels, n) != getattr(here.levels, n) else None
                for n in LEVELS
            },
        )
        for here, then in pairwise(parts)
    )
    path = Arc(leg.path.radius, -leg.path.sweep_deg) if isinstance(leg.path, Arc) else leg.path
    return replace(
        leg,
        path=path,
        turn_deg=turn,
        steps=steps,
        openings=tuple(_opening_back(o) for o in leg.openings),
        beam_pockets=tuple(BeamPocket(p.name, length - p.offset, p.width, p.depth) for p in leg.beam_pockets),
        ledges=tuple(Ledge(x.level, x.projection, length - (x.until or length), length - x.start) for x in leg.ledges),
        **{n: getattr(parts[0].levels, n) for n in LEVELS},
    )


def _opening_back(opening: Opening) -> Opening:
    return replace(opening, measured_from=End.END if opening.measured_from is End.START else End.START)


def mirrored(plan: Plan) -> Plan:
    """Seen in a mirror: every turn the other way, in the same order."""

    def leg(old: Leg) -> Leg:
        path = Arc(old.path.radius, -old.path.sweep_deg) if isinstance(old.path, Arc) else old.path
        return replace(old, turn_deg=-old.turn_deg, path=path)

    def walk(old: Walk) -> Walk:
        return replace(old, legs=tuple(map(leg, old.legs)), heading_deg=-old.heading_deg, origin_y=-old.origin_y)

    return replace(plan, walks=tuple(map(walk, plan.walks)))


def turned(plan: Plan, degrees: float) -> Plan:
    """The paper turned: rings start at another heading."""
    return replace(
        plan,
        walks=tuple(
            replace(w, heading_deg=w.heading_deg + degrees) if w.kind is WalkKind.RING else w for w in plan.walks
        ),
    )


def begun_at(plan: Plan, corner: int) -> Plan:
    """Rings begun at another corner."""
    placed = place(plan)

    def walk(old: Walk) -> Walk:
        if old.kind is not WalkKind.RING:
            return old
        k = corner % len(old.legs)
        legs = old.legs[k:] + old.legs[:k]
        return replace(old, legs=legs, heading_deg=placed.legs[legs[0].name].heading_deg)

    return replace(plan, walks=tuple(map(walk, plan.walks)))


def renamed(plan: Plan) -> Plan:
    """Every leg under another name."""

    def name(old: str) -> str:
        return f"wall {old}"

    def attached(at: Attachment | None) -> Attachment | None:
        return None if at is None else replace(at, leg=name(at.leg))

    def walk(old: Walk) -> Walk:
        legs = tuple(replace(leg, name=name(leg.name)) for leg in old.legs)
        return replace(old, legs=legs, starts_on=attached(old.starts_on), ends_on=attached(old.ends_on))

    closure = tuple(replace(c, legs=(name(c.legs[0]), name(c.legs[1]))) for c in plan.closure)
    return replace(plan, walks=tuple(map(walk, plan.walks)), closure=closure)


def sections_reversed(plan: Plan) -> Plan:
    """The sections listed the other way round."""
    return replace(plan, sections=plan.sections[::-1])
