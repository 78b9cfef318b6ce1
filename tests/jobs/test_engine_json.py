"""What the engine made, kept as plain JSON and read again: the same values of the same types, older rows too."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.engine_json import from_plain, to_plain
from jobs.frozen import Checks, checks_of, frozen_from_json, frozen_to_json
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod
from takeoff.plan import Stage
from takeoff.results import Buy, Criterion, Quantity, Unit
from takeoff.sources import Source
from takeoff.units import Length
from tests.takeoff.plans import garage, ledge, porch_arc, rectangle, walkout

SOURCES = st.builds(Source, st.text(), st.text(), st.text(), st.booleans())
AMOUNTS = st.floats(allow_nan=False, allow_infinity=False)
WORDS = st.text(max_size=20)
QUANTITIES = st.builds(
    Quantity, WORDS, WORDS, AMOUNTS, st.sampled_from(Unit), st.sampled_from(Stage), WORDS, WORDS, WORDS, SOURCES,
    st.none() | st.builds(Buy, WORDS, AMOUNTS, AMOUNTS, AMOUNTS), st.lists(WORDS, max_size=3).map(tuple),
)  # fmt: skip


def there_and_back(kind, rows):
    return from_plain(kind, json.loads(json.dumps(to_plain(rows))))


@settings(max_examples=40)
@given(st.lists(QUANTITIES, max_size=3).map(tuple))
def test_any_quantity_comes_back_as_it_was(rows):
    read = there_and_back(Quantity, rows)
    assert read == rows
    assert all(isinstance(q.unit, Unit) and isinstance(q.stage, Stage) for q in read)


@dataclass(frozen=True)
class Inner:
    at: Length
    stage: Stage | None = None


@dataclass(frozen=True)
class Outer:
    inner: Inner | None
    many: tuple[Inner, ...]
    lengths: tuple[Length, ...] = ()
    word: str = "usual"


def test_lengths_choices_and_records_within_records():
    inner = Inner(Length.inches("3.5"), Stage.FOOTING)
    rows = (Outer(inner, (inner, Inner(Length(1)))), Outer(None, (), (Length(2),), "else"))
    assert there_and_back(Outer, rows) == rows


def test_rows_of_an_older_or_newer_program():
    plain = {"inner": None, "many": [], "unknown": 3}
    assert from_plain(Outer, [plain]) == (Outer(None, ()),)
    with pytest.raises(TypeError, match="many"):
        from_plain(Outer, [{"inner": None}])


@pytest.mark.parametrize("make", [walkout, garage, porch_arc, ledge])
def test_a_whole_takeoff_comes_back(make):
    takeoff = compute(make(), CuttingMethod.FIRST_FIT)
    read = frozen_from_json(json.loads(json.dumps(frozen_to_json(takeoff))))
    assert read.quantities == takeoff.quantities
    assert read.criteria == takeoff.criteria
    assert read.unbalanced == takeoff.unbalanced
    assert [p["sentence"] for p in read.problems] == [p.sentence for p in takeoff.problems]
    assert read.checks == checks_of(takeoff)
    assert read.checks.steel and read.checks.walls and read.checks.areas


def test_a_revision_locked_before_there_were_verdicts_has_none():
    data = frozen_to_json(compute(rectangle(), CuttingMethod.FIRST_FIT))
    del data["checks"]
    assert frozen_from_json(json.loads(json.dumps(data))).checks is None


def test_a_plan_that_cannot_be_built_has_no_verdicts():
    plan = rectangle()
    (walk,) = plan.walks
    open_ring = replace(plan, walks=(replace(walk, legs=walk.legs[:3]),))
    assert checks_of(compute(open_ring)) == Checks((), (), (), ())


def test_a_criterion_written_by_the_first_program_is_read():
    """Written out by hand, as revisions in old databases hold it."""
    row = {
        "key": "wall.lap", "label": "Laps", "value": 30.0, "unit": "in", "sense": "at least", "stage": "full_wall",
        "source": {"document": "IRC", "edition": "2021", "clause": "", "seen": True}, "tolerance": 0.0,
        "legs": ["A"], "text": "laps 30 in or more",
    }  # fmt: skip
    (read,) = from_plain(Criterion, [row])
    assert read == Criterion(
        "wall.lap", "Laps", 30.0, "in", "at least", Stage.FULL_WALL, Source("IRC", "2021"), 0.0, ("A",),
        "laps 30 in or more",
    )  # fmt: skip
