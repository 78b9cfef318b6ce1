"""Pressure of fresh concrete on wall forms, which rule governs, and why.

ACI 347R, walls, normal internal vibration to a depth of 4 ft, slump of 7 in or less, w in pcf, R in ft/h, T in F:

* R under 7 ft/h, placed 14 ft high or less: p = Cw Cc (150 + 9000 R/T)
* R under 7 ft/h and higher than 14 ft, or R from 7 to 15 ft/h: p = Cw Cc (150 + 43400/T + 2800 R/T)
* never under 600 Cw, never over w h
* otherwise (slump over 7 in, deeper vibration, R over 15 ft/h): full liquid head, p = w h

Read in: M. K. Hurd, Concrete Construction, "Use updated wall pressure formulas" (ACI 347-04, 2.2.2), and a lecture
that restates it. Concrete that is colder sets later and pushes harder. The slump has no default: without it, and
without knowing who approved it, nobody can say how concrete pushes.

A form that gives way hurts people. These are the guide's numbers for the inputs shown; the form maker's data, local
code and the engineer of record come before them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache

from takeoff.problems import Problem, Severity
from takeoff.site import Chemistry
from takeoff.sources import Source
from takeoff.tables import read_table

ACI_347_WALLS = Source("ACI 347R", "-04 and later", "wall pressure equations, as printed by M. K. Hurd")
FULL_HEAD = Source("ACI 347R", "-04 and later", "full liquid head p = w h")
COEFFICIENTS = Source("ACI 347R", "", "table of chemistry coefficients", seen=False)

#: Stands wherever a pressure, a rate of rise or a lift is shown.
CAUTION = (
    "A form that gives way hurts people. Worked out from a guide for the inputs shown; the form supplier's data, local "
    "code and the engineer of record come first. Nobody stands at the foot of the wall while it is filled."
)
MOST_SLUMP_IN = 7.0
MOST_VIBRATION_FT = 4.0
LOW_WALL_FT = 14.0
SLOW_FT_H = 7.0
FASTEST_FT_H = 15.0
FLOOR_PSF = 600.0
#: Concrete is neither placed colder nor warmer than this [F]; outside, a temperature was mistyped.
COLDEST_F, WARMEST_F = 35.0, 110.0


class Governs(StrEnum):
    """Which part of the rule gave the pressure."""

    SLOW = "slow"  # 150 + 9000 R/T
    FAST = "fast"  # 150 + 43400/T + 2800 R/T
    FLOOR = "floor"  # 600 Cw
    LIQUID_TO_TOP = "liquid_to_top"  # the equation asks for more than w h, which is all there is
    FULL_HEAD = "full_head"  # outside the equations


@dataclass(frozen=True, slots=True)
class Placing:
    """What pressure depends on. ``slump_in`` None is unknown, and unknown is refused.

    ``height_ft`` of concrete placed in one go, ``rate_ft_h`` its rise, ``concrete_f`` its temperature in the form.
    """

    height_ft: float
    rate_ft_h: float
    concrete_f: float
    slump_in: float | None
    unit_weight_pcf: float = 150.0
    chemistry: Chemistry = Chemistry.PLAIN
    vibration_ft: float = MOST_VIBRATION_FT
    slump_approved_by: str = ""

    @property
    def liquid_psf(self) -> float:
        """w h [psf]."""
        return self.unit_weight_pcf * self.height_ft


@dataclass(frozen=True, slots=True)
class Pressure:
    """Greatest pressure [psf] with its inputs. Liquid from the top down to ``liquid_ft``, then even to the foot."""

    psf: float
    governs: Governs
    why: str
    basis: str
    source: Source
    inputs: Placing

    @property
    def liquid_ft(self) -> float:
        """Depth [ft] to which pressure grows as in a liquid."""
        return self.psf / self.inputs.unit_weight_pcf

    @property
    def even_ft(self) -> float:
        """Height [ft] of the zone of even pressure below it."""
        return max(self.inputs.height_ft - self.liquid_ft, 0.0)


def unit_weight_coefficient(pcf: float) -> float:
    """Cw: 0.5 (1 + w/145) but at least 0.8 under 140 pcf, 1 from 140 to 150, w/145 above (ACI 347R, read)."""
    if pcf < 140:
        return max(0.5 * (1 + pcf / 145), 0.8)
    return 1.0 if pcf <= 150 else pcf / 145


@cache
def chemistry_coefficient(chemistry: Chemistry) -> float:
    """Cc of cement and admixtures (ACI 347R; values above 1 from memory)."""
    return float(next(read_table("aci_347_chemistry").where(chemistry=chemistry.value))["coefficient"])


def coefficients(placing: Placing) -> float:
    """Cw Cc."""
    return unit_weight_coefficient(placing.unit_weight_pcf) * chemistry_coefficient(placing.chemistry)


def refusal(placing: Placing) -> Problem | None:
    """Why no pressure can be said at all, or None."""
    if placing.slump_in is None:
        return _engineer(
            "No slump is given, nor who approved it: pressure on the forms cannot be worked out without it."
        )
    if not 0 <= placing.slump_in <= 12:
        return _engineer(f"A slump of {placing.slump_in:g} in cannot be: 0 to 12 in is expected.")
    if not COLDEST_F <= placing.concrete_f <= WARMEST_F:
        said = f"Concrete at {placing.concrete_f:g} °F is outside {COLDEST_F:g} to {WARMEST_F:g} °F"
        return _engineer(f"{said}: no pressure is worked out for it.")
    if not placing.height_ft > 0 or not placing.rate_ft_h > 0:
        return _engineer("Height and rate of rise must be more than nothing.")
    if not 60 <= placing.unit_weight_pcf <= 250:
        return _engineer(f"A unit weight of {placing.unit_weight_pcf:g} pcf is no concrete: 60 to 250 is expected.")
    return None


def _engineer(sentence: str) -> Problem:
    return Problem(Severity.ENGINEER, sentence)


def outside_equations(placing: Placing) -> str:
    """Why the equations do not hold, in words; '' where they do."""
    if placing.slump_in is not None and placing.slump_in > MOST_SLUMP_IN:
        return f"slump {placing.slump_in:g} in is over {MOST_SLUMP_IN:g} in"
    if placing.vibration_ft > MOST_VIBRATION_FT:
        return f"vibration reaches {placing.vibration_ft:g} ft down, over {MOST_VIBRATION_FT:g} ft"
    if placing.rate_ft_h > FASTEST_FT_H:
        return f"rise of {placing.rate_ft_h:g} ft/h is over {FASTEST_FT_H:g} ft/h"
    return ""


def wall_pressure(placing: Placing) -> Pressure | Problem:
    """Greatest pressure on the form [psf], or the sentence why it cannot be said."""
    refused = refusal(placing)
    if refused is not None:
        return refused
    w, h = placing.unit_weight_pcf, placing.height_ft
    head = f"{w:g} pcf x {h:.4g} ft = {placing.liquid_psf:,.0f} psf"
    reason = outside_equations(placing)
    if reason:
        why = f"Full liquid head governs: {reason}, so the pressure equations do not hold."
        return Pressure(placing.liquid_psf, Governs.FULL_HEAD, why, head, FULL_HEAD, placing)
    return _by_equation(placing, head)


def _by_equation(placing: Placing, head: str) -> Pressure:
    both, cw = coefficients(placing), unit_weight_coefficient(placing.unit_weight_pcf)
    r, t = placing.rate_ft_h, placing.concrete_f
    slow = r < SLOW_FT_H and placing.height_ft <= LOW_WALL_FT
    equation = both * (150 + 9000 * r / t if slow else 150 + 43400 / t + 2800 * r / t)
    terms = f"150 + 9000 x {r:.4g} / {t:g}" if slow else f"150 + 43400 / {t:g} + 2800 x {r:.4g} / {t:g}"
    governs = Governs.SLOW if slow else Governs.FAST
    psf, basis = equation, f"{both:.3g} x ({terms}) = {equation:,.0f} psf"
    why = f"The equation for {'a rise under 7 ft/h' if slow else 'a fast rise or a high wall'} governs."
    if psf < FLOOR_PSF * cw:
        psf, governs = FLOOR_PSF * cw, Governs.FLOOR
        why = f"The least pressure of {psf:,.0f} psf governs: the equation gives less."
        basis += f", not under 600 x {cw:.3g} = {psf:,.0f} psf"
    if psf > placing.liquid_psf:
        psf, governs = placing.liquid_psf, Governs.LIQUID_TO_TOP
        why = "The wall is so low that full liquid head is less than the equation, and governs."
        basis += f", not over {head}"
    return Pressure(psf, governs, why, basis, ACI_347_WALLS, placing)


# -- the form's own limit -----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class FormCheck:
    """Pressure against what the form is rated for [psf]."""

    pressure: Pressure
    rated_psf: float
    holds: bool
    words: str


def check_form(placing: Placing, rated_psf: float) -> FormCheck | Problem:
    """Whether a form rated for ``rated_psf`` (FormSystem.rated_pressure_psf) carries it; exactly the rating does."""
    pressure = wall_pressure(placing)
    if isinstance(pressure, Problem):
        return pressure
    holds = pressure.psf <= rated_psf * (1 + 1e-9)
    words = f"{pressure.psf:,.0f} psf against {rated_psf:,.0f} psf the form is rated for: "
    words += "it holds." if holds else "too much. Rise slower, place lower lifts or warmer concrete."
    return FormCheck(pressure, rated_psf, holds, f"{words} {pressure.why}")


@dataclass(frozen=True, slots=True)
class RateLimit:
    """How fast concrete may rise. ``ft_h`` None with ``lift_ft`` None: pressure sets no limit, the form holds the
    whole height as a liquid. ``ft_h`` None with ``lift_ft``: no rate is slow enough for the equations; only lifts of
    that depth, each set before the next."""

    ft_h: float | None
    lift_ft: float | None
    words: str
    source: Source
    inputs: Placing


def highest_rate(placing: Placing, rated_psf: float) -> RateLimit | Problem:
    """Highest rate of rise [ft/h] that keeps within the rating, the inverse of :func:`wall_pressure`.

    ``placing.rate_ft_h`` is not read. Where the equations cannot be used, or their least pressure is already over the
    rating, full liquid head governs: the depth that may stand liquid is rating / unit weight, and the next lift waits
    until the one below has been shown to have set.
    """
    probe = replace(placing, rate_ft_h=1.0)
    refused = refusal(probe)
    if refused is not None:
        return refused
    if probe.liquid_psf <= rated_psf:
        words = (
            f"Full liquid head over {placing.height_ft:.4g} ft is {probe.liquid_psf:,.0f} psf, within the rating of "
        )
        return RateLimit(None, None, f"{words}{rated_psf:,.0f} psf: pressure sets no limit.", FULL_HEAD, placing)
    reason = outside_equations(probe)
    cw = unit_weight_coefficient(probe.unit_weight_pcf)
    if not reason and FLOOR_PSF * cw > rated_psf:
        reason = f"the least pressure of {FLOOR_PSF * cw:,.0f} psf is over the rating"
    rate = 0.0 if reason else _inverse(probe, rated_psf)
    if rate <= 0:
        return _lifts_only(probe, rated_psf, reason or "no rate of rise is slow enough in concrete this cold")
    words = f"Up to {rate:.2f} ft/h at {placing.concrete_f:g} °F keeps within {rated_psf:,.0f} psf."
    return RateLimit(rate, None, words, ACI_347_WALLS, placing)


def _inverse(placing: Placing, rated_psf: float) -> float:
    """Rate [ft/h] at which the equation in force gives the rating; the two equations meet at 7 ft/h."""
    bare, t = rated_psf / coefficients(placing) - 150, placing.concrete_f
    slow = bare * t / 9000
    if placing.height_ft <= LOW_WALL_FT and slow < SLOW_FT_H:
        return slow
    return min((bare - 43400 / t) * t / 2800, FASTEST_FT_H)


def _lifts_only(placing: Placing, rated_psf: float, reason: str) -> RateLimit:
    lift = rated_psf / placing.unit_weight_pcf
    words = f"Full liquid head governs ({reason}): lifts of {lift:.1f} ft at most ({rated_psf:,.0f} psf / "
    words += f"{placing.unit_weight_pcf:g} pcf), the next only when the one below has been shown to have set."
    return RateLimit(None, lift, words, FULL_HEAD, placing)


def rate_by_temperature(
    placing: Placing, rated_psf: float, from_f: float = 40.0, to_f: float = 90.0, step_f: float = 5.0
) -> tuple[tuple[float, RateLimit], ...] | Problem:
    """Points (concrete [F], limit of the rate of rise) for a chart, or the sentence why there is none.

    Raises ValueError for a step that leads nowhere.
    """
    if step_f <= 0 or to_f < from_f:
        raise ValueError("The chart's temperatures must rise.")
    out = []
    for n in range(int((to_f - from_f) / step_f + 1e-9) + 1):
        limit = highest_rate(replace(placing, concrete_f=from_f + n * step_f), rated_psf)
        if isinstance(limit, Problem):
            return limit
        out.append((from_f + n * step_f, limit))
    return tuple(out)


def slump_warning(placing: Placing, for_stay_in_place: bool = True) -> Problem | None:
    """Where building code and pressure rule pull apart: the IRC asks over 6 in of slump in stay-in-place forms, the
    pressure equations end at 7 in. Told, not decided."""
    slump = placing.slump_in
    if slump is None or not for_stay_in_place or MOST_SLUMP_IN >= slump > 6:
        return None
    if slump > MOST_SLUMP_IN:
        said = f"With a slump of {slump:g} in the forms must hold the concrete as a liquid; ask the engineer."
    else:
        said = f"A slump of {slump:g} in: the residential code asks over 6 in for stay-in-place forms unless approved."
    who = f" Approved by {placing.slump_approved_by}." if placing.slump_approved_by else ""
    return Problem(Severity.WARNING, said + who)
