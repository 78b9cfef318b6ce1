"""What a revision was held against, as its page shows it: upright steel, footings, the energy code, the order by area.

Everything is read as frozen when the revision was locked; only names come from its plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from jobs.frozen import Checks, Facts
from jobs.stages import TITLES
from takeoff.area_method import Comparison
from takeoff.assembly import Assembly
from takeoff.footing_code import Verdict as FootingVerdict
from takeoff.plan import Plan
from takeoff.results import SteelCheck, Verdict, WallState
from takeoff.strength.situations import STATE_WORDS
from takeoff.tally import inch_text, number
from takeoff.units import format_length

#: Worst first.
_WORST = (Verdict.ENGINEER, Verdict.NOT_ENOUGH, Verdict.ENOUGH)


@dataclass(frozen=True, slots=True)
class Row:
    """One line: what is held against what, and how it comes out. ``cells`` follow the heads of its table; ``sums`` are
    sentences behind it. ``bad`` where somebody must act."""

    name: str
    legs: str
    cells: tuple[str, ...]
    verdict: str
    bad: bool
    sums: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """One table: ``told`` is its outcome in a few words; ``empty`` says why it has no rows."""

    key: str
    title: str
    told: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    empty: str
    last: str = "Verdict"

    @property
    def lines(self) -> tuple[tuple[Row, tuple[tuple[str, str], ...]], ...]:
        """Each row with its cells under their heads."""
        return tuple((row, tuple(zip(self.heads, row.cells, strict=True))) for row in self.rows)


def tables_of(checks: Checks, facts: Facts, plan: Plan) -> tuple[Table, ...]:
    """The four tables of a revision."""
    return (
        _steel(checks.steel),
        _footings(checks.footings),
        _walls(checks.walls, plan),
        _areas(checks.areas, dict(facts.sections)),
    )


def _counted(rows: Iterable[Row], good: str, bad: str) -> str:
    """``good`` where nothing is to be done, else how many lines are ``bad``."""
    rows = tuple(rows)
    count = sum(row.bad for row in rows)
    return "" if not rows else f"{count} of {len(rows)} {bad}" if count else good


# -- steel -------------------------------------------------------------------------------------------
def _steel(checks: Iterable[SteelCheck]) -> Table:
    """One line for each state where the steel is enough, with what is asked where it is used most; one for each way in
    which it is not, before them."""
    groups: dict[tuple[object, ...], list[SteelCheck]] = {}
    for c in checks:
        settled = c.verdict is Verdict.ENOUGH
        alike = (c.state,) if settled else (c.state, c.core, c.height, c.fill, c.required, c.provided, c.reason)
        groups.setdefault((c.verdict, *alike), []).append(c)
    states = list(WallState)
    ordered = sorted(groups.values(), key=lambda g: (_WORST.index(g[0].verdict), states.index(g[0].state)))
    rows = tuple(_steel_row(group) for group in ordered)
    return Table(
        "steel",
        "Is the upright steel enough?",
        _counted(rows, "enough everywhere", "not settled"),
        ("Unbalanced fill", "Asked", "In the wall", "Strip of wall"),
        rows,
        "No wall of this revision carries earth.",
    )


def _steel_row(group: list[SteelCheck]) -> Row:
    worst = max(group, key=lambda c: c.ratio)
    state, alike = STATE_WORDS[worst.state], _alike(group)
    sums = (
        *((f"{_capital(worst.reason)}.",) if worst.reason else ()),
        *(alike if len(alike) > 1 else ()),
        *(f"{_capital(text).rstrip('.')}." for text in worst.basis[:-1]),  # the last defers, and stands below the table
    )
    return Row(
        _capital(state),
        _names(c.leg for c in group),
        (
            f"{'at worst ' if len(alike) > 1 else ''}{_fill(worst)}",
            _together(_asked(worst)),
            _together(worst.provided),
            _used(worst),
        ),
        worst.verdict.value,
        worst.verdict is not Verdict.ENOUGH,
        sums,
    )


def _alike(group: list[SteelCheck]) -> list[str]:
    """Stretches of a line that are asked the same, each in a sentence, those used most first."""
    found: dict[str, list[str]] = {}
    for c in sorted(group, key=lambda c: -c.ratio):
        found.setdefault(f"{_fill(c)}, {_asked(c)}, strip {_used(c)}", []).append(c.leg)
    return [f"{_names(legs)}: {said}." for said, legs in found.items()]


def _fill(c: SteelCheck) -> str:
    return f"{format_length(c.fill)} on {format_length(c.height)} of wall"


def _asked(c: SteelCheck) -> str:
    return c.required or "no table"


def _used(c: SteelCheck) -> str:
    """What a strip is asked for, as a part of what it carries; rounded up, so that 100% is never said too early."""
    return f"{math.ceil(c.ratio * 100 - 1e-9)}% used" if math.isfinite(c.ratio) else "carries nothing"


def _together(bars: str) -> str:
    """'#5 @ 18 in' without a break between size, spacing and unit."""
    return bars.replace(" @ ", "\u00a0@\u00a0").replace(" in", "\u00a0in")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# -- footings ----------------------------------------------------------------------------------------
def _footings(verdicts: Iterable[FootingVerdict]) -> Table:
    rows = tuple(
        Row(
            f"{inch_text(v.width)} wide, {inch_text(v.thickness)} thick",
            _names(v.legs),
            (f"{_up(v.needed)} wide, {_up(v.asked.thickness)} thick", str(v.asked.source)),
            "large enough" if v.holds else "too small",
            not v.holds,
            (f"{_capital(v.words)}.",),
        )
        for v in verdicts
    )
    return Table(
        "footings",
        "Are the footings large enough?",
        _counted(rows, "large enough everywhere", "too small"),
        ("Asked", "Where from"),
        rows,
        "No footing was held against a table; why is told with the takeoff.",
    )


def _up(inches: float) -> str:
    return inch_text(math.ceil(inches * 4 - 1e-9) / 4)


# -- warmth ------------------------------------------------------------------------------------------
def _walls(walls: tuple[Assembly, ...], plan: Plan) -> Table:
    rows = tuple(_wall_row(wall, plan) for wall in walls)
    judged = any(wall.holds is not None for wall in walls)
    return Table(
        "warmth",
        "What are the walls worth against the cold?",
        _counted(rows, "as the energy code asks" if judged else "worked out, not judged", "short of it"),
        ("Air to air", "Foam as labelled", "Asked"),
        rows,
        "No wall was worked out.",
    )


def _wall_row(wall: Assembly, plan: Plan) -> Row:
    least = wall.least
    asked = "nothing asked" if least is None else f"R-{least.r_ci:g} continuous, or U {least.u:.3f} at most"
    verdict = {True: "holds", False: "falls short", None: "not judged"}[wall.holds]
    layers = (f"{layer.name.capitalize()}: R-{layer.r:.2f}, {layer.basis} ({layer.source})." for layer in wall.layers)
    return Row(
        f"{plan.form(wall.form).name}, {format_length(wall.core, 'in')} core",
        _names(wall.legs),
        (f"R-{wall.r:.1f}, U {wall.u:.3f} at {wall.mean_f:g} °F", f"R-{wall.foam_r:.1f}", asked),
        verdict,
        wall.holds is False,
        (wall.words, *layers),
    )


# -- area --------------------------------------------------------------------------------------------
def _areas(areas: tuple[Comparison, ...], sections: dict[str, str]) -> Table:
    rows = tuple(_area_row(area, sections) for area in areas)
    laid, reckoned = sum(a.by_layout for a in areas), sum(a.ordered_by_area for a in areas)
    return Table(
        "area",
        "Why not order by wall area?",
        f"{laid} units laid, {reckoned} by area" if areas else "",
        ("By area", "By layout"),
        rows,
        "No unit is laid.",
        last="Difference",
    )


def _area_row(area: Comparison, sections: dict[str, str]) -> Row:
    kinds = f"{area.straight} straight, {area.corners} corner" if area.corners else f"{area.straight} straight"
    reasons = (f"{_signed(r.units)} {r.name}: {r.text}." for r in area.reasons)
    return Row(
        f"{sections.get(area.section, area.section)}, {TITLES[area.stage].lower()}",
        area.form,
        (str(area.ordered_by_area), f"{area.by_layout} ({kinds})"),
        f"{area.difference:+d}".replace("-", "−") if area.difference else "the same",
        False,
        (f"By area: {area.basis}.", *reasons),
    )


def _signed(units: float) -> str:
    """'+6.19', '−1.80'."""
    return f"{'−' if units < 0 else '+'}{number(abs(units))}"


def _names(legs: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(legs))
