"""Ten days decided hour by hour, and the best runs of hours to place concrete in.

The lowest air of the days ahead and the mean of the day before are taken from the series; what stands ready on site is
said once for all hours (and may be changed for single ones in the inputs).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from takeoff.pour.mix import arriving_f
from takeoff.weather.decide import Decision, Inputs, Rules, Verdict, decide
from takeoff.weather.hours import Series

TEN_DAYS_H = 240
DAY_BEFORE_H = 24
HOUR_S = 3600.0


@dataclass(frozen=True, slots=True)
class Readiness:
    """What stands ready, the same for all hours. ``base_kept_warm``: base and forms were covered or heated before.

    The concrete's temperature at discharge is given, or worked out hour by hour from what the plant batches at and the
    haul; neither is not known.
    """

    covers: bool = False
    heat: bool = False
    concrete_f: float | None = None
    batched_f: float | None = None
    haul_h: float = 0.5
    frozen: bool = False
    snow: bool = False
    base_kept_warm: bool = False
    pump: bool = True

    def discharged_f(self, air_f: float) -> float | None:
        """Concrete at discharge [F] in this air, None where nobody said."""
        if self.concrete_f is not None or self.batched_f is None:
            return self.concrete_f
        return arriving_f(self.batched_f, air_f, self.haul_h)


@dataclass(frozen=True, slots=True)
class WorkingHours:
    """Clock hours in which a pour may go on, from and before; Monday is 0."""

    start: int = 7
    end: int = 17
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5)


@dataclass(frozen=True, slots=True)
class Window:
    """A run of hours of one day: from, until, the worst of their verdicts, hours, mean air [F]."""

    start: datetime
    end: datetime
    verdict: Verdict
    hours: int
    mean_air_f: float
    lowest_f: float

    @property
    def words(self) -> str:
        """'9 h, air 31 F: go with protection'."""
        return f"{self.hours} h, air {self.mean_air_f:.0f} °F: {self.verdict.value}"


@dataclass(frozen=True, slots=True)
class TenDays:
    """Candidate hours decided, the best windows, and where the weather came from."""

    decisions: tuple[Decision, ...]
    windows: tuple[Window, ...]
    rules: Rules
    zone: tzinfo
    source: str


def inputs_for(
    weather: Series, ready: Readiness, rules: Rules, start: datetime, hours: int = TEN_DAYS_H
) -> tuple[Inputs, ...]:
    """What each candidate hour is decided from: every hour of the series from ``start`` on, for ``hours``."""
    stamps, air = weather.stamps, [h.air_f for h in weather.hours]
    runs = _run_ends(stamps)
    begin, stop = start.timestamp(), start.timestamp() + hours * HOUR_S
    out = []
    for n, hour in enumerate(weather.hours):
        if not begin <= stamps[n] < stop:
            continue
        last = _last_before(stamps, n, stamps[n] + rules.watched_h * HOUR_S)
        lowest = min(range(n, last + 1), key=air.__getitem__)
        known = (stamps[runs[n]] - stamps[n]) / HOUR_S + 1
        base = None if ready.base_kept_warm else _mean_before(stamps, air, n)
        out.append(
            Inputs(
                hour.at, air[n], air[lowest], weather.hours[lowest].at, known, hour.wind_mph, hour.gust_mph, base,
                ready.frozen, ready.snow, ready.covers, ready.heat, ready.discharged_f(air[n]), ready.pump,
            )
        )  # fmt: skip
    return tuple(out)


def _run_ends(stamps: Sequence[float]) -> list[int]:
    """For every hour the last one that follows it without a gap."""
    ends = [0] * len(stamps)
    end = len(stamps) - 1
    for n in range(len(stamps) - 1, -1, -1):
        if n + 1 < len(stamps) and stamps[n + 1] - stamps[n] > HOUR_S:
            end = n
        ends[n] = end
    return ends


def _last_before(stamps: Sequence[float], first: int, until: float) -> int:
    last = first
    while last + 1 < len(stamps) and stamps[last + 1] < until:
        last += 1
    return last


def _mean_before(stamps: Sequence[float], air: Sequence[float], n: int) -> float:
    """Mean air of the day before this hour and of it, as far as it is known."""
    first = n
    while first > 0 and stamps[first - 1] >= stamps[n] - DAY_BEFORE_H * HOUR_S:
        first -= 1
    return sum(air[first : n + 1]) / (n + 1 - first)


def decide_ten_days(
    weather: Series,
    ready: Readiness,
    rules: Rules,
    start: datetime,
    *,
    hours: int = TEN_DAYS_H,
    need_h: int = 4,
    work: WorkingHours | None = None,
    best: int = 3,
) -> TenDays:
    """Decide every candidate hour and pick the windows of at least ``need_h`` hours."""
    decisions = tuple(decide(each, rules) for each in inputs_for(weather, ready, rules, start, hours))
    windows = best_windows(decisions, weather.zone, need_h, work or WorkingHours(), best)
    return TenDays(decisions, windows, rules, weather.zone, weather.source)


def best_windows(
    decisions: Sequence[Decision], zone: tzinfo, need_h: int, work: WorkingHours, best: int = 3
) -> tuple[Window, ...]:
    """The best runs of hours that are not a no, within one day's working hours and long enough.

    Best first: without protection before with it, then the longest, then the warmest, then the earliest.
    """
    found = [_window(run) for run in _runs(decisions, zone, work) if len(run) >= need_h]
    order = (Verdict.GO, Verdict.PROTECT)
    found.sort(key=lambda w: (order.index(w.verdict), -w.hours, -w.mean_air_f, w.start.timestamp()))
    return tuple(found[:best])


def _runs(decisions: Sequence[Decision], zone: tzinfo, work: WorkingHours) -> list[list[Decision]]:
    runs: list[list[Decision]] = []
    for decision in decisions:
        local = decision.at.astimezone(zone)
        if decision.verdict is Verdict.NO or not work.start <= local.hour < work.end:
            continue
        if local.weekday() not in work.weekdays:
            continue
        before = runs[-1][-1].at if runs else None
        follows = before is not None and decision.at.timestamp() - before.timestamp() <= HOUR_S
        if follows and before is not None and before.astimezone(zone).date() == local.date():
            runs[-1].append(decision)
        else:
            runs.append([decision])
    return runs


def _window(run: Sequence[Decision]) -> Window:
    worst = Verdict.PROTECT if any(d.verdict is Verdict.PROTECT for d in run) else Verdict.GO
    mean = sum(d.inputs.air_f for d in run) / len(run)
    end = datetime.fromtimestamp(run[-1].at.timestamp() + HOUR_S, run[-1].at.tzinfo)
    return Window(run[0].at, end, worst, len(run), mean, min(d.inputs.low_f for d in run))
