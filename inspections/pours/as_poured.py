"""A pour as it stands on record, in the plain numbers that the model of warmth and strength takes. Pure.

Concrete as placed, the mix and its curve as agreed, what kept it warm and from when to when, what was read in it by
hand and by logger, what cylinders from the laboratory say of the mix. The model itself is :mod:`takeoff.heat`; whoever
asks it of a wall that is poured asks with :func:`wall_of`, so that every page says the same: best through
:func:`inspections.pours.outlook.look`, which follows what was read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, timezone
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from inspections.pours.air import Around
from inspections.pours.live import accepted, last_concrete, running
from inspections.pours.models import CylinderBreak, MixAgreed, PourMoment, ProtectionSet, TemperatureReading
from inspections.pours.queries import Records
from takeoff.pour.truck_log import minutes_between
from takeoff.site import ConcreteSpec

if TYPE_CHECKING:
    from takeoff.heat.hydration import Mix
    from takeoff.heat.maturity import Readings
    from takeoff.heat.outlook import Wall
    from takeoff.heat.strength import Corrected, Curve

#: Hours from placing and degrees read [h, F].
Point = tuple[float, float]
#: Places in the wall whose readings speak of its strength; those the model is made to follow, best first.
PLACES: Final = ("core_top", "core_middle", "north_corner", "face")
CORES: Final = ("core_middle", "core_top")
#: What the curve is called that the ready-mix supplier gave.
SUPPLIERS: Final = "the supplier's own curve, as agreed"
#: Places that speak of the coldest part of the wall.
CORNERS: Final = ("north_corner", "face")
#: Where a laboratory keeps cylinders [C]: 73.4 F give or take 3.6, ASTM C31 and C511 from memory.
LABORATORY_C: Final = 23.0
#: Breaks that ask for more than this many times the curve are not believed; common practice, no source.
MOST_FACTOR: Final = 1.4
#: A break so far past the end of a curve, as a part of its age, can still be held against it.
PAST_END: Final = 1.05
#: Of a logger one reading is taken in so many hours: concrete does not change sooner.
LOGGED_EVERY_H: Final = 0.25
#: Water by binder where only the cement was told; common practice, no source.
USUAL_RATIO: Final = 0.45
FOREVER: Final = float("inf")


@dataclass(frozen=True, slots=True)
class Kept:
    """What kept the wall warm between two hours from placing: R values [h ft2 F/Btu] on its sides and its top, heated
    air [F]."""

    from_h: float
    until_h: float
    side_r: float
    top_r: float
    air_f: float | None


@dataclass(frozen=True, slots=True)
class Logged:
    """A logger's file, ``record`` its row: where it read, how many of its readings were taken after the last concrete,
    the first and the last of them by hours from it."""

    record: int
    name: str
    place: str
    count: int
    first_h: float
    last_h: float


@dataclass(frozen=True, slots=True)
class AsPoured:
    """A pour by hours from its last concrete. ``breaks`` are cylinders of the laboratory: hours in it and psi;
    ``curve_points`` are days in it and psi. ``lost`` are sentences about records that could not be used; ``now_h`` is
    when it was looked at, in whole hours. Where the top is covered and nobody said how well, ``top_told`` is False."""

    placed: datetime
    placed_f: float
    specified_psi: float
    cement_lb: float | None = None
    water_ratio: float | None = None
    curve_points: tuple[tuple[float, float], ...] = ()
    breaks: tuple[tuple[float, float], ...] = ()
    kept: tuple[Kept, ...] = ()
    read: tuple[tuple[str, tuple[Point, ...]], ...] = ()
    lost: tuple[str, ...] = ()
    loggers: tuple[Logged, ...] = ()
    now_h: float = FOREVER
    placed_by: str = "the coldest truck taken"
    top_told: bool = True

    @property
    def still_kept(self) -> bool:
        """Whether something that keeps it warm was not taken off by now."""
        return any(kept.until_h > self.now_h for kept in self.kept)

    @property
    def places(self) -> dict[str, tuple[Point, ...]]:
        """Readings by place, in order, after placing."""
        return dict(self.read)

    @property
    def core(self) -> tuple[Point, ...]:
        """Readings the model is made to follow; () without any."""
        return next((points for place in CORES if (points := self.places.get(place))), ())

    @property
    def last_h(self) -> float | None:
        """Hours from placing to the last reading of the wall."""
        return max((points[-1][0] for place, points in self.read if place in PLACES), default=None)


def as_poured(own: Records, spec: ConcreteSpec, now: datetime) -> AsPoured | None:
    """The pour as its records say it, ``now`` by the clock of the site; None until its last truck is empty."""
    placed = last_concrete(own.loads, now)
    if placed is None or running(own.loads):
        return None
    placed = placed.astimezone(timezone(placed.astimezone(now.tzinfo).utcoffset() or timedelta()))
    mix, lost, loggers = own.mix, list[str](), list[Logged]()
    measured = any(load.concrete_f is not None for load in accepted(own.loads))
    return AsPoured(
        placed,
        placed_f(own, spec),
        spec.strength_psi,
        mix.cement_lb if mix else None,
        mix.water_ratio if mix else None,
        _curve_points(mix),
        tuple(_lab_breaks(own)),
        tuple(_kept(own, placed)),
        tuple(_read(own, placed, now, lost, loggers).items()),
        tuple(lost),
        tuple(loggers),
        float(minutes_between(placed, now) // 60),
        "the coldest truck taken" if measured else "the least that was agreed: no truck was measured",
        top_told(own),
    )


def placed_f(own: Records, spec: ConcreteSpec) -> float:
    """Temperature of the concrete as placed [F]: of the coldest truck taken, else the least that was agreed."""
    taken = [load.concrete_f for load in accepted(own.loads) if load.concrete_f is not None]
    return min(taken, default=own.mix.least_f if own.mix else spec.minimum_temperature_f)


def top_told(own: Records) -> bool:
    """Whether it is known how the top is covered: by an R, or bare since nobody covered it."""
    covered = any(m.what == PourMoment.What.COVERED for m in own.moments)
    return not covered or any(p.top_r for p in own.protections)


def _curve_points(mix: MixAgreed | None) -> tuple[tuple[float, float], ...]:
    points = list(mix.curve or []) if mix is not None else []
    return tuple((float(days), float(psi)) for days, psi in points)


def _lab_breaks(own: Records) -> Iterator[tuple[float, float]]:
    """Cylinders of the laboratory. One cured beside the wall lay as cold as nobody knows: it speaks for the wall, where
    the gate counts it, not for the mix."""
    for each in own.cylinders:
        if each.cured == CylinderBreak.Cured.LAB:
            yield minutes_between(each.cast, each.broken) / 60, each.psi


def _kept(own: Records, placed: datetime) -> Iterator[Kept]:
    """Each protection from its moment until it ended."""
    for found in own.protections:
        off = off_at(own, found)
        begin = max(minutes_between(placed, found.when) / 60, 0.0)
        end = minutes_between(placed, off) / 60 if off is not None else FOREVER
        if end > begin:
            yield Kept(begin, end, found.side_r, found.top_r, found.air_f)


def off_at(own: Records, protection: ProtectionSet) -> datetime | None:
    """When a protection ended: by the next one, or as protection was taken off; None while it is on."""
    later = own.protections[own.protections.index(protection) + 1 :]
    off = [m.when for m in own.moments if m.what == PourMoment.What.UNPROTECTED and m.when > protection.when]
    return min([*(each.when for each in later[:1]), *off], default=None)


def _read(
    own: Records, placed: datetime, now: datetime, lost: list[str], loggers: list[Logged]
) -> dict[str, tuple[Point, ...]]:
    """What was read at each place after placing, by hand and by logger; of two at one time the later record, and one
    by hand before a logger's. What a logger says of hours still to come is no reading."""
    found: dict[str, dict[float, float]] = {}
    until = minutes_between(placed, now) / 60
    for logger in own.loggers:
        every = _logged(logger.text, logger.begun.astimezone(now.tzinfo), placed)
        points = [point for point in every if point[0] <= until]
        if len(points) < len(every):
            lost.append(f"Logger file “{logger.name}” has readings of times still to come: those are left out.")
        if not points:
            lost.append(f"Nothing in logger file “{logger.name}” was read after the last concrete.")
            continue
        loggers.append(Logged(logger.pk, logger.name, logger.place, len(points), points[0][0], points[-1][0]))
        found.setdefault(logger.place, {}).update(_thinned(points))
    for each in own.temperatures:
        if each.taken > placed:
            found.setdefault(each.place, {})[minutes_between(placed, each.taken) / 60] = each.value_f
    return {place: tuple(sorted(points.items())) for place, points in found.items() if points}


def _thinned(points: list[Point]) -> list[Point]:
    """One in :data:`LOGGED_EVERY_H` hours, the last always."""
    out: list[Point] = []
    for point in points[:-1]:
        if not out or point[0] - out[-1][0] >= LOGGED_EVERY_H - 1e-6:
            out.append(point)
    return [*out, points[-1]]


@lru_cache(maxsize=32)
def _logged(text: str, begun: datetime, placed: datetime) -> tuple[Point, ...]:
    """A logger's readings after placing: hours and F."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.maturity import read_logger

    try:
        found = read_logger(text, begun)
    except HeatError:
        return ()
    off = minutes_between(placed, begun) / 60
    hours = found.hours + off
    return tuple(
        (round(float(h), 4), round(float(c) * 1.8 + 32, 2))
        for h, c in zip(hours, found.temperature_c, strict=True)
        if h > 0
    )


# -- as the model takes it ------------------------------------------------------------------------------
def mix_of(poured: AsPoured) -> Mix:
    """The mix as agreed, else a usual one."""
    from takeoff.heat.hydration import KG_M3_PER_LB_YD3, Mix

    if poured.cement_lb is None:
        return Mix()
    cement = poured.cement_lb * KG_M3_PER_LB_YD3
    return Mix(cement_kg=cement, water_kg=cement * (poured.water_ratio or USUAL_RATIO))


def curve_of(poured: AsPoured) -> Curve:
    """Strength by age: the supplier's own curve, else a usual one; corrected by what the laboratory broke, unless that
    asks for far more than the curve, which is sooner a slip than such a mix."""
    found = correction_of(poured)
    return found.curve if found and found.factor <= MOST_FACTOR else _plain_curve(poured)


@lru_cache(maxsize=64)
def correction_of(poured: AsPoured) -> Corrected | None:
    """How cylinders of the laboratory correct the curve; None without any that can be compared: broken while the curve
    has a strength and before it ends, beyond which nothing of it is known."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.strength import Break, corrected

    curve = _plain_curve(poured)
    breaks = [Break(_laboratory_age_h(hours), psi) for hours, psi in poured.breaks if hours > 0]
    breaks = [b for b in breaks if curve.psi(b.age_h) > 0 and b.age_h <= curve.known_to_h * PAST_END]
    try:
        return corrected(curve, breaks) if breaks else None
    except HeatError:
        return None


def correction_words(poured: AsPoured) -> str:
    """How breaks corrected the curve, or why they did not; '' where there are none."""
    if not poured.breaks:
        return ""
    found = correction_of(poured)
    if found is None:
        return "Breaks of the laboratory lie outside of the ages the curve tells: they correct nothing."
    if found.factor > MOST_FACTOR:
        return (
            f"Breaks of the laboratory stand at {found.factor:.2f} times the curve: too far to be believed, so the "
            "curve is left as it is. Look at the breaks again and ask the ready-mix supplier what was delivered."
        )
    return f"By the laboratory, {found.words}"


def correction_is_far(poured: AsPoured) -> bool:
    """Whether the breaks and the curve do not look like one mix."""
    found = correction_of(poured)
    return found is not None and not 1 / MOST_FACTOR <= found.factor <= MOST_FACTOR


def _laboratory_age_h(hours: float) -> float:
    """Age at 20 C [h] of what lay so long in a laboratory, which is a little warmer."""
    import numpy as np

    from takeoff.heat.maturity import equivalent_age

    return float(equivalent_age(np.array([0.0, hours]), np.full(2, LABORATORY_C))[-1])


def _plain_curve(poured: AsPoured) -> Curve:
    """The supplier's curve, its days those of a laboratory, else the usual one of the strength specified."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.strength import own_curve, usual_curve

    points = [(_laboratory_age_h(days * 24) / 24, psi) for days, psi in poured.curve_points]
    try:
        found = own_curve(points, "the supplier's curve, as agreed")
    except HeatError:
        return usual_curve(poured.specified_psi)
    return replace(found, name=SUPPLIERS)


def wall_of(poured: AsPoured, around: Around) -> Wall:
    """The thinnest wall of the pour as the heat model takes it, in its weather, as it was covered and heated."""
    import numpy as np

    from takeoff.heat.layers import R_US, Cover
    from takeoff.heat.outlook import Wall, Warming

    kept = poured.kept
    top = tuple(Cover(k.top_r * R_US, k.from_h, k.until_h) for k in kept if k.top_r)
    return Wall(
        around.core_m,
        around.foam_m,
        np.array(around.air_c),
        (poured.placed_f - 32) / 1.8,
        curve_of(poured),
        mix=mix_of(poured),
        wind_m_s=np.array(around.wind_m_s),
        covers=tuple(Cover(k.side_r * R_US, k.from_h, k.until_h) for k in kept if k.side_r),
        warming=tuple(Warming((k.air_f - 32) / 1.8, k.from_h, k.until_h) for k in kept if k.air_f is not None),
        top_covers=top if kept and poured.top_told else None,
        air_source=around.source,
    )


def readings_of(points: tuple[Point, ...]) -> Readings:
    """Readings of a core as the model follows them."""
    import numpy as np

    from takeoff.heat.maturity import Readings

    hours, degrees = (np.array(each) for each in zip(*points, strict=True))
    return Readings(hours, (degrees - 32) / 1.8, "read in the core")


def told(poured: AsPoured) -> Iterator[tuple[str, str]]:
    """What the records say, label and words, for whoever looks at an answer that rests on them."""
    yield "Placed at", f"{poured.placed_f:.0f} °F, {poured.placed_by}"
    yield "Mix", mix_words(poured)
    yield "Curve", " ".join(filter(None, (f"{_plain_curve(poured).name}.", correction_words(poured))))
    if not poured.kept:
        yield "Kept warm by", "nothing on record but the forms"
    for kept in poured.kept:
        yield "Kept warm by", kept_words(kept)
    counts = [f"{len(points)} in the {TemperatureReading.Place(place).label}" for place, points in poured.read]
    yield "Readings", "; ".join(counts) or "none"


def mix_words(poured: AsPoured) -> str:
    """'564 lb of cement in a yard, water by cement 0.45'."""
    if poured.cement_lb is None:
        return "not told: a usual one is taken"
    ratio = f"{poured.water_ratio:g}" if poured.water_ratio else f"{USUAL_RATIO:g} as usual"
    return f"{poured.cement_lb:g} lb of cement in a yard, water by cement {ratio}"


def kept_words(kept: Kept) -> str:
    """'R 5 on both sides, R 5 on the top, from 2 h after placing on'."""
    parts = [f"R {r:g} on {word}" for r, word in ((kept.side_r, "both sides"), (kept.top_r, "the top")) if r]
    parts += [f"air at {kept.air_f:g} °F"] if kept.air_f is not None else []
    until = "on" if kept.until_h == FOREVER else f"until {kept.until_h:.0f} h after it"
    return f"{', '.join(parts) or 'nothing'}, from {kept.from_h:.0f} h after placing {until}"
