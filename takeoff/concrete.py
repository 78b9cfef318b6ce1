"""Concrete of the walls as it is ordered: one volume a section and pour, from the bodies in :mod:`takeoff.solids`.

A frost wall and the full-height wall on it are two pours and are kept apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from takeoff.geometry import Placement
from takeoff.plan import Plan
from takeoff.problems import Problem, Severity
from takeoff.readymix import Loads, mix_criteria, trucks, volume_criterion
from takeoff.results import Buy, Criterion, Part, Unit
from takeoff.solids import Solid, Zone, solids, throat_volume_yd3, wall_volume_yd3, zones
from takeoff.sources import GEOMETRY, Source
from takeoff.tables import read_table
from takeoff.tally import Tally

__all__ = ["Loads", "Zone", "throat_volume_yd3", "trucks", "wall_volume_yd3", "walls", "zones"]

IRC_R402_2 = Source("IRC", "2021", "Table R402.2 strength of concrete")


def walls(plan: Plan, placement: Placement) -> Part:
    """Concrete of both kinds of wall and the numbers their inspections ask for."""
    spec = plan.spec.concrete
    buy = Buy("quarter yard", spec.order_step_yd3, spec.waste_wall, spec.pump_hopper_yd3)
    tally = Tally(
        "wall.concrete",
        "Wall concrete",
        Unit.YD3,
        "core of the walls, openings taken out as formed",
        GEOMETRY,
        buy,
        note=" (lengths on the centre line of the core)",
    )
    for body, amount, text in _terms(solids(plan, placement)):
        tally.add(body.section, body.zone.stage, body.leg, amount, text)
    return Part(quantities=tally.quantities(), criteria=_criteria(plan, tally, buy), problems=strength_problems(plan))


def _terms(bodies: Iterable[Solid]) -> Iterator[tuple[Solid, float, str]]:
    """Bodies as terms of a sum, those told in one breath put together."""
    held: tuple[Solid, float, str] | None = None
    for body in bodies:
        if body.joined and held is not None:
            held = held[0], held[1] + body.yd3, held[2] + body.text
            continue
        if held is not None:
            yield held
        held = body, body.yd3, body.text
    if held is not None:
        yield held


def _criteria(plan: Plan, tally: Tally, buy: Buy) -> tuple[Criterion, ...]:
    """Volume as ordered and what is asked of the mix; core, lines and openings are told with the courses."""
    out: list[Criterion] = []
    for section, stage in tally.terms:
        legs = tally.legs(section, stage)
        out.append(volume_criterion("wall.concrete_volume", stage, tally.total(section, stage), buy, legs))
        out += mix_criteria(plan.spec.concrete, stage, legs)
    return tuple(out)


def least_strength_psi(exposed: bool, weathering: str) -> int:
    """Least specified strength [psi] of a foundation wall, exposed to the weather or not, where weathering is
    'negligible', 'moderate' or 'severe'. IRC Table R402.2."""
    wanted = "other vertical concrete work exposed" if exposed else "other concrete not exposed"
    row = next(row for row in read_table("irc_r402_2_strength").rows if wanted in row["location"])
    return int(row[weathering])


def strength_problems(plan: Plan) -> tuple[Problem, ...]:
    """Specified strength under what the code asks of any foundation wall, or of one exposed where winters are hard.

    How severe the weathering is stands in the local code; a plan does not say it. Footings and walls behind foam and
    membrane are not exposed; what stands bare above grade is.
    """
    strength, path = plan.spec.concrete.strength_psi, "spec.concrete.strength_psi"
    least, exposed = least_strength_psi(False, "severe"), least_strength_psi(True, "severe")
    if strength < least:
        sentence = f"Concrete of {strength:,} psi is specified; {IRC_R402_2} asks for {least:,} psi or more."
        return (Problem(Severity.WARNING, sentence, path),)
    if strength < exposed:
        sentence = (
            f"Concrete of {strength:,} psi is specified; walls exposed to the weather need {exposed:,} psi where "
            f"weathering is moderate or severe ({IRC_R402_2}): ask the building official."
        )
        return (Problem(Severity.NOTE, sentence, path),)
    return ()
