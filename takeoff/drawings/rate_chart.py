"""How fast concrete may rise by its temperature: a curve, the pace that is planned, what the pump can do.

Drawn in points on paper for a sheet of the width asked. Where no rate is slow enough the chart says so instead of a
curve, and where pressure sets no limit too; without any curve there is no frame around nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from takeoff.drawings.lettering import wrap
from takeoff.drawings.scene import Legend, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.pour.pressure import CAUTION, RateLimit

LEFT, RIGHT, HEIGHT = 30.0, 20.0, 150.0
TICK_PT, WORDS_PT, LINE = 6.4, 6.6, 8.2
#: Part of the sheet's width that words are wrapped to: a substitute face may be wider.
WRAP = 0.92
RATE_STEPS = (0.5, 1.0, 2.0, 5.0)
DEGREES_STEP = 10.0

Points = Sequence[tuple[float, RateLimit]]


def rate_chart(
    points: Points, planned: tuple[float, float] | None = None, width_px: float = 720.0, key: str = "rate"
) -> Scene:
    """The chart of ``points`` (concrete [F], limit); ``planned`` is (concrete [F], rise [ft/h]) as it is planned.

    Raises ValueError for fewer than two points.
    """
    if len(points) < 2:
        raise ValueError("A chart needs at least two temperatures.")
    width = width_px * 0.75 - 20.0
    shapes: list[Shape] = []
    legend: list[Legend] = []
    if any(limit.ft_h is not None for _, limit in points):
        shapes, legend = _plot(points, planned, width)
    said = [*chart_words(points, planned), CAUTION]
    down = -28.0 if shapes else 0.0
    for sentence in said:
        for line in wrap(sentence, WORDS_PT, width * WRAP):
            shapes.append(Text(0.0, down, line, WORDS_PT, anchor="start"))
            down -= LINE
    return Scene(
        title="How fast concrete may rise by its temperature", description=" ".join(said), shapes=tuple(shapes),
        scale_pt_per_in=1.0, key=key, caption="Highest rise by temperature", legend=tuple(legend),
    )  # fmt: skip


def _plot(points: Points, planned: tuple[float, float] | None, width: float) -> tuple[list[Shape], list[Legend]]:
    """Frame, scales, the curve where there is one, the pace planned."""
    low, high = points[0][0], points[-1][0]
    rates = [limit.ft_h for _, limit in points if limit.ft_h is not None]
    top = _top([*rates, planned[1] if planned else 1.0])

    def x(f: float) -> float:
        return LEFT + (min(max(f, low), high) - low) / (high - low) * (width - LEFT - RIGHT)

    def y(rate: float) -> float:
        return min(rate, top[0]) / top[0] * HEIGHT

    shapes: list[Shape] = [
        Path(((x(low), 0.0), (x(high), 0.0), (x(high), HEIGHT), (x(low), HEIGHT)), closed=True, stroke=Stroke.THIN),
        Text(LEFT - 4.0, HEIGHT + 8.0, "ft/h", TICK_PT, anchor="end", bold=True),
        Text((x(low) + x(high)) / 2, -16.5, "concrete in the form, °F", TICK_PT),
    ]
    for n in range(round(top[0] / top[1]) + 1):
        at = y(n * top[1])
        shapes.append(Line(LEFT - 2.5, at, LEFT, at, Stroke.THIN))
        shapes.append(Text(LEFT - 4.0, at, f"{n * top[1]:g}", TICK_PT, anchor="end"))
    for n in range(int((high - low) / DEGREES_STEP) + 1):
        at = x(low + n * DEGREES_STEP)
        shapes += [Line(at, 0.0, at, -2.5, Stroke.THIN), Text(at, -7.5, f"{low + n * DEGREES_STEP:.0f}", TICK_PT)]
    for is_rate, group in groupby(points, key=lambda p: p[1].ft_h is not None):
        run = list(group)
        if is_rate and len(run) > 1:
            shapes.append(Path(tuple((x(f), y(limit.ft_h or 0.0)) for f, limit in run), stroke=Stroke.HEAVY))
    legend = [Legend("highest rise by pressure", Stroke.HEAVY)]
    if planned is not None:
        shapes.append(Symbol(x(planned[0]), y(planned[1]), Mark.ROUND, "1", 6.0))
        legend.append(Legend("as planned", None, mark=Mark.ROUND, text="1"))
    return shapes, legend


def _top(rates: Sequence[float]) -> tuple[float, float]:
    """Upper end of the scale and its step [ft/h]: the finest step with no more than eight lines."""
    most = max(rates)
    step = next((s for s in RATE_STEPS if most / s <= 8), RATE_STEPS[-1])
    count = int(most / step) + 1
    return count * step, step


def chart_words(points: Points, planned: tuple[float, float] | None = None) -> list[str]:
    """The chart said: each change of kind, and the ends of each curve."""
    out = []
    for is_rate, group in groupby(points, key=lambda p: p[1].ft_h is not None):
        run = list(group)
        first, last = run[0], run[-1]
        if is_rate:
            out.append(
                f"From {first[1].ft_h:.2f} ft/h at {first[0]:.0f} °F to {last[1].ft_h:.2f} ft/h at {last[0]:.0f} °F."
            )
        else:
            out.append(f"{first[0]:.0f} to {last[0]:.0f} °F: {first[1].words}")
    if planned is not None:
        out.append(f"Planned: {planned[1]:.2f} ft/h at {planned[0]:.0f} °F.")
    return out
