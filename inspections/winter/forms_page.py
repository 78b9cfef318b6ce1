"""How fast the forms may be filled: slump and who approved it, rating, the rule that governs, lifts, trucks, colder."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inspections.winter.asked import Asked
from inspections.winter.conditions import Conditions
from takeoff.drawings.rate_chart import chart_words, rate_chart
from takeoff.drawings.svg import render
from takeoff.plan import Plan, Stage
from takeoff.pour.from_plan import lifts_of, pour_of
from takeoff.pour.lifts import FT3_PER_YD3, ColderTruck, LiftPlan, Pour, colder_truck, truck_times
from takeoff.pour.pressure import CAUTION, check_form, rate_by_temperature, slump_warning
from takeoff.pour.second_opinions import (
    CIRIA_108,
    DIN_18218,
    DIN_FASTEST_M_H,
    FT_PER_M,
    PSF_PER_KPA,
    Consistency,
    ciria_108_kpa,
    din_18218_kpa,
)
from takeoff.pours import WallPour
from takeoff.problems import Problem, Severity
from takeoff.sources import COMMON_PRACTICE

PHONE, DESK = 340, 720
BESIDE = (COMMON_PRACTICE, DIN_18218, CIRIA_108)
#: Where no temperature is known, the chart is the answer: nothing else is worked out.
NO_TEMPERATURE = "Type the temperature of the concrete at discharge: cold concrete sets later and pushes harder."
KN_M3_PER_PCF = 0.157087
WORDS = {Severity.ENGINEER: "Engineer", Severity.WARNING: "Look", Severity.NOTE: "Note", Severity.BLOCKER: "Stop"}


@dataclass(frozen=True, slots=True)
class LiftRow:
    """One circuit of the wall."""

    number: int
    levels: str
    yd3: str
    minutes: str


@dataclass(frozen=True, slots=True)
class FormsPage:
    """The page, or the sentences why there is no answer."""

    problem: str = ""
    slump: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    governs: str = ""
    check: str = ""
    holds: bool = True
    basis: str = ""
    lifts: tuple[LiftRow, ...] = ()
    words: str = ""
    trucks: tuple[str, ...] = ()
    colder: str = ""
    told: tuple[tuple[str, str], ...] = ()
    others: tuple[tuple[str, str], ...] = ()
    desk: str = ""
    phone: str = ""
    no_curve: str = ""  # why there is no chart
    inputs: tuple[tuple[str, str], ...] = ()
    sources: tuple[str, ...] = ()
    caution: str = CAUTION


@dataclass(frozen=True, slots=True)
class Planned:
    """The pour of the wall asked about and its lifts."""

    plan: Plan
    wall: WallPour
    pour: Pour
    lifts: LiftPlan


def planned(about: Asked) -> Planned | str:
    """The pour planned under the conditions asked, or the sentence why it cannot be."""
    asked, plan, wall = about.conditions, about.as_agreed, about.wall
    if about.kind is Stage.FOOTING:
        return "A footing's forms are low: pressure and lifts are worked out for walls."
    if plan is None:
        return "No plan is locked yet: height, core and rated pressure come from it."
    if asked is None or wall is None:
        return "No wall of the chosen sections is poured in this stage."
    if asked["concrete_f"] is None:
        return NO_TEMPERATURE
    pour = pour_of(
        plan, wall, concrete_f=asked["concrete_f"], pump_yd3_h=asked["pump_yd3_h"], haul_min=asked["haul_min"],
        cold_joint_min=asked["cold_joint_min"],
    )  # fmt: skip
    if isinstance(pour, Problem):
        return pour.sentence
    lifts = lifts_of(wall, pour)
    if isinstance(lifts, Problem):
        return lifts.sentence
    return Planned(plan, wall, pour, lifts)


def read(about: Asked) -> FormsPage:
    """The page of a stage under the conditions asked."""
    if about.conditions is None:
        return FormsPage()
    slump = slump_words(about) if about.plan else ""
    found = planned(about)
    if isinstance(found, str):
        return FormsPage(found, slump)
    pour, lifts = found.pour, found.lifts
    at_pace = replace(pour.placing, rate_ft_h=lifts.rate_ft_h)
    check = check_form(at_pace, pour.rated_psf)
    chart = rate_by_temperature(pour.placing, pour.rated_psf)
    if isinstance(check, Problem):
        return FormsPage(check.sentence, slump)
    if isinstance(chart, Problem):
        return FormsPage(chart.sentence, slump)
    here = pour.placing.concrete_f, lifts.rate_ft_h
    desk, phone = (
        render(rate_chart(chart, here, w, f"rate-{name}"), w) for w, name in ((DESK, "desk"), (PHONE, "phone"))
    )
    no_curve = "" if any(limit.ft_h is not None for _, limit in chart) else " ".join(chart_words(chart))
    return FormsPage(
        slump=slump,
        facts=tuple(_facts(found)),
        governs=check.pressure.why,
        check=check.words,
        holds=check.holds,
        basis=check.pressure.basis,
        lifts=tuple(_lift_rows(lifts)),
        words=lifts.words,
        trucks=tuple(trucks_in_words(pour, lifts)),
        colder=_colder(colder_truck(pour)),
        told=tuple(_told(found)),
        others=tuple(_others(pour, lifts)),
        desk="" if no_curve else desk,
        phone="" if no_curve else phone,
        no_curve=no_curve,
        inputs=tuple(_inputs(about.conditions, found)),
        sources=tuple(dict.fromkeys(map(str, (check.pressure.source, lifts.limit.source, *BESIDE)))),
    )


def slump_words(about: Asked) -> str:
    """The slump, who approved it and where that is said, or that nobody has."""
    assert about.as_agreed is not None
    spec = about.as_agreed.spec.concrete
    if spec.slump_in is None:
        return (
            "No slump is decided, and nobody has approved one: agree on both on the page of the pour, or type them in "
            "the plan's specification."
        )
    who = spec.slump_approved_by.strip()
    said = f"{spec.slump_in:g} in, " + (f"approved by {who}" if who else "not approved by anybody yet")
    return said + (": as agreed on the page of the pour" if about.mix else ": from the plan's specification")


def _facts(found: Planned) -> Iterable[tuple[str, str]]:
    pour, lifts = found.pour, found.lifts
    limit = lifts.limit
    if limit.ft_h is not None:
        yield "Highest rise", f"{limit.ft_h:.2f} ft/h"
    elif limit.lift_ft is not None:
        yield "Highest rise", f"none: lifts of {limit.lift_ft:.1f} ft, each set before the next"
    else:
        yield "Highest rise", "pressure sets no limit"
    yield "Planned rise", f"{lifts.rate_ft_h:.2f} ft/h"
    yield "A truck every", f"{lifts.truck_every_min:.0f} min"
    yield "Circuits of the wall", f"{lifts.circuits}"
    yield "Rated pressure of the form", f"{pour.rated_psf:,.0f} psf"
    if not lifts.waits_for_set:
        yield "Pump booked for", f"{lifts.pump_hours:.1f} h with setting up"


def _lift_rows(lifts: LiftPlan) -> Iterable[LiftRow]:
    for lift in lifts.lifts:
        levels = f"{lift.from_ft:.1f} to {lift.to_ft:.1f} ft"
        yield LiftRow(lift.number, levels, f"{lift.yd3:.2f} yd3", f"{lift.minutes:.0f} min")


def trucks_in_words(pour: Pour, lifts: LiftPlan) -> Iterable[str]:
    """'Truck 1 at once', 'Truck 2 after 0:42'."""
    for number, minutes in enumerate(truck_times(lifts, pour), 1):
        hours, rest = divmod(round(minutes), 60)
        yield f"Truck {number} " + ("first" if not minutes else f"after {hours}:{rest:02d}")


def _colder(answer: ColderTruck | Problem) -> str:
    return answer.sentence if isinstance(answer, Problem) else answer.words


def _told(found: Planned) -> Iterable[tuple[str, str]]:
    slump = slump_warning(found.pour.placing)
    for problem in (*((slump,) if slump else ()), *found.lifts.problems):
        yield WORDS[problem.severity], problem.sentence


def _others(pour: Pour, lifts: LiftPlan) -> Iterable[tuple[str, str]]:
    """Other rules beside the one that is used, with what they were asked."""
    rate, height = lifts.rate_ft_h / FT_PER_M, pour.placing.height_ft / FT_PER_M
    weight = pour.placing.unit_weight_pcf * KN_M3_PER_PCF
    if rate <= DIN_FASTEST_M_H:
        for flow in (Consistency.F2, Consistency.F3):
            kpa = din_18218_kpa(flow, rate, height, weight_kn_m3=weight)
            yield f"{DIN_18218.document}, {flow.value}", f"{kpa * PSF_PER_KPA:,.0f} psf, consistency {flow.value}"
    celsius = (pour.placing.concrete_f - 32) / 1.8
    kpa = ciria_108_kpa(rate, height, celsius, weight_kn_m3=weight)
    yield CIRIA_108.document, f"{kpa * PSF_PER_KPA:,.0f} psf, with C1 1.0 and C2 0.3"


def _inputs(asked: Conditions, found: Planned) -> Iterable[tuple[str, str]]:
    placing, pour = found.pour.placing, found.pour
    yield "Height of the wall", f"{placing.height_ft:.2f} ft, foot to top"
    yield (
        "Concrete seen from above",
        f"{pour.area_ft2:.1f} ft2 (mean); {pour.area_ft2 * placing.height_ft / FT3_PER_YD3:.2f} yd3 in the forms",
    )
    yield "Concrete in the form", f"{placing.concrete_f:g} °F, {placing.unit_weight_pcf:g} pcf"
    yield "Cement and admixtures", placing.chemistry.value.replace("_", " ")
    yield "Vibrated", f"to {placing.vibration_ft:g} ft at most"
    yield "Lift wished", f"{pour.lift_ft:g} ft"
    yield "Pump and crew", f"{asked['pump_yd3_h']:g} yd3 an hour"
    yield "From batching to the hose", f"{asked['haul_min']:g} min"
    yield "Until a cold joint", f"{asked['cold_joint_min']:g} min"
    yield "Truck", f"{pour.truck_yd3:g} yd3"
