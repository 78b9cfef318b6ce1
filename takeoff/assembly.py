"""The wall as heat meets it: resistance layer by layer, R and U, and the energy code's least for a basement wall.

Heat is taken to go straight through, layer after layer; the webs are plastic and neglected. Soil is left out, and so
is what a plan does not say. The energy code judges foam by its value at 75 F, as labelled; at another mean temperature
the wall is told beside that. Local amendments and the building official go before anything said here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from takeoff.forms import FormSystem
from takeoff.plan import Leg, Plan
from takeoff.problems import Problem, Severity
from takeoff.results import Part
from takeoff.site import AssemblySpec
from takeoff.sources import PLAN, Source
from takeoff.tables import read_table
from takeoff.tally import inch_text
from takeoff.units import Length, format_length

#: Still air inside and moving air outside of an upright wall [h ft2 F/Btu].
INSIDE_FILM_R: Final = 0.68
OUTSIDE_FILM_R: Final = 0.17
FILMS: Final = Source("ASHRAE Handbook of Fundamentals", clause="surface films of walls, as quoted in public R charts")
#: Concrete of 144 pcf [h ft2 F/Btu per in]: what is left of an 8 in wall of R 1.35 without its films.
CONCRETE_R_PER_IN: Final = 0.0625
CONCRETE: Final = Source("ASHRAE Handbook of Fundamentals", "1993", "uninsulated concrete wall, as quoted in public")
#: Foam is labelled at this mean temperature [F] and gains this part of its value for each degree under it.
LABEL_F: Final = 75.0
FOAM_GAIN_PER_F: Final = 0.0028
FOAM: Final = Source("EPS Industry Alliance, effective R-values", clause="equation 3, fitted to ASTM C578 type II")
#: Years whose table of basement walls is carried.
_YEARS: Final = ("2018", "2021", "2024")


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: its resistance [h ft2 F/Btu] at the mean temperature asked for and as labelled, and how it came
    about."""

    name: str
    r: float
    label_r: float
    basis: str
    source: Source


@dataclass(frozen=True, slots=True)
class Least:
    """The energy code's least for a basement wall in a climate zone: continuous insulation R, or assembly U."""

    r_ci: float
    u: float
    zone: str
    source: Source


@dataclass(frozen=True, slots=True)
class Assembly:
    """One wall: a form system with one core, and the legs built of it.

    ``r`` and ``u`` from air to air at ``mean_f``; ``foam_r`` both panels as labelled, which the code counts, and
    ``label_u`` the U-factor with it. ``least`` None where no table could be asked; ``words`` says the verdict or why
    there is none.
    """

    form: str
    core: Length
    legs: tuple[str, ...]
    layers: tuple[Layer, ...]
    mean_f: float
    foam_r: float
    least: Least | None
    words: str

    @property
    def r(self) -> float:
        """Sum of the layers [h ft2 F/Btu]."""
        return sum(layer.r for layer in self.layers)

    @property
    def u(self) -> float:
        """Heat that goes through [Btu/h ft2 F]."""
        return 1 / self.r

    @property
    def label_u(self) -> float:
        """U-factor with foam as labelled [Btu/h ft2 F]."""
        return 1 / sum(layer.label_r for layer in self.layers)

    @property
    def holds(self) -> bool | None:
        """Whether either way of the code is kept; None where there was nothing to hold it against."""
        return None if self.least is None else meets(self.least, self.foam_r, self.label_u)


# -- rules ------------------------------------------------------------------------------------------
def foam_factor(mean_f: float) -> float:
    """What foam is worth at a mean temperature [F], 1 at 75 F: it insulates better in the cold, 2.8 % for each 10 F."""
    return 1 + FOAM_GAIN_PER_F * (LABEL_F - mean_f)


def layers_of(form: FormSystem, core: Length, spec: AssemblySpec) -> tuple[Layer, ...]:
    """Layers from the room to the open air. Linings and claddings of no resistance are left out."""
    panel = form.foam.inch * form.foam_r_per_in
    foam = (
        panel * foam_factor(spec.mean_temperature_f),
        panel,
        f"{inch_text(form.foam.inch)} x R-{form.foam_r_per_in:g} per in at {LABEL_F:g} °F"
        + _at(spec.mean_temperature_f),
        FOAM,
    )
    concrete = core.inch * CONCRETE_R_PER_IN
    said = f"{inch_text(core.inch)} x {CONCRETE_R_PER_IN:g}"
    every = (
        _plain("inside air", INSIDE_FILM_R, "still air on an upright wall", FILMS),
        _plain("inside lining", spec.inside_lining_r, "as entered", PLAN),
        Layer("inside foam", *foam),
        _plain("concrete", concrete, said, CONCRETE),
        Layer("outside foam", *foam),
        _plain("outside cladding", spec.outside_cladding_r, "as entered", PLAN),
        _plain("outside air", OUTSIDE_FILM_R, "moving air", FILMS),
    )
    return tuple(layer for layer in every if layer.r > 0)


def _plain(name: str, r: float, basis: str, source: Source) -> Layer:
    return Layer(name, r, r, basis, source)


def _at(mean_f: float) -> str:
    return "" if mean_f == LABEL_F else f", x {foam_factor(mean_f):.3f} at {mean_f:g} °F"


def least_for(edition: str, zone: int, marine: bool = False) -> Least | None:
    """What the residential code asks of a basement wall in a climate zone 0 to 8: IRC Tables N1102.1.2 and N1102.1.3.
    Marine zone 4 counts with zone 5. None for an edition or a zone that is not carried."""
    year = re.search(r"\b(20\d\d)\b", edition)
    if "IRC" not in edition.upper() or year is None or year[1] not in _YEARS:
        return None
    for row in read_table("irc_n1102_basement_walls").where(edition=year[1], zone=_zone(zone, marine)):
        seen = row["basis"] == "read"
        source = Source("IRC", year[1], "Tables N1102.1.2 and N1102.1.3 basement walls", seen)
        return Least(float(row["basement_wall_r_ci"]), float(row["basement_wall_u"]), row["zone"], source)
    return None


def _zone(zone: int, marine: bool) -> str:
    if zone == 4:
        return "5 and marine 4" if marine else "4 except marine"
    return {5: "5 and marine 4", 7: "7 and 8", 8: "7 and 8"}.get(zone, str(zone))


def meets(least: Least, foam_r: float, u: float) -> bool:
    """Either way will do: enough continuous insulation, or a U-factor not above the table's (to its three digits)."""
    return foam_r >= least.r_ci - 1e-9 or round(u, 3) <= least.u


# -- one plan ---------------------------------------------------------------------------------------
def assemblies(plan: Plan) -> tuple[Assembly, ...]:
    """Every wall of a plan by form system and core, in walking order, with the verdict on those of a basement."""
    groups: dict[tuple[str, Length], list[Leg]] = {}
    for leg in plan.legs():
        groups.setdefault((leg.form, leg.core), []).append(leg)
    return tuple(_assembly(plan, plan.form(form), core, legs) for (form, core), legs in groups.items())


def _assembly(plan: Plan, form: FormSystem, core: Length, legs: list[Leg]) -> Assembly:
    spec, names = plan.spec.assembly, tuple(leg.name for leg in legs)
    layers = layers_of(form, core, spec)
    foam_r = 2 * form.foam.inch * form.foam_r_per_in
    label_u = 1 / sum(layer.label_r for layer in layers)
    least, words = _least(plan, legs)
    if least is not None:
        words = _verdict(least, foam_r, label_u)
    return Assembly(form.key, core, names, layers, spec.mean_temperature_f, foam_r, least, words)


def _least(plan: Plan, legs: list[Leg]) -> tuple[Least | None, str]:
    spec, edition = plan.spec.assembly, plan.site.code_edition
    if all(leg.wall_top is None for leg in legs):
        return None, "Frost walls alone enclose no heated room; the energy code's basement walls are not asked of them."
    if not spec.climate_zone:
        return None, "The climate zone is not said; the energy code is not asked."
    least = least_for(edition, spec.climate_zone, spec.marine)
    if least is None:
        return None, f"Insulation of basement walls in “{edition}”, zone {spec.climate_zone}, is not carried here."
    return least, ""


def _verdict(least: Least, foam_r: float, u: float) -> str:
    by_r = "enough" if foam_r >= least.r_ci - 1e-9 else "too little"
    by_u = "low enough" if round(u, 3) <= least.u else "too high"
    end = "the wall holds" if meets(least, foam_r, u) else "the wall falls short both ways"
    return (
        f"Zone {least.zone}: both foam panels R-{foam_r:.1f}, {by_r} against R-{least.r_ci:g} continuous; U {u:.3f}, "
        f"{by_u} against {least.u:.3f} ({least.source}): {end}. A wall more than half above grade is another kind of "
        "wall to the code and is not judged here."
    )


def part(plan: Plan) -> Part:
    """A warning for every wall that falls short of the energy code's table, and nothing else."""
    short = [wall for wall in assemblies(plan) if wall.holds is False]
    return Part(
        problems=tuple(
            Problem(
                Severity.WARNING,
                f"{plan.form(wall.form).name}, {format_length(wall.core, 'in')} core ({', '.join(wall.legs)}): "
                f"{wall.words}",
                "spec.assembly",
                wall.legs[0],
            )
            for wall in short
        )
    )
