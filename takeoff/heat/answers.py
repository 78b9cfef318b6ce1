"""What the heat model is asked, and its answers: each a range, what it rests on, its limits and who decides.

Low is what happens soonest (all inputs warm and strong), high what happens last (all cold and weak). None is 'not
within the hours the weather is known for'.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from takeoff.heat.conduction import State, simulate
from takeoff.heat.edges import PRODUCT
from takeoff.heat.ground import BERGGREN, Berggren, Soil, berggren, days_of_hours, freezing_index, frost_depth_m
from takeoff.heat.history import History
from takeoff.heat.hydration import REGRESSIONS
from takeoff.heat.layers import EDGE_SHAPE, FILM, M_PER_IN, R_US, Array, Cover, Side, corner_factor, footing
from takeoff.heat.maturity import C1074, FREEZING_C, MODEL_CODE_AGE, equivalent_age
from takeoff.heat.outlook import Course, Outlook, Wall, Warming, corner_c, cornered_c, look_ahead
from takeoff.problems import Problem, Severity
from takeoff.sources import Source
from takeoff.weather.rules_306r import DROP, FREEZE_ONCE_PSI, drop_limit_f

CAUTION = (
    "A model's answer, not a permission: the engineer of record and the ready-mix supplier decide, on cylinders and "
    "probes, under the local code."
)
FREEZE_ONCE = Source("PCA, Design and Control of Concrete Mixtures", "", "chapter 14: 500 psi to freeze once")
MODEL = "one-dimensional conduction with heat of hydration; strength by equivalent age at the coldest corner"
#: Hours between the moments at which protection is tried off.
TRY_EVERY_H = 6


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer [``unit``] as low, likely, high, with everything it rests on in sight."""

    question: str
    low: float | None
    likely: float | None
    high: float | None
    unit: str
    words: str
    inputs: tuple[tuple[str, str], ...]
    model: str
    sources: tuple[Source, ...]
    limits: tuple[str, ...]
    problems: tuple[Problem, ...] = ()
    caution: str = CAUTION


def when_strong(outlook: Outlook, psi: float, question: str, sources: tuple[Source, ...] = ()) -> Answer:
    """When the coldest corner has a strength [psi], in hours from placing."""
    found = [c.hour_of(psi) for c in outlook.courses]
    words = f"{psi:,.0f} psi {spoken_range(found[0], found[1], found[2], outlook.wall.hours)}."
    return _answer(outlook, question, (found[0], found[1], found[2]), words, sources, _frozen_early(outlook))


def survives_a_freeze(outlook: Outlook) -> Answer:
    """When concrete may freeze once (500 psi), and whether it does before."""
    return when_strong(outlook, FREEZE_ONCE_PSI, "When does it survive a freeze?", (FREEZE_ONCE,))


def bracing_may_go(outlook: Outlook, psi: float) -> Answer:
    """When the strength asked for taking the bracing off [psi] is there; the number is the engineer's or supplier's."""
    return when_strong(outlook, psi, "When may the bracing go, by strength?")


def backfill_strength(outlook: Outlook, psi: float) -> Answer:
    """When the strength that backfill needs [psi] is there; top and foot must be held besides."""
    answer = when_strong(outlook, psi, "When is it strong enough for backfill?")
    held = "Strength is one condition: the wall must also be held at top and foot as the engineer asks."
    return replace(answer, limits=(*answer.limits, held))


def protection_may_end(outlook: Outlook, psi: float = FREEZE_ONCE_PSI) -> Answer:
    """The first hour at which covers and heat may go: strong enough, and with them gone the coldest corner cools in
    24 h by no more than the limit for its thickness. Tried every 6 h by running on from there without them.

    Warm concrete falls furthest, so the range is over all three runs, each with the air after that as warm (low) and
    as cold (high) as it may be.
    """
    limit_f = drop_limit_f(outlook.wall.core_m / M_PER_IN)
    s, runs = outlook.spread, ((1, outlook.warm), (0, outlook.likely), (-1, outlook.cold))
    walls = [(outlook.wall.shifted(n * s.air_c, n * s.placed_c, 1 + n * s.heat), n, course) for n, course in runs]

    def found(after: int) -> list[float | None]:
        return [_first_safe(w, c, psi, limit_f / 1.8, (after - n) * s.air_c) for w, n, c in walls]

    soonest = [hour for hour in found(1) if hour is not None]
    latest = found(-1)
    likely = _first_safe(outlook.wall, outlook.likely, psi, limit_f / 1.8, 0.0)
    known = [hour for hour in latest if hour is not None]
    three = (min(soonest, default=None), likely, max(known) if len(known) == len(latest) else None)
    words = (
        f"Protection may end {spoken_range(*three, outlook.wall.hours)}: {psi:,.0f} psi reached and, with it off, no "
        f"more than {limit_f:g} °F of cooling in a day."
    )
    return _answer(outlook, "When may protection end?", three, words, (DROP,), _frozen_early(outlook))


def _first_safe(wall: Wall, course: Course, psi: float, limit_k: float, after_c: float) -> float | None:
    begin = course.hour_of(psi)
    if begin is None:
        return None
    for hour in range(int(np.ceil(begin)), wall.hours - 24 + 1, TRY_EVERY_H):
        if drop_after(wall, course.history, hour, after_c=after_c) <= limit_k:
            return float(hour)
    return None


def drop_after(wall: Wall, history: History, hour: int, hours: int = 24, after_c: float = 0.0) -> float:
    """How far the coldest corner cools [K] in the hours after covers and heat are taken off at an hour, in air that is
    ``after_c`` warmer from then on than the wall's."""
    bare = replace(
        wall,
        air_c=wall.air_c + after_c,
        covers=tuple(replace(c, until_h=min(c.until_h, hour)) for c in wall.covers),
        warming=tuple(replace(w, until_h=min(w.until_h, hour)) for w in wall.warming),
    )
    begin = State(history.temperature_c[hour], history.age_h[hour])
    after = simulate(bare.body(), begin, hours, np.arange(hours + 1, dtype=np.float64), float(hour))
    air = bare.air_c[hour : hour + hours + 1]
    factor = corner_factor(wall.foam_m, wall.core_m)
    corner = cornered_c(after, air, np.full_like(air, air.mean()), factor)
    return float(corner_c(history, wall)[hour] - corner[1:].min())


@dataclass(frozen=True, slots=True)
class Bought:
    """What a measure buys: answers with and without it, and hours gained as the least, likely and most."""

    without: Answer
    with_it: Answer
    gained_h: tuple[float | None, float | None, float | None]
    words: str


def what_it_buys(outlook: Outlook, changed: Wall, psi: float, what: str) -> Bought:
    """What a blanket, heat or a warmer mix buys towards a strength [psi]: the same wall with it, compared."""
    question = f"When does it reach {psi:,.0f} psi?"
    a = when_strong(outlook, psi, question)
    b = when_strong(look_ahead(changed, outlook.spread, outlook.readings), psi, question)
    pairs = ((a.low, b.low), (a.likely, b.likely), (a.high, b.high))
    gained = [None if x is None or y is None else x - y for x, y in pairs]
    if gained[1] is not None:
        words = f"{what} buys {gained[1] / 24:.1f} days towards {psi:,.0f} psi (likely)."
    elif b.likely is not None:
        words = f"With {what} {psi:,.0f} psi is reached {_days(b.likely)}; without it, not in the hours looked at."
    else:
        words = f"Even with {what} {psi:,.0f} psi is not reached in the hours looked at."
    return Bought(a, b, (gained[0], gained[1], gained[2]), words)


def with_blanket(wall: Wall, r_m2k_w: float, until_h: float = float("inf")) -> Wall:
    """The wall with a blanket on both sides [m2K/W]."""
    return replace(wall, covers=(*wall.covers, Cover(r_m2k_w, 0.0, until_h)))


def with_heat(wall: Wall, to_c: float, until_h: float) -> Wall:
    """The wall in air held at a temperature [C] until an hour."""
    return replace(wall, warming=(*wall.warming, Warming(to_c, 0.0, until_h)))


# -- the ground under a bare footing ------------------------------------------------------------------
@dataclass(frozen=True, slots=True, eq=False)
class GroundAnswer:
    """Whether the ground under a bare footing freezes before backfill: hours until it does (cold, likely, warm), how
    deep below the footing it gets [m] likewise, and the formula's depth from the open surface beside it."""

    answer: Answer
    depth_m: tuple[float, float, float]
    formula: Berggren
    likely: History


def ground_freezes(
    soil: Soil,
    footing_m: float,
    above: Side,
    ground_c: float,
    begin_c: float | None = None,
    spread_c: float = 3.0,
    n: float = 0.7,
    deep_m: float = 2.5,
) -> GroundAnswer:
    """Ground under a bare footing (no heat of hydration left) until its backfill: air and covers of ``above``.

    ``ground_c`` is the ground ``deep_m`` below the footing, ``begin_c`` footing and ground at the first hour (by
    default as deep). Low is the cold run, because frost comes soonest there. Beside it the modified Berggren depth
    for bare open ground by the freezing index of the same air.
    """
    begin_c = ground_c if begin_c is None else begin_c
    runs = [_footing_run(soil, footing_m, above, ground_c, begin_c, shift) for shift in (-spread_c, 0.0, spread_c)]
    found = [_first_frost(h) for h in runs]
    depth = [_deepest_below(h, footing_m) for h in runs]
    days = (len(above.air_c) - 1) / 24
    index = freezing_index(days_of_hours(above.air_c))
    formula = berggren(soil, index, days, ground_c * 1.8 + 32, n)
    words = _ground_words((found[0], found[1], found[2]), depth, formula, days)
    problems: tuple[Problem, ...] = ()
    if found[1] is not None:
        said = "The ground under the footing is likely to freeze before backfill: cover or heat it, or fill sooner."
        problems = (Problem(Severity.ENGINEER, said),)
    elif found[0] is not None:
        said = (
            f"In air {spread_c * 1.8:.0f} °F colder than told the ground under the footing freezes: have covers there."
        )
        problems = (Problem(Severity.WARNING, said),)
    answer = Answer(
        "Does the ground under the bare footing freeze before backfill?", found[0], found[1], found[2], "h", words,
        (
            ("soil", f"{soil.name}: {soil.dry_pcf:g} pcf dry, {soil.water_pct:g} % water"),
            ("air", f"{above.air_c.min():.0f} to {above.air_c.max():.0f} °C over {days:.1f} days"),
            ("ground at depth", f"{ground_c:g} °C at {deep_m:g} m"), ("spread", f"air +-{spread_c:g} °C"),
            ("freezing index", f"{index:,.0f} °F days, at the surface x {n:g}"),
        ),
        "one-dimensional conduction with freezing soil, beside the modified Berggren equation", (BERGGREN, FILM),
        (
            "Along the middle of a footing: at its edges and corners frost comes sooner and from the side.",
            "No snow, no water moving, no sun; all water taken to freeze between 0 and -0.5 °C.",
        ),
        problems,
    )  # fmt: skip
    return GroundAnswer(answer, (depth[0], depth[1], depth[2]), formula, runs[1])


def _footing_run(soil: Soil, footing_m: float, above: Side, ground_c: float, begin_c: float, shift_c: float) -> History:
    body = footing(footing_m, soil.material(), replace(above, air_c=above.air_c + shift_c), ground_c, None)
    hours = len(above.air_c) - 1
    cells = sum(layer.cells for layer in body.layers)
    times = np.arange(hours + 1, dtype=np.float64)
    return simulate(body, State(np.full(cells, float(begin_c)), np.zeros(0)), hours, times)


def _first_frost(history: History) -> float | None:
    below = np.flatnonzero(history.inside_face_c < FREEZING_C)
    return float(history.hours[below[0]]) if len(below) else None


def _deepest_below(history: History, footing_m: float) -> float:
    """Deepest frost below the footing [m] in all hours."""
    soil = slice(history.concrete.stop, None)
    depth: Array = history.depth_m[soil]
    return max(max(frost_depth_m(depth, row[soil]) - footing_m, 0.0) for row in history.temperature_c[::6])


def _ground_words(
    found: tuple[float | None, float | None, float | None], depth: list[float], formula: Berggren, days: float
) -> str:
    low, likely, _ = found
    if likely is not None:
        said = f"Yes, likely {_days(likely)}, up to {depth[1] / M_PER_IN:.0f} in deep under the footing"
    elif low is not None:
        said = f"Only if it is colder than told: then {_days(low)}, {depth[0] / M_PER_IN:.0f} in deep under the footing"
    else:
        said = f"No, not within {days:.0f} days, even in air colder than told"
    return f"{said}. Bare open ground by the formula: {formula.depth_ft * 12:.0f} in."


# -- words --------------------------------------------------------------------------------------------
def _days(hours: float) -> str:
    """'after 14 h', 'after 3.2 days'."""
    return f"after {hours:.0f} h" if hours < 48 else f"after {hours / 24:.1f} days"


def spoken_range(low: float | None, likely: float | None, high: float | None, known_h: int) -> str:
    """'likely after 3.2 days (after 2.1 days to after 5.0 days)'; where one is missing, that is said."""
    never = f"not within the {known_h / 24:.0f} days of weather looked at"
    if low is None:
        return f"is {never}, even if all goes well" if likely is None else never
    if likely is None:
        return f"is likely {never}; at best {_days(low)}"
    return f"likely {_days(likely)} (at best {_days(low)}, at worst {never if high is None else _days(high)})"


def _frozen_early(outlook: Outlook) -> tuple[Problem, ...]:
    """Concrete that freezes before 500 psi may be lost: told where it happens likely, or in the cold run."""
    for course, how, severity in (
        (outlook.likely, "likely freezes", Severity.ENGINEER),
        (outlook.cold, "freezes, if it gets as cold as it may,", Severity.WARNING),
    ):
        green = course.freezes_green(FREEZE_ONCE_PSI)
        if green is not None:
            said = f"{green[0]} {how} {_days(green[1])}, before it has {FREEZE_ONCE_PSI:.0f} psi: protect it better."
            return (Problem(severity, said),)
    return ()


def _answer(
    outlook: Outlook,
    question: str,
    found: tuple[float | None, float | None, float | None],
    words: str,
    sources: tuple[Source, ...],
    problems: tuple[Problem, ...],
) -> Answer:
    wall, curve = outlook.wall, outlook.wall.curve
    readings = outlook.readings
    inputs = (
        ("wall", f"core {wall.core_m / M_PER_IN:.1f} in, foam {wall.foam_m / M_PER_IN:.2g} in each side"),
        ("placed at", f"{wall.placed_c * 1.8 + 32:.0f} °F"),
        ("air", f"{wall.air_source}: {(wall.air_c.min()) * 1.8 + 32:.0f} to {wall.air_c.max() * 1.8 + 32:.0f} °F"),
        ("cement", f"{wall.mix.cement_kg:.0f} kg/m3, water by binder {wall.mix.water_kg / wall.mix.binder_kg:.2f}"),
        ("covers", _covers(wall)), ("curve", curve.name),
        ("spread", f"{outlook.spread.words}, curve +-{curve.spread:.0%}"),
        ("readings", "none" if readings is None else f"{len(readings.hours)}, {readings.source}"),
    )  # fmt: skip
    limits = (
        f"Corners by a factor of {corner_factor(wall.foam_m, wall.core_m):.2f} and what two faces lose; no sun, rain "
        "or cold sky.",
        "The top of the wall is not in it: nothing was said of its covers."
        if wall.top_covers is None
        else "The top of the wall is judged for freezing only, by the product of two runs.",
        "No strength is counted while it is below freezing. Admixtures that speed or slow the mix are not in it.",
        *((curve.note,) if curve.note else ()),
    )
    age = C1074 if curve.age_rule is equivalent_age else MODEL_CODE_AGE
    every = (REGRESSIONS, FILM, EDGE_SHAPE, PRODUCT, age, curve.source, *sources)
    return Answer(question, *found, "h", words, inputs, MODEL, every, limits, problems)


def _covers(wall: Wall) -> str:
    said = [f"R {c.r_m2k_w / R_US:.1f} from {c.from_h:g} to {c.until_h:g} h" for c in wall.covers]
    said += [f"air kept at {w.to_c * 1.8 + 32:.0f} °F from {w.from_h:g} to {w.until_h:g} h" for w in wall.warming]
    return ", ".join(said) or "none but the forms"
