"""A pour as its records say it: loggers, protection, mix, curve and breaks become what the heat model takes.

Checked from outside: seconds and pounds by their definitions; the age of what lay at 23 C by the Arrhenius form of ASTM
C1074 with 5000 K and 20 C (from memory); ACI 209R-92, Eq. 2-1, t/(4 + 0.85 t).
"""

from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from inspections.pours.air import Around
from inspections.pours.as_poured import (
    FOREVER,
    AsPoured,
    Kept,
    as_poured,
    correction_is_far,
    correction_words,
    curve_of,
    mix_of,
    off_at,
    wall_of,
)
from inspections.pours.estimate import Estimate, estimate, estimated
from inspections.pours.models import (
    CylinderBreak,
    LoggerFile,
    MixAgreed,
    PourMoment,
    ProtectionSet,
    TemperatureReading,
    TruckLoad,
)
from inspections.pours.outlook import STAYS_ON, look
from inspections.pours.queries import Records
from inspections.pours.warmth import read
from takeoff.site import ConcreteSpec

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 20, 12, tzinfo=ZONE)
PLACED = NOW - timedelta(days=10)
SPEC = ConcreteSpec(strength_psi=3000)
#: Age at 20 C of an hour at 23 C.
LAB = math.exp(5000 * (1 / 293.15 - 1 / 296.15))


def on_record(**said: Any) -> Records:
    """One truck, empty at PLACED, and what is said besides."""
    truck = TruckLoad(
        decision="accepted", started=PLACED - timedelta(hours=1), ended=PLACED, yd3=9, concrete_f=62.0, batched=PLACED
    )
    usual: dict[str, Any] = dict.fromkeys(("mixes", "temperatures", "alignments", "cylinders", "moments"), ())
    return Records(**{**usual, "loads": (truck,), **said})


def poured(**said: Any) -> AsPoured:
    found = as_poured(on_record(**said), SPEC, NOW)
    assert found is not None
    return found


def logger(text: str, begun: datetime = PLACED, place: str = "core_middle") -> LoggerFile:
    return LoggerFile(place=place, name="a.csv", text=text, begun=begun)


def air(degrees_c: float, days: int = 10) -> Around:
    """An 8 in core between 2.5 in of foam."""
    hours = days * 24 + 1
    return Around(0.2032, 0.0635, (degrees_c,) * hours, (1.0,) * hours, "Air as typed", hours)


def bare(**said: Any) -> AsPoured:
    """A pour three days old without a reading."""
    return AsPoured(PLACED, 62.0, 3000.0, **{"now_h": 72.0, **said})


# -- loggers ----
FILES = {
    "hours, F": "hours,temp (F)\n1,70\n2.5,77\n",
    "hours, C": "hours;temp (C)\n1;21.1111\n2.5;25\n",
    "clock times": "Date Time,Core F\n2026-11-10 13:00,70\n2026-11-10 14:30,77\n",
    "times with a zone": "time,probe degC\n2026-11-10T19:00:00Z,21.1111\n2026-11-10T20:30:00+00:00,25\n",
}


@pytest.mark.parametrize("text", FILES.values(), ids=FILES)
def test_a_logger_is_read_as_hours_from_the_last_concrete(text):
    (points,) = poured(loggers=(logger(text),)).places.values()
    assert [value for point in points for value in point] == pytest.approx([1.0, 70.0, 2.5, 77.0], abs=0.01)


def test_what_was_read_before_placing_or_is_still_to_come_is_no_reading():
    begun = PLACED - timedelta(hours=3)
    lines = "hours,temp F\n" + "\n".join(f"{n},{50 + n / 2}" for n in range(0, 300, 2))
    found = poured(loggers=(logger(lines, begun),))
    assert found.core[0] == (1.0, 52.0) and found.core[-1][0] <= 240 and found.loggers[0].count == len(found.core)
    assert found.lost == ("Logger file “a.csv” has readings of times still to come: those are left out.",)
    nothing = poured(loggers=(logger("hours,temp F\n0,50\n1,50\n", begun),))
    assert nothing.core == () and nothing.lost == ("Nothing in logger file “a.csv” was read after the last concrete.",)


def test_hand_and_logger_are_one_course_and_the_hand_counts_where_both_read():
    by_hand = tuple(
        TemperatureReading(place="core_middle", value_f=f, taken=PLACED + timedelta(hours=h))
        for h, f in ((1, 66), (9, 80))
    )
    found = poured(loggers=(logger(FILES["hours, F"]),), temperatures=by_hand)
    assert found.core == ((1.0, 66.0), (2.5, 77.0), (9.0, 80.0))


def test_of_a_logger_that_reads_every_minute_a_quarter_of_an_hour_says_the_same():
    def course(every_min: int) -> str:
        hours = [n / 60 for n in range(0, 72 * 60 + 1, every_min)]
        return "hours,temp F\n" + "\n".join(f"{h:.4f},{60 + 25 * math.exp(-(((h - 20) / 18) ** 2)):.3f}" for h in hours)

    dense, coarse = poured(loggers=(logger(course(1)),)), poured(loggers=(logger(course(15)),))
    assert dense.loggers[0].count == 72 * 60 and len(dense.core) <= len(coarse.core) + 1
    a, b = estimated(dense, None), estimated(coarse, None)
    assert isinstance(a, Estimate) and isinstance(b, Estimate)
    assert a.likely_psi == pytest.approx(b.likely_psi, abs=2)
    kept = a.inputs["readings"]["core_middle"]
    assert len(kept) <= 73 and a.inputs["loggers"] == [{"name": "a.csv", "place": "core_middle", "readings": 4320}]


# -- protection ----
def protection(hours: float, side_r: float) -> ProtectionSet:
    return ProtectionSet(side_r=side_r, top_r=0.0, air_f=None, when=PLACED + timedelta(hours=hours))


@pytest.mark.parametrize(
    ("set_at", "off_at_h", "spans"),
    [
        ([2], [], [(2, FOREVER)]),
        ([2], [50], [(2, 50)]),
        ([2, 30], [50], [(2, 30), (30, 50)]),
        ([2, 60], [50], [(2, 50), (60, FOREVER)]),
        ([-5, 30], [], [(0, 30), (30, FOREVER)]),
        ([-5], [-1], []),
        ([2, 50], [50], [(2, 50), (50, FOREVER)]),
    ],
)
def test_a_protection_lasts_until_the_next_or_until_it_was_taken_off(set_at, off_at_h, spans):
    off = tuple(PourMoment(what="unprotected", when=PLACED + timedelta(hours=h)) for h in off_at_h)
    own = {"protections": tuple(protection(h, 5.0) for h in set_at), "moments": off}
    assert [(k.from_h, k.until_h) for k in poured(**own).kept] == spans
    last = off_at(on_record(**own), own["protections"][-1])
    assert (last is None) == (bool(spans) and spans[-1][1] == FOREVER)


def psi_at(found: Any, day: int) -> tuple[float, ...]:
    assert isinstance(found, Estimate)
    n = (day - 3) * 4
    return found.ahead.low[n], found.ahead.likely[n], found.ahead.high[n]


def test_the_more_covers_and_heat_the_stronger_and_never_later():
    ways = [
        (),
        *((Kept(2.0, FOREVER, r, 0.0, None),) for r in (1.0, 5.0, 15.0)),
        (Kept(2.0, FOREVER, 15.0, 0.0, 60.0),),
    ]
    told = [psi_at(estimated(bare(kept=kept), air(-8.0)), 7) for kept in ways]
    for less, more in pairwise(told):
        assert all(a <= b + 1e-6 for a, b in zip(less, more, strict=True)) and less[1] < more[1]


def test_the_latest_day_does_not_rest_on_covers_that_are_still_on():
    on, off = (bare(kept=(Kept(2.0, until, 5.0, 5.0, None),)) for until in (FOREVER, 72.0))
    kept, gone = estimated(on, air(-8.0)), estimated(off, air(-8.0))
    assert isinstance(kept, Estimate) and isinstance(gone, Estimate)
    assert kept.ahead.low == gone.ahead.low and kept.ahead.likely[-1] > gone.ahead.likely[-1]
    assert kept.low_psi == gone.low_psi and kept.likely_psi == gone.likely_psi  # what is there now is there
    assert STAYS_ON in kept.ahead.words and STAYS_ON not in gone.ahead.words


def test_the_words_say_what_was_really_taken():
    plain = estimated(bare(), air(0.0))
    full = bare(
        kept=(Kept(2.0, 40.0, 5.0, 8.0, 50.0),), cement_lb=500.0, curve_points=((1.0, 900.0), (7.0, 2850.0)),
        breaks=((168.0, 2900.0),),
    )  # fmt: skip
    told = estimated(full, air(0.0))
    assert isinstance(plain, Estimate) and isinstance(told, Estimate)
    assert "without covers or heat, as none is on record, a usual mix, a usual curve" in plain.ahead.words
    assert (
        "R 5 on both sides, R 8 on the top, air at 50 °F, from 2 h after placing until 40 h after it"
        in told.ahead.words
    )
    assert "the mix as agreed, the supplier's curve corrected by the laboratory's breaks" in told.ahead.words
    assert json.loads(json.dumps(told.inputs))["protection"] == [
        {"from_h": 2.0, "until_h": 40.0, "side_r": 5.0, "top_r": 8.0, "air_f": 50.0}
    ]
    assert told.inputs["breaks"] == [[168.0, 2900.0]] and told.inputs["curve_points"] == [[1.0, 900.0], [7.0, 2850.0]]


# -- mix, curve, breaks ----
def test_a_mix_is_pounds_in_a_yard_and_more_of_it_warms_the_wall():
    found = poured(mixes=(MixAgreed(slump_in=6, least_f=55, most_f=75, cement_lb=564.0, water_ratio=0.45),))
    mix = mix_of(found)
    # a pound is 0.45359237 kg, a yard 0.9144 m, by definition
    assert mix.cement_kg == pytest.approx(564 * 0.45359237 / 0.9144**3, rel=1e-5)
    assert mix.water_kg == pytest.approx(0.45 * mix.cement_kg)
    warm, cool = (look(bare(cement_lb=lb, water_ratio=0.45), air(0.0)) for lb in (700.0, 450.0))
    assert warm is not None and cool is not None
    assert warm.outlook.likely.history.core_c.max() > cool.outlook.likely.history.core_c.max() + 3


def test_the_suppliers_curve_is_of_cylinders_as_warm_as_a_laboratory():
    curve = curve_of(
        poured(mixes=(MixAgreed(slump_in=6, least_f=55, most_f=75, curve=[[3.0, 1900.0], [7.0, 2850.0]]),))
    )
    assert curve.psi(7 * 24 * LAB) == pytest.approx(2850) and curve.psi(7 * 24) < 2850


def cylinder(psi: float, days: float, cured: str = "lab") -> CylinderBreak:
    return CylinderBreak(specimen="1", cast=PLACED, broken=PLACED + timedelta(days=days), psi=psi, cured=cured)


def test_breaks_of_the_laboratory_correct_the_curve_and_those_beside_the_wall_do_not():
    days = 7 * LAB
    published = 3000 * days / (4 + 0.85 * days)
    found = poured(cylinders=(cylinder(1.2 * published, 7),))
    assert curve_of(found).psi(28 * 24) == pytest.approx(1.2 * 3000 * 28 / (4 + 0.85 * 28), rel=1e-6)
    assert "the curve is taken x 1.20" in correction_words(found) and not correction_is_far(found)
    beside = poured(cylinders=(cylinder(900, 7, "field"),))
    assert curve_of(beside).factor == 1.0 and correction_words(beside) == "" and beside.breaks == ()


def test_breaks_that_are_far_off_are_told_and_never_raise_the_curve_beyond_belief():
    typo, weak = poured(cylinders=(cylinder(9900, 7),)), poured(cylinders=(cylinder(1100, 7),))
    assert curve_of(typo).factor == 1.0 and "too far to be believed" in correction_words(typo)
    assert curve_of(weak).factor < 0.6 and "ask the ready-mix supplier" in correction_words(weak)
    assert correction_is_far(typo) and correction_is_far(weak)


def test_a_break_past_the_end_of_the_curve_says_nothing_of_it():
    short = ((1.0, 900.0), (7.0, 2850.0))
    assert curve_of(bare(curve_points=short, breaks=((28 * 24.0, 4050.0),))).factor == 1.0
    both = bare(curve_points=short, breaks=((28 * 24.0, 4050.0), (7 * 24.0, 2850.0)))
    assert curve_of(both).factor == pytest.approx(1.0) and "1 break" in correction_words(both)


# -- readings and the model ----
def with_core(**said: Any) -> AsPoured:
    points = tuple((float(h), 62 + 24 * (1 - math.exp(-h / 10))) for h in range(2, 73, 2))
    return bare(read=(("core_middle", points), *said.pop("more", ())), **said)


def test_where_only_the_core_was_read_the_corner_counts_by_the_model():
    known, unknown = estimated(with_core(), air(-5.0)), estimated(with_core(), None)
    corner = estimated(with_core(more=(("north_corner", ((72.0, 78.0),)),)), air(-5.0))
    assert isinstance(known, Estimate) and isinstance(unknown, Estimate) and isinstance(corner, Estimate)
    assert known.inputs["weakest"] == "corner" and known.low_psi < unknown.low_psi
    assert "carried over from the core" in known.weakest_words
    assert corner.inputs["weakest"] != "corner" and "colder than the core" in unknown.ahead.words


def test_the_page_tells_how_the_fit_went_and_draws_it():
    readings = tuple(
        TemperatureReading(
            place="core_middle", value_f=62 + 20 * (1 - math.exp(-h / 9)), taken=PLACED + timedelta(hours=h)
        )
        for h in range(2, 73, 6)
    )
    said = read(on_record(temperatures=readings), SPEC, air(-5.0), NOW)
    assert (
        "12 readings: the mix gives x" in said.fit and "At worst it misses by" in said.fit and said.charts is not None
    )
    assert "Kept warm by" in dict(said.facts)
    blind = read(on_record(temperatures=readings), SPEC, None, NOW)
    assert blind.fit == "" and blind.charts is None and "the weather is not known" in blind.notes[0]


def test_covers_without_their_r_are_not_counted_and_that_is_said():
    covered = PourMoment(what="protected", when=PLACED + timedelta(hours=1))
    said = read(on_record(moments=(covered,)), SPEC, None, NOW)
    assert said.notes == ("Protection is written down as in place, but no R: until one is, nothing is counted for it.",)


def test_a_top_that_is_covered_by_nobody_knows_what_is_not_judged():
    covered = PourMoment(what="covered", when=PLACED + timedelta(hours=1))
    sides, top = protection(1, 5.0), ProtectionSet(side_r=5.0, top_r=8.0, air_f=None, when=PLACED)
    for own, judged in (({"protections": (sides,)}, True), ({"protections": (top,), "moments": (covered,)}, True),
                        ({"protections": (sides,), "moments": (covered,)}, False)):  # fmt: skip
        assert (wall_of(poured(**own), air(0.0)).top_covers is not None) == judged
        assert (
            "The top is written down as covered" in " ".join(read(on_record(**own), SPEC, None, NOW).notes)
        ) != judged


def test_before_the_last_truck_is_empty_nothing_is_said():
    own = on_record(loggers=(logger(FILES["hours, F"]),))
    open_ = replace(own, loads=(TruckLoad(decision="accepted", started=PLACED, ended=None, yd3=9, batched=PLACED),))
    assert as_poured(open_, SPEC, NOW) is None and isinstance(estimate(open_, SPEC, NOW), str)
    assert read(open_, SPEC, None, NOW).loggers[0].counts == "counted once the last truck is empty"


def test_covers_that_keep_it_from_freezing_green_are_told_to_stay():
    cold = air(-30.0)
    kept = look(bare(now_h=8.0, cement_lb=300.0, kept=(Kept(0.0, FOREVER, 20.0, 20.0, 60.0),)), cold)
    open_ = look(bare(now_h=8.0, cement_lb=300.0, kept=(Kept(0.0, 2.0, 20.0, 20.0, 60.0),)), cold)
    assert kept is not None and open_ is not None
    assert kept.warnings[0].startswith("Leave on what is on. Without it from now: ")
    assert "before it has 500 psi: protect it better" in open_.warnings[0]
