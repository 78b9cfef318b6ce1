"""Two charts of a wall after its pour: temperature through time, and strength against time, each with its range.

Drawn in points on paper for a sheet of the width asked. Lines differ by weight and dashes and carry their names; the
range from cold to warm is a tone behind them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from takeoff.drawings.lettering import wrap
from takeoff.drawings.scene import Hatch, Legend, Line, Path, Scene, Shape, Stroke, Text
from takeoff.heat.answers import CAUTION, Answer
from takeoff.heat.outlook import Outlook

Array = NDArray[np.float64]

LEFT, RIGHT, HEIGHT = 30.0, 62.0, 190.0
LINE, WORDS_PT, TICK_PT = 8.2, 6.6, 6.4
#: Names at the right of the chart are kept this far apart [pt].
APART = 8.0
#: Crosses of readings are drawn no nearer than this [pt].
CROSS_APART = 7.0
#: Part of the sheet's width that words are wrapped to: a substitute face may be wider.
WRAP = 0.92
DAY_STEPS = (0.25, 0.5, 1, 2, 4, 7, 14)
VALUE_STEPS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000)
FREEZING_F = 32.0


@dataclass(frozen=True, slots=True)
class Limit:
    """A level drawn across the chart [F or psi] with its name."""

    value: float
    name: str


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where hours and values lie on the sheet [pt]; y grows upward from 0 at the lower edge of the chart."""

    width: float
    hours: float
    low: float
    high: float

    def x(self, hour: float) -> float:
        return LEFT + hour / self.hours * (self.width - LEFT - RIGHT)

    def y(self, value: float) -> float:
        return (min(max(value, self.low), self.high) - self.low) / (self.high - self.low) * HEIGHT

    def line(self, hours: Array, values: Array) -> tuple[tuple[float, float], ...]:
        return tuple((self.x(float(h)), self.y(float(v))) for h, v in zip(hours, values, strict=True))


def temperature_chart(
    outlook: Outlook,
    width_px: float = 720.0,
    limits: Sequence[Limit] = (),
    until_h: float | None = None,
    key: str = "heat",
) -> Scene:
    """Core, coldest corner, the top where it is known and the air [F] through time; readings as crosses."""
    run, pick = outlook.likely, _picker(outlook, until_h)
    hours = pick(run.hours)
    core, corner, air = (pick(_f(v)) for v in (run.history.core_c, run.corner_c, np.asarray(outlook.wall.air_c)))
    band = pick(_f(outlook.cold.corner_c)), pick(_f(outlook.warm.corner_c))
    curves = [("core", core, Stroke.HEAVY), ("corner", corner, Stroke.VISIBLE)]
    if run.top_c is not None:
        curves.append(("top", pick(_f(run.top_c)), Stroke.HIDDEN))
    curves.append(("air", air, Stroke.THIN))
    every = (Limit(FREEZING_F, "freezing"), *limits)
    values = [v for _, v, _ in curves] + [*band, np.array([limit.value for limit in every])]
    frame = _frame(width_px, hours, min(float(v.min()) for v in values), max(float(v.max()) for v in values))
    shapes = [*_band(frame, hours, *band), *_axes(frame, "°F"), *_limits(frame, every)]
    shapes += [Path(frame.line(hours, v), stroke=stroke) for _, v, stroke in curves]
    shapes += _names(frame, [(name, float(v[-1])) for name, v, _ in curves])
    shapes += _readings(frame, outlook)
    lines = [
        f"Core at most {core.max():.0f} °F after {hours[int(core.argmax())]:.0f} h; coldest corner down to "
        f"{corner.min():.0f} °F (in the cold run {band[0].min():.0f} °F); air {air.min():.0f} to {air.max():.0f} °F "
        f"({outlook.wall.air_source})."
    ]
    legend = [Legend("core", Stroke.HEAVY), Legend("coldest corner of the concrete", Stroke.VISIBLE)]
    legend += [Legend("top of the wall", Stroke.HIDDEN)] if run.top_c is not None else []
    legend += [Legend("air", Stroke.THIN), Legend("limit", Stroke.CENTRE), _range_legend("corner, cold to warm")]
    return _scene("Temperature of the wall through time", shapes, lines, frame, legend, key, outlook)


def strength_chart(
    outlook: Outlook,
    width_px: float = 720.0,
    answers: Sequence[tuple[float, Answer]] = (),
    until_h: float | None = None,
    key: str = "strength",
) -> Scene:
    """Strength of the coldest corner [psi] through time, cold to warm; each answer's strength with its three hours."""
    pick = _picker(outlook, until_h)
    hours, likely = pick(outlook.likely.hours), pick(outlook.likely.psi)
    low, high = pick(outlook.cold.psi), pick(outlook.warm.psi)
    limits = [Limit(psi, f"{psi:,.0f}") for psi, _ in answers]
    frame = _frame(width_px, hours, 0.0, max(float(high.max()), *(psi for psi, _ in answers), 1.0))
    shapes = [*_band(frame, hours, low, high), *_axes(frame, "psi"), *_limits(frame, limits)]
    shapes.append(Path(frame.line(hours, likely), stroke=Stroke.HEAVY))
    for psi, answer in answers:
        for hour, stroke in ((answer.low, Stroke.THIN), (answer.likely, Stroke.VISIBLE), (answer.high, Stroke.THIN)):
            if hour is not None and hour <= frame.hours:
                shapes.append(Line(frame.x(hour), 0.0, frame.x(hour), frame.y(psi), stroke))
    lines = [f"{answer.question} {answer.words}" for _, answer in answers]
    legend = [Legend("likely", Stroke.HEAVY), Legend("strength asked", Stroke.CENTRE), _range_legend("cold to warm")]
    return _scene("Strength of the coldest corner", shapes, lines, frame, legend, key, outlook)


def _f(celsius: Array) -> Array:
    return np.asarray(celsius, dtype=np.float64) * 1.8 + 32


def _picker(outlook: Outlook, until_h: float | None) -> Callable[[Array], Array]:
    """Takes about 240 hours of a run up to an hour, the last one among them."""
    total = outlook.wall.hours if until_h is None else int(min(max(until_h, 1), outlook.wall.hours))
    every = max(total // 240, 1)
    index = np.unique(np.append(np.arange(0, total + 1, every), total))
    return lambda values: np.asarray(values[index], dtype=np.float64)


def _frame(width_px: float, hours: Array, low: float, high: float) -> _Frame:
    step = _value_step(high - low)
    return _Frame(
        width_px * 0.75 - 20.0, float(hours[-1]), float(np.floor(low / step) * step), float(np.ceil(high / step) * step)
    )


def _value_step(span: float) -> float:
    """The finest step that leaves no more than eight lines."""
    return float(next((s for s in VALUE_STEPS if span / s <= 8), VALUE_STEPS[-1]))


def _axes(frame: _Frame, unit: str) -> list[Shape]:
    right = frame.x(frame.hours)
    box = ((LEFT, 0.0), (right, 0.0), (right, HEIGHT), (LEFT, HEIGHT))
    out: list[Shape] = [Path(box, closed=True, stroke=Stroke.THIN)]
    step = _value_step(frame.high - frame.low)
    for n in range(round((frame.high - frame.low) / step) + 1):
        value = frame.low + n * step
        out.append(Line(LEFT - 2.5, frame.y(value), LEFT, frame.y(value), Stroke.THIN))
        out.append(Text(LEFT - 4.0, frame.y(value), f"{value:,.0f}", TICK_PT, anchor="end"))
    out.append(Text(LEFT - 4.0, HEIGHT + 8.0, unit, TICK_PT, anchor="end", bold=True))
    days = frame.hours / 24
    by = next((s for s in DAY_STEPS if days / s <= 10), DAY_STEPS[-1])
    for n in range(int(days / by + 1e-9) + 1):
        at = frame.x(n * by * 24)
        out.append(Line(at, 0.0, at, -2.5, Stroke.THIN))
        out.append(Text(at, -7.5, f"{n * by:g}", TICK_PT))
    out.append(Text((LEFT + right) / 2, -16.5, "days from placing", TICK_PT))
    return out


def _limits(frame: _Frame, limits: Sequence[Limit]) -> list[Shape]:
    out: list[Shape] = []
    for limit in limits:
        y = frame.y(limit.value)
        out.append(Line(LEFT, y, frame.x(frame.hours), y, Stroke.CENTRE, warn=True))
        out.append(Text(frame.x(frame.hours) - 3.0, y + 5.0, limit.name, TICK_PT, anchor="end", halo=True, warn=True))
    return out


def _band(frame: _Frame, hours: Array, low: Array, high: Array) -> list[Shape]:
    there, back = frame.line(hours, low), frame.line(hours, high)
    return [Path((*there, *reversed(back)), closed=True, stroke=None, hatch=Hatch.PLAIN)]


def _names(frame: _Frame, ends: Sequence[tuple[str, float]]) -> list[Shape]:
    """Names beside the ends of lines, moved apart from the lowest up."""
    out: list[Shape] = []
    at = -1e9
    for name, value in sorted(ends, key=lambda e: e[1]):
        at = max(frame.y(value), at + APART)
        out.append(Text(frame.x(frame.hours) + 4.0, at, f"{name} {value:.0f} °F", TICK_PT, anchor="start"))
    return out


def _readings(frame: _Frame, outlook: Outlook) -> list[Shape]:
    """A cross for each reading; of a logger's, which would lie on each other, one in every :data:`CROSS_APART`."""
    out: list[Shape] = []
    if outlook.readings is None:
        return out
    before = -CROSS_APART
    for hour, value in zip(outlook.readings.hours, _f(outlook.readings.temperature_c), strict=True):
        x, y = frame.x(float(hour)), frame.y(float(value))
        if hour <= frame.hours and x - before >= CROSS_APART:
            before = x
            out += [Line(x - 1.8, y - 1.8, x + 1.8, y + 1.8), Line(x - 1.8, y + 1.8, x + 1.8, y - 1.8)]
    return out


def _range_legend(label: str) -> Legend:
    return Legend(label, None, Hatch.PLAIN)


def _scene(
    title: str,
    shapes: list[Shape],
    lines: Sequence[str],
    frame: _Frame,
    legend: Sequence[Legend],
    key: str,
    outlook: Outlook,
) -> Scene:
    """The words below the chart, and all of it in words for those who cannot see it."""
    said = [*lines, f"Range: {outlook.spread.words}, curve ±{outlook.wall.curve.spread:.0%}.", CAUTION]
    y = -28.0
    for each in said:
        for line in wrap(each, WORDS_PT, frame.width * WRAP):
            shapes.append(Text(0.0, y, line, WORDS_PT, anchor="start"))
            y -= LINE
    return Scene(
        title=title,
        description=" ".join([f"{title}, {frame.hours / 24:.0f} days.", *said]),
        shapes=tuple(shapes),
        scale_pt_per_in=1.0,
        key=key,
        caption=title,
        legend=tuple(legend),
    )
