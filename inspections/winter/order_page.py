"""The concrete order of a pour: for the telephone, as a text message, and as a sheet of paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from urllib.parse import quote

from django.template.loader import render_to_string

from inspections.handouts.document import printed, qr, titleblock
from inspections.handouts.orders import slump
from inspections.page_queries import words
from inspections.pours import decisions
from inspections.winter.air import AHEAD_H, PourAir, pour_air
from inspections.winter.asked import Asked, closed_words
from inspections.winter.conditions import Conditions
from inspections.winter.forms_page import WORDS, Planned, planned
from jobs.pdf import render_pdf
from takeoff.concrete import least_strength_psi
from takeoff.laps import bar_size
from takeoff.orders import READY_MIX, order_lines
from takeoff.plan import Plan, Stage
from takeoff.pour.from_plan import narrowest_core_in
from takeoff.pour.lifts import ASTM_C94, DISCHARGE_MIN
from takeoff.pour.mix import (
    AGGREGATE_SIZE,
    HAUL_LOSS,
    MIXING_FORMULA,
    Batch,
    MixTemperatures,
    largest_stone,
    mix_temperatures,
)
from takeoff.pour.order import ConcreteOrder, as_text, concrete_order, stone_words
from takeoff.pour.testing import FREQUENCY, SAMPLING, field_tests_at_yd3
from takeoff.problems import Problem, Severity
from takeoff.weather.hours import WeatherError, clock, spoken
from takeoff.weather.rules_306r import MIXING, PLACING

CAUTION = (
    "The engineer of record or whoever answers for the mix approves strength, slump and admixtures; the ready-mix "
    "supplier says what can be batched. No number here replaces either."
)
#: Aggregate in a yard where nobody says otherwise [lb]; common practice.
AGGREGATE_LB = 3100.0
NO_PLAN = "No plan is locked yet: the volume of an order comes from it."


@dataclass(frozen=True, slots=True)
class OrderPage:
    """The page, or the sentence why there is no order."""

    problem: str = ""
    order: ConcreteOrder | None = None
    rows: tuple[tuple[str, str], ...] = ()
    told: tuple[tuple[str, str], ...] = ()
    basis: tuple[str, ...] = ()
    trucks: tuple[str, ...] = ()
    text: str = ""
    sms: str = ""
    may_be_sent: bool = False
    sources: tuple[str, ...] = ()
    caution: str = CAUTION


def read(about: Asked) -> OrderPage:
    """The order of a stage under the conditions asked."""
    asked, subject = about.conditions, about.subject
    if asked is None:
        return OrderPage()
    if subject is None or about.plan is None or about.as_agreed is None:
        return OrderPage(NO_PLAN)
    lines = [line for line in order_lines(subject.takeoff, about.kind, subject.sections) if line.key in READY_MIX]
    if not lines:
        return OrderPage("No concrete is ordered for the chosen sections in this stage.")
    try:
        at = asked.pour_at
    except WeatherError as wrong:
        return OrderPage(str(wrong))
    found, air = planned(about), pour_air(about)
    pour = found if isinstance(found, Planned) else None
    mix = _mix(about, asked, air)
    core = narrowest_core_in(about.plan, about.wall) if about.wall else about.thickness_in
    bars = clear_bars_in(about.plan, about.legs) if about.wall else None
    order = concrete_order(
        about.house.name, _part(about), at, sum(line.ordered for line in lines), about.as_agreed.spec.concrete,
        lifts=pour.lifts if pour else None, pour=pour.pour if pour else None, temperatures=mix, clear_core_in=core,
        clear_bars_in=bars,
        wall_ft2=_wall_ft2(pour, core), accelerator=asked["accelerator"], pump=asked["pump"],
        address=about.house.address, phone=about.house.firm.phone,
    )  # fmt: skip
    text = as_text(order)
    told = [(WORDS[p.severity], p.sentence) for p in (*_more(about, asked, found, air), *order.problems)]
    return OrderPage(
        order=order,
        rows=tuple(_rows(about, asked, order, pour, air, (core, bars))),
        told=tuple(dict.fromkeys(told)),
        basis=tuple(f"{line.label}: {line.basis}" for line in lines),
        trucks=tuple(_trucks(order)),
        text=text,
        sms=f"sms:{_number(asked['plant_phone'])}?body={quote(text)}",
        may_be_sent=order.slump_in is not None,
        sources=_sources(mix, pour),
    )


def pdf(about: Asked, page: OrderPage, address: str) -> bytes:
    """The order as a sheet. Raises :class:`jobs.exceptions.PdfUnavailable` where this machine cannot make one."""
    subject = about.subject
    assert subject is not None
    context = {
        "page": page, "house": about.house, "stage": about.stage, "revision": about.revision,
        "plan": about.plan, "printed": printed(subject), "titleblock": titleblock(subject), "address": address,
        "qr": qr(address), "legs": subject.leg_words(subject.legs), "subject": subject,
    }  # fmt: skip
    return render_pdf(render_to_string("handouts/concrete_order.html", context))


def _part(about: Asked) -> str:
    """'Frost wall' or 'Frost wall, Garage'."""
    subject = about.subject
    if subject is None or subject.is_whole:
        return about.stage.title
    names = dict(about.sections)
    return f"{about.stage.title}, {', '.join(names[key] for key in subject.sections)}"


def _mix(about: Asked, asked: Conditions, air: PourAir | str) -> MixTemperatures | None:
    thickness = asked["thickness_in"] or about.thickness_in
    if isinstance(air, str) or not thickness:
        return None
    return mix_temperatures(thickness, air.air_f, asked["haul_min"] / 60, batch_of(asked), cold=air.is_cold)


def batch_of(asked: Conditions) -> Batch | None:
    """A yard as batched, for its mixing water; None where nobody said how warm the aggregate lies at the plant."""
    if asked["aggregate_f"] is None:
        return None
    cement, warm = asked["cement_lb"], asked["aggregate_f"]
    return Batch(cement, AGGREGATE_LB, cement * asked["water_ratio"], warm, warm, warm)


def _wall_ft2(pour: Planned | None, core_in: float | None) -> float:
    """Face of the wall [ft2] as if all of it had the thinnest core: never too little."""
    if pour is None or not core_in:
        return 0.0
    return pour.pour.area_ft2 / (core_in / 12) * pour.pour.placing.height_ft


def _more(about: Asked, asked: Conditions, found: Planned | str, air: PourAir | str) -> Iterable[Problem]:
    """What the order itself does not say: a decision that no longer holds, a day off, why trucks are not spaced, why
    temperatures are missing."""
    for said in (_not_then(about, asked), _turned(about), closed_words(about, asked["pour_day"])):
        if said:
            yield Problem(Severity.WARNING, said)
    if isinstance(air, str):
        yield Problem(Severity.WARNING, air)
    elif air.known_h < AHEAD_H and not air.is_cold:
        said = f"The weather is known for {air.known_h} h from the pour only: cold may come after."
        yield Problem(Severity.WARNING, said)
    if isinstance(found, str) and about.kind is not Stage.FOOTING and _slump_of(about) is not None:
        yield Problem(Severity.WARNING, f"Trucks are not spaced: {found}")


def _slump_of(about: Asked) -> float | None:
    return about.as_agreed.spec.concrete.slump_in if about.as_agreed else None


def _not_then(about: Asked, asked: Conditions) -> str:
    """That it was decided not to pour at that hour."""
    no = about.decided_not(asked.pour_at)
    if no is None:
        return ""
    at = words.moment(about.house, no.at)
    return f"{no.by} decided not to pour at that hour ({at}): decide again, or choose another, before this is sent."


def _turned(about: Asked) -> str:
    """That the decision this order follows no longer holds."""
    if about.decided is None:
        return ""
    source = decisions.newest(about.sources, about.decided)
    found = decisions.anew(about.decided, source, about.house.timezone, about.now)
    if not decisions.is_worse(about.decided, found):
        return ""
    return f"The newest weather says {found.verdict.value} for the hours decided: decide again before this is sent."


def _rows(
    about: Asked, asked: Conditions, order: ConcreteOrder, pour: Planned | None, air: PourAir | str,
    room: tuple[float | None, float | None],
) -> Iterable[tuple[str, str]]:  # fmt: skip
    assert about.as_agreed is not None
    yield "First concrete", _first(about, order)
    yield "Volume", f"{order.yd3:g} yd3 as ordered"
    yield "Loads", " + ".join(f"{load:g}" for load in order.loads) + " yd3"
    if order.every_min is not None and len(order.loads) > 1:
        yield "A truck every", f"{order.every_min:.0f} min"
    yield "Strength", f"{order.strength_psi:,} psi at 28 days; {_exposure(asked, about)}"
    mix = about.mix
    agreed = "agreed" if mix is not None and mix.air_percent is not None else "specified"
    yield "Air", f"{order.air_percent:g} % as {agreed}"
    yield "Slump", slump(about.as_agreed.spec.concrete)
    if mix is not None and mix.mix:
        yield "Mix", f"{mix.mix}, as agreed"
    yield "Stone", _stone(order.stone_in, *room)
    if order.temperatures is not None:
        yield "Temperature", order.temperatures.words
    if not isinstance(air, str):
        yield (
            "Air at the pour",
            f"{air.air_f:.0f} °F; lowest {air.low_f:.0f} °F in the {air.known_h} h from then",
        )
    yield "Admixtures", "non-chloride accelerator; no chloride" if order.accelerator else "no accelerator"
    within = min(mix.limit_min, DISCHARGE_MIN) if mix else DISCHARGE_MIN
    yield "On site", f"no water is added; discharge within {within:g} min of batching"
    if order.pump:
        yield "Pump", _pump(order, pour)
    yield "Tests", order.tests.words
    later = ", ".join(f"{at:g}" for at in field_tests_at_yd3(order.yd3) if at)
    yield "Slump and temperature", f"tested at the first truck{f' and after {later} yd3' if later else ''}"


def _first(about: Asked, order: ConcreteOrder) -> str:
    """The hour, and whose decision it follows."""
    decided = about.decided
    if decided is None or decided.first_at != order.at:
        return spoken(order.at)
    return f"{spoken(order.at)}, as decided by {decided.by}: {decided.get_verdict_display()}"


def _exposure(asked: Conditions, about: Asked) -> str:
    """What the code's table asks of this exposure; a footing lies in the ground."""
    bare = about.kind is not Stage.FOOTING and asked["exposed"]
    least = least_strength_psi(bare, asked["weathering"])
    where = "bare to the weather" if bare else "not bare to the weather"
    weathering = asked["weathering"]
    return f"{least:,} psi or more is asked where it is {where}, weathering {weathering} (IRC 2021 Table R402.2)"


def clear_bars_in(plan: Plan, legs: Sequence[str]) -> float:
    """Clear space [in] of the net of bars: the closer of uprights and rows, less the thicker bar. What is lapped side
    by side or stands at an opening is closer; the placing drawings say how close."""
    spec = plan.spec.bars
    course = min(plan.form(plan.leg(leg).form).face_height for leg in legs)
    rows = course.inch * spec.horizontal_every_courses
    thickest = max(bar_size(spec.vertical_size).diameter, bar_size(spec.horizontal_size).diameter)
    return min(spec.vertical_spacing.inch, rows) - thickest


def _stone(stone_in: float, core_in: float | None, bars_in: float | None) -> str:
    said = stone_words(stone_in)
    if not core_in:
        return said
    limit = largest_stone(core_in, bars_in)
    return f"{said}; largest that fits: {limit.why}"


def _pump(order: ConcreteOrder, pour: Planned | None) -> str:
    if pour is None or pour.lifts.waits_for_set:
        return f"on site before {spoken(order.at)}, set up"
    begins = order.at - timedelta(minutes=pour.pour.set_up_min)
    return f"on site {spoken(begins)}, booked for {pour.lifts.pump_hours:.1f} h with setting up"


def _trucks(order: ConcreteOrder) -> Iterable[str]:
    """'Truck 2, 9 yd3: 9:32 am': each when the load before it is placed, at the pace of the plan."""
    if order.every_min is None:
        return
    placed = 0.0
    for number, load in enumerate(order.loads, 1):
        at = order.at + timedelta(minutes=placed / order.loads[0] * order.every_min)
        yield f"Truck {number}, {load:g} yd3: {clock(at)}"
        placed += load


def _number(phone: str) -> str:
    """Digits and a plus: what a telephone dials."""
    return "".join(c for c in phone or "" if c.isdigit() or c == "+")


def _sources(mix: MixTemperatures | None, pour: Planned | None) -> tuple[str, ...]:
    own = [FREQUENCY, SAMPLING, AGGREGATE_SIZE, ASTM_C94]
    own += [PLACING, MIXING, HAUL_LOSS] if mix else []
    own += [MIXING_FORMULA] if mix and mix.water else []
    own += [pour.lifts.limit.source] if pour else []
    return tuple(dict.fromkeys(str(source) for source in own))
