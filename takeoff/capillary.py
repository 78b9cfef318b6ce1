"""What keeps the wall from drawing water out of its footing: a sheet on the whole top of the footing, or a coating
brushed or sprayed on. It goes on before the first course and is bought with the footing."""

from __future__ import annotations

from dataclasses import replace

from takeoff.footing_runs import FootingRun
from takeoff.plan import Stage
from takeoff.results import Buy, Quantity, Unit
from takeoff.site import EnvelopeSpec
from takeoff.sources import COMMON_PRACTICE, GEOMETRY
from takeoff.tally import Tally, feet_inches, inch_text, number, square_feet

#: A gallon is 231 cubic inches: one spread a thousandth of an inch thick covers this much [ft2].
MIL_FEET_PER_GALLON = 231 / 144 * 1000
#: Length of a roll of sheet for footings [ft]. Common practice, no source.
SHEET_ROLL_FT = 50.0


def coating_gallons(area_ft2: float, mils: float) -> float:
    """Gallons [US] of coating for an area at a wet film thickness [mil]: one gallon covers 1604/mil ft2."""
    return area_ft2 * mils / MIL_FEET_PER_GALLON


def capillary(spec: EnvelopeSpec, every: tuple[FootingRun, ...]) -> tuple[Quantity, ...]:
    """The area of the break, and the coating it takes where a wet film is specified, else the sheet by width."""
    area = Tally(
        "footing.capillary_break", "Capillary break", Unit.FT2, "whole top of the footing, before the first course",
        GEOMETRY,
    )  # fmt: skip
    for run in every:
        text = f"{feet_inches(run.length)} x {inch_text(run.width)}"
        area.add(run.band.section, Stage.FOOTING, run.band.name, square_feet(run.length * run.width), text)
    if spec.capillary_mil > 0:
        return area.quantities() + tuple(_coating(quantity, spec.capillary_mil) for quantity in area.quantities())
    return area.quantities() + _sheet(spec, every)


def _coating(area: Quantity, mils: float) -> Quantity:
    gallons = coating_gallons(area.amount, mils)
    return replace(
        area,
        key="footing.capillary_coating",
        label="Capillary break as a coating",
        amount=gallons,
        unit=Unit.GAL,
        purpose=f"the same area at {mils:g} mil wet; keep it off dowels and out of the key",
        basis=f"{number(area.amount)} ft2 x {mils:g} mil / {MIL_FEET_PER_GALLON:.0f} = {number(gallons)} gal",
        source=COMMON_PRACTICE,
        buy=Buy("pail 5 gal", 5.0),
    )


def _sheet(spec: EnvelopeSpec, every: tuple[FootingRun, ...]) -> tuple[Quantity, ...]:
    """Sheet as wide as the footing, a lap at the end of every run."""
    lap = spec.capillary_lap.inch
    by_width: dict[float, Tally] = {}
    for run in every:
        wide = inch_text(run.width)
        tally = by_width.setdefault(
            round(run.width, 6),
            Tally(
                f"footing.capillary_sheet_{run.width:g}", f"Capillary break sheet, {wide} wide", Unit.FT,
                "on the whole top of the footing, cut round the dowels", COMMON_PRACTICE,
                Buy(f"roll {SHEET_ROLL_FT:g} ft", SHEET_ROLL_FT),
            ),
        )  # fmt: skip
        text = f"{feet_inches(run.length)} + {inch_text(lap)} lap"
        tally.add(run.band.section, Stage.FOOTING, run.band.name, (run.length + lap) / 12, text)
    return tuple(quantity for tally in by_width.values() for quantity in tally.quantities())
