"""Self-adhered sheet membrane: laid in upright strips or in level rows, whichever takes fewer rolls or was chosen.

Both ways are laid out piece by piece and cut from rolls together with the detail strips. Upright, strips stand side by
side on one stretch of wall, each from the turn-down on the footing (or the lap on what is there) to the top. Level,
rows go round the corners of the house, the lowest turned down on the footing, with a lap where a roll ends. All of it
belongs, once, to the stage that buries it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import ceil, pi

from takeoff.bands import Band
from takeoff.facings import Dressed, Facing, by_group, dressed, face_runs, membrane_facings
from takeoff.geometry import CornerKind
from takeoff.plan import Levels, Plan, Stage
from takeoff.results import Buy, Quantity, Unit
from takeoff.rolls import Laid, Pieces, pack, rows
from takeoff.site import EnvelopeSpec, MembraneWay
from takeoff.sources import COMMON_PRACTICE, GEOMETRY, PLAN
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet

#: A US gallon is 231 in3 and 128 fluid ounces.
FLUID_OUNCE_IN3 = 231 / 128
#: Tube of mastic [US fl oz], round bead [in] and what is lost. Common practice, no source.
MASTIC_TUBE_FL_OZ, MASTIC_BEAD_IN, MASTIC_WASTE = 29.0, 0.375, 0.10


# -- rules ------------------------------------------------------------------------------------------
def usable_lap_in(lap_in: float, roll_in: float) -> float:
    """A lap, but never more than half the roll: wider ones would lay roll on roll without end (told as a warning)."""
    return min(lap_in, roll_in / 2)


def strips(length_in: float, roll_width_in: float, side_lap_in: float) -> int:
    """Upright strips of a roll that cover a length with side laps: ceil((L - lap) / (width - lap)), at least one."""
    if length_in <= 0:
        return 0
    lap = usable_lap_in(side_lap_in, roll_width_in)
    return max(ceil((length_in - lap) / (roll_width_in - lap) - 1e-9), 1)


def strip_length_in(reach_in: float, roll_length_in: float, end_lap_in: float) -> float:
    """Membrane used by one strip [in]: its reach, and an end lap for each join where it outruns the roll."""
    joins = 0
    while reach_in + joins * end_lap_in > (joins + 1) * roll_length_in:
        joins += 1
    return reach_in + joins * end_lap_in


def bead_ft(tube_fl_oz: float, bead_in: float) -> float:
    """Feet of a round bead of this diameter [in] out of one tube [US fl oz]: volume / (pi/4 d2)."""
    return tube_fl_oz * FLUID_OUNCE_IN3 / (pi / 4 * bead_in**2) / 12


def reach_below_in(spec: EnvelopeSpec, facing: Facing) -> float:
    """How far the sheet goes on below the face it covers [in]: turned down onto the footing, or lapped on the
    membrane that stands there."""
    return spec.membrane_onto_footing.inch if facing.foot else spec.membrane_end_lap.inch


# -- one section and stage, both ways ---------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Detail:
    """A detail strip: where, how long [in], and whether it may be pieced together."""

    band: Band
    length: float
    joined: bool
    text: str


def detail_strips(spec: EnvelopeSpec, parts: tuple[Dressed, ...], corners: list[tuple[Band, float]]) -> list[Detail]:
    """Along the joint on the footing, and up every corner and T."""
    wide = f'{spec.membrane_detail_strip.inch:g}"'
    out = [
        Detail(p.band, p.band.outside, True, f"{feet_inches(p.band.outside)} x {wide} at the footing")
        for p in parts
        if p.facing.foot
    ]
    return out + [Detail(band, high, False, f"corner {feet_inches(high)} x {wide}") for band, high in corners]


def _details(spec: EnvelopeSpec, strips_: list[Detail]) -> list[Pieces]:
    wide = min(spec.membrane_detail_strip.inch, spec.membrane_roll_width.inch)
    if wide <= 0:
        return []
    return [Pieces(wide, tuple(d.length for d in strips_ if d.joined is joined), joined) for joined in (False, True)]


def upright_pieces(spec: EnvelopeSpec, parts: tuple[Dressed, ...]) -> list[Pieces]:
    """Strips of full width, stretch by stretch."""
    out = []
    for part in parts:
        count = strips(part.band.outside, spec.membrane_roll_width.inch, spec.membrane_side_lap.inch)
        reach = part.facing.top - part.facing.bottom + reach_below_in(spec, part.facing)
        out.append(Pieces(spec.membrane_roll_width.inch, (reach,) * count))
    return out


def level_pieces(spec: EnvelopeSpec, parts: tuple[Dressed, ...], outer: tuple[Band, ...]) -> list[Pieces]:
    """Rows round the house, run by run; the top row ripped to what is needed."""
    out = []
    for run in face_runs(parts, outer):
        length = run.length + (spec.membrane_end_lap.inch if run.closed else 0.0)
        out += [Pieces(width, (length,), joined=True) for width in row_widths(spec, run.facing)]
    return out


def row_widths(spec: EnvelopeSpec, facing: Facing) -> tuple[float, ...]:
    """Widths [in] of the level rows on a face, from the foot up."""
    wide = spec.membrane_roll_width.inch
    lap = usable_lap_in(spec.membrane_side_lap.inch, wide)
    return rows(facing.top - facing.bottom + reach_below_in(spec, facing), wide, lap)


@dataclass(frozen=True, slots=True)
class Choice:
    """Rolls both ways and the way taken."""

    upright: Laid
    level: Laid
    way: MembraneWay

    @property
    def laid(self) -> Laid:
        """As taken."""
        return self.level if self.way is MembraneWay.LEVEL else self.upright


def choose(spec: EnvelopeSpec, parts: tuple[Dressed, ...], outer: tuple[Band, ...], details: list[Detail]) -> Choice:
    """Lay one section and stage both ways. Where both take as many rolls the strips stand upright."""
    size = spec.membrane_roll_width.inch, spec.membrane_roll_length.inch, spec.membrane_end_lap.inch
    extra = _details(spec, details)
    upright = pack([*upright_pieces(spec, parts), *extra], *size)
    level = pack([*level_pieces(spec, parts, outer), *extra], *size)
    way = spec.membrane_laid
    if way is MembraneWay.FEWER:
        way = MembraneWay.LEVEL if level.rolls < upright.rolls else MembraneWay.UPRIGHT
    return Choice(upright, level, way)


# -- corners ----------------------------------------------------------------------------------------
def corner_heights(spec: EnvelopeSpec, outer: tuple[Band, ...]) -> dict[tuple[str, Stage], list[tuple[Band, float]]]:
    """Every corner and every T, as high as the higher of the faces that meet there [in] and counted with it (with the
    leg that starts there where they are alike), by section and stage."""
    out: dict[tuple[str, Stage], list[tuple[Band, float]]] = {}
    for meeting in _corners(outer):
        highest: dict[Stage, tuple[float, Band]] = {}
        for band in meeting:
            for facing in membrane_facings(band.levels, spec):
                high = facing.top - facing.bottom
                if high > highest.get(facing.stage, (0.0, band))[0]:
                    highest[facing.stage] = high, band
        for stage, (high, band) in highest.items():
            out.setdefault((band.section, stage), []).append((band, high))
    return out


def _corners(outer: tuple[Band, ...]) -> list[tuple[Band, ...]]:
    """The stretches that meet at each corner, the departing one first; at a T there is only the wall that ends."""
    chains: dict[str, list[Band]] = {}
    for band in outer:
        chains.setdefault(band.geometry.walk.name, []).append(band)
    out: list[tuple[Band, ...]] = []
    for chain in chains.values():
        for earlier, later in zip([chain[-1], *chain[:-1]], chain, strict=True):
            if later.first and later.geometry.start.kind in (CornerKind.OUTSIDE, CornerKind.INSIDE):
                out.append((later, earlier))
            if later.first and later.geometry.start.kind is CornerKind.TEE:
                out.append((later,))
            if later.last and later.geometry.end.kind is CornerKind.TEE:
                out.append((later,))
    return out


# -- assembly ---------------------------------------------------------------------------------------
def membrane(plan: Plan, outer: tuple[Band, ...]) -> tuple[Quantity, ...]:
    """Sheet laid, rolls, primer, termination bar and mastic of every face with ground outside."""
    spec = plan.spec.envelope

    def faces(levels: Levels) -> tuple[Facing, ...]:
        return membrane_facings(levels, spec)

    groups, corners = by_group(dressed(outer, faces)), corner_heights(spec, outer)
    area, primer, bar, mastic = _area(spec), _primer(spec), _bar(), _mastic()
    rolls: list[Quantity] = []
    for (section, stage), parts in groups.items():
        details = detail_strips(spec, parts, corners.get((section, stage), []))
        choice = choose(spec, parts, outer, details)
        for part in parts:
            _add_sheet(area, spec, part, choice.way)
            _add_primer(primer, spec, part)
            if part.facing.finished:
                at = section, stage, part.band.name, part.band.outside / 12, feet_inches(part.band.outside)
                bar.add(*at)
                mastic.add(*at)
        for each in details:
            amount = square_feet(each.length * spec.membrane_detail_strip.inch)
            area.add(section, stage, each.band.name, amount, each.text)
        rolls.append(_rolls(spec, choice, parts, section, stage))
    tallies = (area, primer, bar, mastic)
    return (*rolls, *(quantity for tally in tallies for quantity in tally.quantities()))


def _rolls(spec: EnvelopeSpec, choice: Choice, parts: tuple[Dressed, ...], section: str, stage: Stage) -> Quantity:
    roll = f"roll {spec.membrane_roll_width.inch:g} in x {spec.membrane_roll_length.foot:g} ft"
    other = choice.upright if choice.way is MembraneWay.LEVEL else choice.level
    name = "level" if choice.way is MembraneWay.UPRIGHT else "upright"
    ends = f", {number(sum(choice.laid.ends) / 12)} ft of roll ends left" if choice.laid.ends else ""
    basis = (
        f"{_laid_text(spec, choice.way, parts)}, detail strips cut from what is left = {choice.laid.rolls} rolls"
        f"{ends}; laid {name} it takes {other.rolls}"
    )
    legs = tuple(dict.fromkeys(part.band.name for part in parts))
    return Quantity(
        "membrane.rolls", "Membrane", choice.laid.rolls, Unit.EACH, stage, section,
        f"laid {choice.way.value}, outside face and details", basis, GEOMETRY, Buy(roll, 1.0), legs,
    )  # fmt: skip


def _laid_text(spec: EnvelopeSpec, way: MembraneWay, parts: tuple[Dressed, ...]) -> str:
    """The full-width pieces in words: '14 + 10 strips of 9'-10"', or 'rows 39" + 39" + 22" wide on A, B'."""
    found: Counter[float] = Counter()
    levels: dict[tuple[float, ...], list[str]] = {}
    for part in parts:
        reach = part.facing.top - part.facing.bottom + reach_below_in(spec, part.facing)
        found[reach] += strips(part.band.outside, spec.membrane_roll_width.inch, spec.membrane_side_lap.inch)
        levels.setdefault(row_widths(spec, part.facing), []).append(part.band.name)
    if way is MembraneWay.LEVEL:
        return "; ".join(
            f"level rows {' + '.join(inch_text(w) for w in widths)} wide on {', '.join(dict.fromkeys(names))}"
            for widths, names in levels.items()
        )
    return " + ".join(f"{count} strips of {feet_inches(reach)}" for reach, count in sorted(found.items(), reverse=True))


def _area(spec: EnvelopeSpec) -> Tally:
    return Tally(
        "membrane.area", "Membrane laid", Unit.FT2,
        "on the outside face, detail strips at the footing and at corners", GEOMETRY,
        note=f" (with side laps {spec.membrane_side_lap.inch:g} in, end laps {spec.membrane_end_lap.inch:g} in and "
        f"{spec.membrane_onto_footing.inch:g} in turned down onto the footing; each pipe through the wall takes a ring "
        "of detail strip and of mastic, pipes are not in the plan)",
    )  # fmt: skip


def _add_sheet(tally: Tally, spec: EnvelopeSpec, part: Dressed, way: MembraneWay) -> None:
    """The sheet of one stretch as laid; laps where a roll ends in a level row are in the rolls, not here."""
    band, facing, wide = part.band, part.facing, spec.membrane_roll_width.inch
    if way is MembraneWay.LEVEL:
        widths = row_widths(spec, facing)
        text = f"{len(widths)} level rows {feet_inches(band.outside)} x {' + '.join(inch_text(w) for w in widths)}"
        amount = square_feet(band.outside * sum(widths))
    else:
        count = strips(band.outside, wide, spec.membrane_side_lap.inch)
        reach = facing.top - facing.bottom + reach_below_in(spec, facing)
        long = strip_length_in(reach, spec.membrane_roll_length.inch, spec.membrane_end_lap.inch)
        plural = "s" if count > 1 else ""
        text = f'{count} strip{plural} for {feet_inches(band.outside)} x {wide:g}" x {feet_inches(long)}'
        amount = square_feet(count * wide * long)
    tally.add(band.section, facing.stage, band.name, amount, text)


def _primer(spec: EnvelopeSpec) -> Tally:
    return Tally(
        "membrane.primer", "Primer, water-based", Unit.GAL, "under the membrane; solvent eats foam", PLAN,
        Buy("gallon", 1.0), note=f" (a gallon covers {spec.primer_ft2_per_gal:g} ft2)",
    )  # fmt: skip


def _add_primer(tally: Tally, spec: EnvelopeSpec, part: Dressed) -> None:
    band, facing = part.band, part.facing
    high = facing.top - facing.bottom + (spec.membrane_onto_footing.inch if facing.foot else 0.0)
    if spec.primer_ft2_per_gal > 0:
        gallons = square_feet(band.outside * high) / spec.primer_ft2_per_gal
        text = f"{feet_inches(band.outside)} x {feet_inches(high)} / {spec.primer_ft2_per_gal:g}"
        tally.add(band.section, facing.stage, band.name, gallons, text)


def _bar() -> Tally:
    return Tally(
        "membrane.termination", "Termination bar", Unit.FT, "holds the top edge of the membrane", COMMON_PRACTICE,
        Buy("bar 10 ft", 10.0),
    )  # fmt: skip


def _mastic() -> Tally:
    feet = bead_ft(MASTIC_TUBE_FL_OZ, MASTIC_BEAD_IN)
    return Tally(
        "membrane.mastic", "Mastic bead", Unit.FT, "along the termination bar", COMMON_PRACTICE,
        Buy(f"tube {MASTIC_TUBE_FL_OZ:g} fl oz", feet, MASTIC_WASTE),
        note=f' (a tube gives {feet:.1f} ft of {MASTIC_BEAD_IN:g}" bead)',
    )  # fmt: skip
