"""The footing as poured, shot after the pour and fed back into the course plan."""

import pytest

from inspections import asbuilt, queries
from inspections.exceptions import OutsideTolerance
from inspections.models import EvidenceItem
from inspections.readings import Given
from takeoff.compute import compute
from takeoff.plan import OddCourse, Section, Stage, Step
from takeoff.planfile import write_plan
from takeoff.units import Length
from tests.inspections.world import Site, criterion, facts, leg, lock_revision
from tests.takeoff import plans
from tests.takeoff.plans import at

F = Stage.FOOTING
SPREAD = [criterion("footing.top_spread", 0.25, "at most", F)]
NAMES = ("A", "B", "C", "D")


def shot(**levels: str) -> dict[str, Length]:
    """Levels as spoken: shot(A='86-0', B='85-10.5')."""
    return {name: at(text) for name, text in levels.items()}


def given(**levels: str) -> list[Given]:
    """The same as evidence."""
    return [Given("levels", leg=name, number=at(text).inch, text=text) for name, text in levels.items()]


@pytest.fixture
def poured(cast) -> Site:
    """A rectangle whose footing is poured and not shot yet; the revision holds its plan."""
    site = Site.__new__(Site)
    site.cast, site.house = cast, cast.house
    site.revision = lock_revision(
        cast.house, cast.builder, facts([leg(n) for n in NAMES]), SPREAD, document=write_plan(plans.rectangle())
    )
    site.through(F, *NAMES, until="pour_footing")
    site.work(F, "pour_footing", *NAMES)
    return site


@pytest.mark.parametrize(
    ("level", "sentence"),
    [
        ("86-0", "Leg B poured to its level."),
        ("86-0 1/32", "Leg B poured to its level."),
        ("86-0 1/2", 'Leg B poured 1/2" high: rip 1/2" off the foot of the first course.'),
        (
            "85-10 1/2",
            'Leg B poured 1 1/2" low: shim or grout 1 1/2" under the first course. Where dowels were set from the '
            'concrete, their laps are 1 1/2" shorter: measure them.',
        ),
    ],
)
def test_each_leg_says_how_far_off_it_is_and_what_to_do(level, sentence):
    (row,) = asbuilt.compare(plans.rectangle(), shot(B=level))
    assert (row.leg, row.planned, row.off, row.sentence) == ("B", at("86-0"), at(level) - at("86-0"), sentence)


def test_spread_is_of_how_far_each_leg_is_off_and_by_section():
    plan = plans.rectangle()
    rows = asbuilt.compare(plan, shot(A="86-0 1/8", B="85-11 7/8", C="86-0"))
    (spread,) = asbuilt.spreads(rows, SPREAD)
    assert (spread.section, spread.spread, spread.allowed_in, spread.is_within) == ("main", at("1/4"), 0.25, True)
    (wider,) = asbuilt.spreads(asbuilt.compare(plan, shot(A="86-0 1/4", B="85-11 7/8")), SPREAD)
    assert not wider.is_within
    (unknown,) = asbuilt.spreads(rows, [])
    assert unknown.allowed_in is None and unknown.is_within


# -- the course plan
def first_course(plan, name):
    """The lowest units of a leg: (bottom, top, ripped)."""
    units = [u for u in compute(plan).units if u.leg == name]
    low = min(u.bottom for u in units)
    return {(u.bottom, u.top, u.ripped) for u in units if u.bottom == low}


def test_a_leg_poured_high_shows_a_ripped_first_course():
    plan = asbuilt.as_built_plan(plans.rectangle(), shot(**{n: "86-0 1/2" if n == "B" else "86-0" for n in NAMES}))
    assert first_course(plan, "B") == {(at("86-0 1/2"), at("87-4"), True)}
    assert first_course(plan, "D") == {(at("86-0"), at("87-4"), False)}


def test_a_leg_poured_low_leaves_every_course_line_where_it_was():
    drawn = plans.rectangle()
    plan = asbuilt.as_built_plan(drawn, shot(A="85-10 1/2"))
    assert plan.section("main").datum == at("86-0")
    lines = {u.top for u in compute(drawn).units if u.leg == "A"}
    assert lines <= {u.top for u in compute(plan).units if u.leg == "A"}
    assert first_course(plan, "A") == {(at("85-10 1/2"), at("86-0"), True)}


def test_steps_move_with_their_leg_and_legs_not_shot_stay():
    step = Step(at=at("20-0"), footing_top=at("87-4"))
    plan = asbuilt.as_built_plan(plans.rectangle(steps=(step,)), shot(A="86-0 1/4"))
    assert plan.leg("A").steps[0].footing_top == at("87-4 1/4")
    assert plan.leg("B").footing_top == at("86-0") and plan.leg("B").steps == (step,)


def test_a_datum_that_was_chosen_or_hangs_from_the_top_stays():
    chosen = plans.rectangle()
    sections = (Section("main", "Main", datum=at("86-8")),)
    assert asbuilt.as_built_plan(_with(chosen, sections), shot(A="86-1")).section("main").datum == at("86-8")
    hung = (Section("main", "Main", odd_course=OddCourse.BOTTOM),)
    assert asbuilt.as_built_plan(_with(chosen, hung), shot(A="86-1")).section("main").datum is None


def _with(plan, sections):
    from dataclasses import replace

    return replace(plan, sections=sections)


# -- from the records
def test_shot_levels_come_from_the_latest_presentation_that_was_not_rejected(poured):
    poured.present(F, "footing_top", "A", "B", evidence=given(A="86-0", B="86-0 1/8"))
    again = poured.present(F, "footing_top", "B", evidence=given(B="86-0 1/16"))
    poured.release(again, by=poured.cast.surveyor, role="surveyor")
    poured.reject(poured.present(F, "footing_top", "C", evidence=given(C="86-0")), "Rod was read wrong.")
    found = asbuilt.shots(queries.ledger(poured.house))
    assert found == {
        "A": asbuilt.Shot(at("86-0"), is_released=False),
        "B": asbuilt.Shot(at("86-0 1/16"), is_released=True),
    }


def test_levels_within_the_spread_are_kept_as_such(poured):
    poured.present(F, "footing_top", *NAMES, evidence=given(A="86-0 1/8", B="86-0", C="85-11 7/8", D="86-0"))
    assert set(EvidenceItem.objects.filter(kind="levels").values_list("within", flat=True)) == {True}


@pytest.mark.parametrize(
    ("levels", "flagged"),
    [
        ({"A": "86-0", "B": "85-10 1/2"}, {"A": True, "B": False}),  # poured low: it alone, not its neighbour
        ({"A": "86-0", "B": "86-0 1/8", "C": "85-10 1/2"}, {"A": True, "B": True, "C": False}),
        # each near its level, the highest and the lowest too far apart
        ({"A": "86-0 1/4", "B": "86-0", "C": "85-11 7/8"}, {"A": False, "B": True, "C": False}),
        ({"A": "86-0 1/4", "B": "85-11 7/8"}, {"A": False, "B": False}),  # each near its level, too far apart
        ({"A": "85-11", "B": "85-11"}, {"A": False, "B": False}),  # level with each other, an inch low
    ],
)
def test_levels_outside_are_refused_without_a_word_and_flagged_with_one(poured, levels, flagged):
    with pytest.raises(OutsideTolerance, match=r"Leg [ABC]: .* the plan asks 86'-0\" ± 1/4\", all"):
        poured.present(F, "footing_top", *levels, evidence=given(**levels))
    poured.present(F, "footing_top", *levels, evidence=given(**levels), deviation="Grouted before stacking.")
    assert dict(EvidenceItem.objects.filter(kind="levels").values_list("leg", "within")) == flagged


def test_every_leg_presented_needs_its_level(poured):
    from inspections.exceptions import EvidenceRefused

    with pytest.raises(EvidenceRefused, match="Leg C: “Level of the footing top, at the start of the leg” is missing"):
        poured.present(F, "footing_top", "A", "C", evidence=given(A="86-0"))


def test_a_stored_plan_that_cannot_be_read_has_no_levels_to_compare():
    assert asbuilt.planned_tops({}) == {}
