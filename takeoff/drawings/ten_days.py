"""Ten days hour by hour: a strip a day, hatched by answer and named in words, the reasons below it, the best windows
outlined and numbered. Drawn in points on paper, for a sheet of the width asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from itertools import groupby

from takeoff.drawings.lettering import width_of, wrap
from takeoff.drawings.scene import Hatch, Legend, Line, Mark, Path, Scene, Shape, Stroke, Symbol, Text
from takeoff.weather.decide import CAUTION, Decision, Verdict
from takeoff.weather.hours import clock, clock_hour, clock_spans, spoken, spoken_day
from takeoff.weather.windows import TenDays, Window, WorkingHours

DAYS_COLUMN = 50.0
STRIP = 17.0
LINE = 8.2
REASON_PT = 6.6
WORD_PT = 6.6
GAP = 9.0
TICKS = (6, 12, 18)
#: Part of the sheet's width that reasons are wrapped to: a substitute face may be wider.
WRAP = 0.92
#: What stands in a run of hours that a rule stopped.
STOPPED = {
    "forecast": "no: forecast ends",
    "frozen": "no: frozen",
    "snow": "no: snow or ice",
    "base": "no: frozen base?",
    "wind": "no: wind",
    "gust": "no: gusts",
    "line": "no: pump line",
    "concrete": "no: concrete",
    "covers": "no: covers missing",
    "heat": "no: heat missing",
    "beyond": "no: too cold",
}
HATCHES = {Verdict.GO: Hatch.READY, Verdict.PROTECT: Hatch.PRESENTED, Verdict.NO: Hatch.REJECTED}
STROKES = {Verdict.GO: Stroke.READY, Verdict.PROTECT: Stroke.VISIBLE, Verdict.NO: Stroke.VISIBLE}


@dataclass(frozen=True, slots=True)
class _Day:
    """One day of the site's calendar: its decisions and how many hours its clocks have."""

    on: date
    decisions: tuple[Decision, ...]
    midnight: float
    hours: float

    def place(self, when: datetime) -> float:
        """How far into the day a time is, from 0 to 1, by elapsed hours."""
        return min(max((when.timestamp() - self.midnight) / 3600 / self.hours, 0.0), 1.0)


def ten_days(
    answer: TenDays, width_px: float = 720.0, work: WorkingHours | None = None, key: str = "ten-days"
) -> Scene:
    """The picture of ten days for a sheet ``width_px`` wide; reasons are those of the working hours."""
    width = width_px * 0.75 - 20.0
    days = _days(answer.decisions, answer.zone)
    hours = work or WorkingHours()
    shapes: list[Shape] = _ticks(width)
    y = -6.0
    for day in days:
        reasons = _reasons(day, answer.zone, hours, width)
        shapes += _strip(day, y, width)
        shapes += _windows(day, answer.windows, y, width)
        shapes += [
            Text(0.0, y - STRIP - LINE * (n + 0.7), line, REASON_PT, anchor="start") for n, line in enumerate(reasons)
        ]
        y -= STRIP + LINE * len(reasons) + GAP
    shapes += [
        Text(0.0, y - LINE * n, line, REASON_PT, anchor="start")
        for n, line in enumerate(wrap(CAUTION, REASON_PT, width * WRAP))
    ]
    return Scene(
        title="Ten days: when to place concrete",
        description=_description(days, answer, hours),
        shapes=tuple(shapes),
        scale_pt_per_in=1.0,
        key=key,
        caption="When to place concrete",
        legend=(
            Legend("go", Stroke.READY, HATCHES[Verdict.GO]),
            Legend("go with protection", Stroke.VISIBLE, HATCHES[Verdict.PROTECT]),
            Legend("no", Stroke.VISIBLE, HATCHES[Verdict.NO], warn=True),
            Legend("best windows", None, mark=Mark.ROUND, text="1"),
        ),
    )


def _days(decisions: Sequence[Decision], zone: tzinfo) -> list[_Day]:
    out = []
    for on, group in groupby(decisions, key=lambda d: d.at.astimezone(zone).date()):
        start = datetime.combine(on, time(), zone).timestamp()
        end = datetime.combine(on + timedelta(days=1), time(), zone).timestamp()
        out.append(_Day(on, tuple(group), start, (end - start) / 3600))
    return out


def _x(part: float, width: float) -> float:
    return DAYS_COLUMN + part * (width - DAYS_COLUMN)


def _ticks(width: float) -> list[Shape]:
    return [Text(_x(hour / 24, width), 5.0, clock_hour(hour), 6.0) for hour in TICKS]


def _strip(day: _Day, y: float, width: float) -> list[Shape]:
    air = [d.inputs.air_f for d in day.decisions]
    name = _name(day)
    out: list[Shape] = [
        Text(0.0, y - 4.5, name, 7.0, anchor="start", bold=True),
        Text(0.0, y - 12.5, f"{min(air):.0f} to {max(air):.0f} °F", 6.2, anchor="start"),
    ]
    for (verdict, word), group in groupby(day.decisions, key=lambda d: (d.verdict, _word(d))):
        run = list(group)
        left = _x(day.place(run[0].at), width)
        right = _x(day.place(datetime.fromtimestamp(run[-1].at.timestamp() + 3600, run[-1].at.tzinfo)), width)
        box = ((left, y), (right, y), (right, y - STRIP), (left, y - STRIP))
        warn = verdict is Verdict.NO
        out.append(Path(box, closed=True, stroke=STROKES[verdict], hatch=HATCHES[verdict], warn=warn))
        out += _label((left + right) / 2, y - STRIP / 2, word, right - left - 3, warn)
    out += [Line(_x(h / 24, width), y, _x(h / 24, width), y - 2.5, Stroke.THIN) for h in TICKS]
    return out


def _label(x: float, y: float, word: str, room: float, warn: bool) -> list[Shape]:
    """A word on blank paper of its own, so that the hatch does not run through it."""
    half, high = (width_of(word, WORD_PT, bold=True) + 5) / 2, WORD_PT * 0.75
    box = ((x - half, y + high), (x + half, y + high), (x + half, y - high), (x - half, y - high))
    paper: list[Shape] = [Path(box, closed=True, stroke=None, hatch=Hatch.PAPER)] if 2 * half <= room else []
    return [*paper, Text(x, y, word, WORD_PT, room=room, halo=True, bold=True, warn=warn)]


def _name(day: _Day) -> str:
    """'Tue Jan 5'."""
    return spoken_day(day.on)


def _word(decision: Decision) -> str:
    """What stands in a run of hours."""
    if decision.verdict is Verdict.GO:
        return "go"
    if decision.protection is not None:
        return "cover + heat" if decision.protection.heat else "cover"
    return STOPPED[decision.rule]


def _windows(day: _Day, windows: Sequence[Window], y: float, width: float) -> list[Shape]:
    out: list[Shape] = []
    for number, window in enumerate(windows, 1):
        if not day.midnight <= window.start.timestamp() < day.midnight + day.hours * 3600:
            continue
        left, right = _x(day.place(window.start), width), _x(day.place(window.end), width)
        box = ((left, y + 1.5), (right, y + 1.5), (right, y - STRIP - 1.5), (left, y - STRIP - 1.5))
        out.append(Path(box, closed=True, stroke=Stroke.HEAVY))
        out.append(Symbol(left, y + 1.5, Mark.ROUND, str(number), 5.5))
    return out


def _reasons(day: _Day, zone: tzinfo, work: WorkingHours, width: float) -> list[str]:
    """Each reason of the day once, with its hours, wrapped; those of the working hours where there are any."""
    at_work = [d for d in day.decisions if work.start <= d.at.astimezone(zone).hour < work.end]
    said: dict[str, list[Decision]] = {}
    for decision in at_work or day.decisions:
        said.setdefault(_word(decision), []).append(decision)
    lines: list[str] = []
    for group in said.values():
        hours = clock_spans([d.at for d in group])
        lines += wrap(f"{hours}: {_worst(group).reasons[0].words}", REASON_PT, width * WRAP)
    return lines


def _worst(decisions: Sequence[Decision]) -> Decision:
    """The hour that speaks for others of the same reason: the strongest wind, else the lowest value."""
    sign = -1.0 if decisions[0].rule in ("wind", "gust") else 1.0
    return min(decisions, key=lambda d: sign * float(d.value or 0.0))


def _description(days: Sequence[_Day], answer: TenDays, work: WorkingHours) -> str:
    """All of it in words, for those who cannot see it."""
    parts = [f"Rules: {answer.rules.name}. Weather: {answer.source}."]
    for number, window in enumerate(answer.windows, 1):
        parts.append(f"Window {number}: {spoken(window.start)} to {clock(window.end)}, {window.words}.")
    if not answer.windows:
        parts.append("No window is long enough.")
    for day in days:
        parts.append(f"{_name(day)}: " + " ".join(_reasons(day, answer.zone, work, 1e6)))
    parts.append(CAUTION)
    return " ".join(parts)
