"""Numbers, waits and standings as pages say them, and what may be typed for a reading."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from inspections.forms import ReadingField, _slugs
from inspections.page_queries import words
from inspections.page_queries.words import figures, must
from jobs.models import House
from takeoff.drawings.tracker import PartState
from takeoff.plan import Stage
from tests.inspections.world import criterion

HOUSE = House(name="Lot 12", timezone="America/Chicago")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (criterion("footing.bar_lap", 30, "at least", Stage.FOOTING), '30" or more'),
        (criterion("dowel.spacing", 18, "at most", Stage.FOOTING), '18" or less'),
        (criterion("wall.top", 0, "is", Stage.FULL_WALL, tolerance=0.25), '± 1/4"'),
        (criterion("wall.core", 8, "is", Stage.FULL_WALL, tolerance=0.25), '8" ± 1/4"'),
        (criterion("dowel.size", 5, "at least", Stage.FOOTING, unit="#"), "#5"),
        (criterion("concrete.temperature", 55, "at least", Stage.FOOTING, unit="F"), "55 °F or more"),
        (criterion("footing.concrete_volume", 6.75, "is", Stage.FOOTING, unit="yd3", tolerance=0.25), "6.75 yd³"),
        (criterion("backfill.unbalanced_before", 88, "is", Stage.FINAL_BACKFILL), "7'-4\""),
    ],
    ids=lambda value: getattr(value, "key", value),
)
def test_a_number_is_said_as_on_site(given, said):
    assert must(given) == said


def test_one_number_for_several_legs_is_said_once_and_names_them():
    lap = [criterion("lap", 30, "at least", Stage.FOOTING, legs=(leg,)) for leg in "AB"]
    other = criterion("lap", 38, "at least", Stage.FOOTING, legs=("C",))
    found = figures([*lap, other], ("A", "B", "C"))
    assert [(f.number, f.on) for f in found] == [('30" or more', "Legs A and B"), ('38" or more', "Leg C")]
    assert figures(lap, ("A", "B"))[0].on == ""  # all that are talked of: nothing to name


@pytest.mark.parametrize(
    ("hours", "said"), [(1, "since today"), (20, "for 1 day"), (30, "for 1 day"), (24 * 4, "for 4 days")]
)
def test_a_wait_is_counted_in_nights_by_the_clock_of_the_site(hours, said):
    noon = datetime(2026, 11, 3, 18, 0, tzinfo=UTC)  # noon in Chicago
    assert words.waited(HOUSE, noon, noon + timedelta(hours=hours)) == said


def test_a_moment_is_said_by_the_clock_of_the_site():
    assert words.moment(HOUSE, datetime(2026, 11, 3, 20, 5, tzinfo=UTC)) == "Tue Nov 3, 2:05 pm"


def test_a_point_in_a_list_shows_what_needs_somebody_first(site):
    stage = site.stage(Stage.FOOTING)
    point = site.point(Stage.FOOTING, "footing_steel")

    def state() -> PartState:
        from inspections import queries

        ledger = queries.ledger(site.house)
        return words.point_state(words.groups(ledger, ledger.stage(stage.pk), point))

    assert state() is PartState.PLANNED
    site.passed(Stage.FOOTING, "footing_steel", "A", "B")
    assert state() is PartState.PLANNED
    presented = site.present(Stage.FOOTING, "footing_steel", "G", "P")
    assert state() is PartState.PRESENTED
    site.reject(presented, legs=["P"])
    assert state() is PartState.REJECTED


@pytest.mark.parametrize(
    ("typed", "unit", "bare", "number"),
    [
        ("30", "in", "in", 30.0),
        ("2-6 1/2", "in", "in", 30.5),
        ("76.2 cm", "in", "in", 30.0),
        ("86.25", "in", "ft", 1035.0),
        ("86-3", "in", "ft", 1035.0),
        ("55", "F", "in", 55.0),
        ("55.5 °F", "F", "in", 55.5),
        ("-4 f", "F", "in", -4.0),
        ("3/8", "in per 50 ft", "in", 0.375),
        ("-1/4", "in", "in", -0.25),
    ],
)
def test_a_reading_is_read_in_the_unit_its_field_names(typed, unit, bare, number):
    read, text = ReadingField(unit=unit, bare=bare).clean(typed)
    assert read == pytest.approx(number) and text == typed


@pytest.mark.parametrize(
    ("typed", "unit"), [("warm", "F"), ("5 5", "F"), ("1e400", "F"), ("tall", "in"), ("30,5", "in")]
)
def test_what_is_no_reading_is_told_and_named(typed, unit):
    with pytest.raises(ValidationError) as wrong:
        ReadingField(unit=unit).clean(typed)
    assert typed in wrong.value.messages[0]


def test_field_names_of_legs_never_meet():
    assert len(set(_slugs(["A", "a", "A 1", "A-1", "Ä", "…", "!"]).values())) == 7
