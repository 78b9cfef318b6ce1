"""Plan documents: round trips, defaults, one sentence for everything that can be wrong, and no error on any JSON."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import takeoff
from takeoff.plan import Arc, Attachment, End, Face, Pad, RestWay, Section, Straight, WalkKind
from takeoff.planfile import PlanReading, read_plan, trace_walks, write_plan
from takeoff.problems import Problem, Severity
from takeoff.site import BuildingSpec
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.plans import at

Document = dict[str, Any]


def small() -> Document:
    """The shortest useful document: defaults on top, four legs."""
    return {
        "schema": "wall-walk",
        "version": 1,
        "dimensions_to": "outside_of_foam",
        "leg_defaults": {
            "form": "generic-16",
            "core": "8",
            "footing_top": "86-0",
            "frost_top": "90-0",
            "wall_top": "98-0",
            "grade_outside": "97-0",
            "grade_inside": "90-0",
        },
        "walks": [
            {
                "name": "house",
                "legs": [
                    {"name": n, "length": x, "turn": "90 left"}
                    for n, x in zip("ABCD", ("40-0", "28-0", "40-0", "28-0"), strict=True)
                ],
            }
        ],
    }


def full() -> Document:
    """A document with something of everything."""
    document = json.loads(json.dumps(write_plan(plans.walkout())))
    document["walks"][0]["legs"][0]["beam_pockets"] = [{"name": "P1", "offset": "6-0", "width": "8", "depth": "10"}]
    document["closure"] = [{"walk": "house", "legs": ["B", "C"], "note": "agreed"}]
    document["pads"] = [pad("P1") | {"section": document["sections"][0]["key"]}]
    document["spec"]["bars"]["also_stock"] = ["30-0", "40-0"]
    return document


def pad(name: str, **changes: Any) -> Document:
    """A pad 3 ft square under the slab of the small document."""
    return {"name": name, "length": "3-0", "width": "3-0", "thickness": "12", "top": "89-8"} | changes


def put(document: Document, path: str, value: Any) -> Document:
    """The document with one value put at a dotted address; ``...`` takes it out."""
    document = copy.deepcopy(document)
    *way, last = path.split(".")
    here: Any = document
    for part in way:
        here = here[int(part)] if isinstance(here, list) else here.setdefault(part, {})
    if value is ...:
        del here[int(last) if isinstance(here, list) else last]
    elif isinstance(here, list):
        here[int(last)] = value
    else:
        here[last] = value
    return document


def worst(reading: PlanReading) -> Problem:
    """The only blocker, or the first problem where there is none."""
    blocking = [p for p in reading.problems if p.severity is Severity.BLOCKER]
    return (blocking or list(reading.problems))[0]


# -- round trips and defaults ----------------------------------------------------------------------
@pytest.mark.parametrize("name", sorted(plans.SAMPLES))
def test_what_is_written_reads_back_the_same(name: str) -> None:
    walls = plans.SAMPLES[name]()
    reading = read_plan(json.loads(json.dumps(write_plan(walls))))
    assert reading.plan == walls
    expected = ["runs across opening W1", "runs across opening W2"] if name == "walkout" else []
    assert len(reading.problems) == len(expected)
    assert all(said in p.sentence for said, p in zip(expected, reading.problems, strict=True))


def test_a_person_types_little() -> None:
    reading = read_plan(small())
    assert reading.problems == () and reading.plan is not None
    assert reading.plan.sections == (Section("main", "Main"),)
    leg = reading.plan.leg("C")
    assert (leg.path, leg.turn_deg, leg.section, leg.core) == (Straight(at("40-0")), 90.0, "main", at("8"))
    assert leg.wall_top == at("98-0") and leg.flush is Face.OUTSIDE_OF_FOAM


def test_the_example_in_the_format_page_is_a_plan() -> None:
    page = (Path(takeoff.__file__).parent / "PLAN_FORMAT.md").read_text(encoding="utf-8")
    example = page[page.index("    {\n") : page.index("\n    }\n") + len("\n    }\n")]
    assert read_plan(json.loads(example)).problems == ()


def test_defaults_of_a_section_come_before_those_of_the_document() -> None:
    document = small()
    document["sections"] = [{"key": "main"}, {"key": "deep", "leg_defaults": {"footing_top": "84-0", "core": "10"}}]
    document["leg_defaults"]["section"] = "main"
    document["walks"][0]["legs"][0] |= {"section": "deep", "core": "6"}
    plan = read_plan(document).plan
    assert plan is not None
    assert (plan.leg("A").footing_top, plan.leg("A").core) == (at("84-0"), at("6"))
    assert (plan.leg("B").footing_top, plan.leg("B").core) == (at("86-0"), at("8"))


def test_none_takes_a_default_wall_back() -> None:
    plan = read_plan(put(small(), "walks.0.legs.0.wall_top", "none")).plan
    assert plan is not None and plan.leg("A").wall_top is None


def test_outside_grade_falls_back_on_the_site() -> None:
    document = put(put(small(), "leg_defaults.grade_outside", ...), "site.exterior_grade", "96-6")
    plan = read_plan(document).plan
    assert plan is not None and plan.leg("A").grade_outside == at("96-6")


@pytest.mark.parametrize(
    ("turn", "degrees"),
    [
        ("90 left", 90),
        ("right 45", -45),
        ("L", 90),
        ("45° right", -45),
        ("straight", 0),
        (-30.5, -30.5),
        ("22.5 l", 22.5),
    ],
)
def test_turns_are_numbers_or_words(turn: object, degrees: float) -> None:
    reading = read_plan(put(small(), "walks.0.legs.1.turn", turn))
    assert reading.plan is not None and reading.plan.leg("B").turn_deg == degrees


@pytest.mark.parametrize(
    ("unit", "text", "length"),
    [("in", "340.5", "340.5"), ("ft", "30", "360"), ("mm", "8650", None), ("m", "8.65", None)],
)
def test_bare_numbers_in_text_are_read_in_the_documents_unit(unit: str, text: str, length: str | None) -> None:
    document = put(small(), "walks.0.legs.0.length", text) | {"bare_numbers_are": unit}
    document["leg_defaults"]["core"] = '8"'
    plan = read_plan(document).plan
    assert plan is not None
    assert plan.leg("A").path == Straight(Length.mm(8650) if length is None else Length.inches(length))


@pytest.mark.parametrize(
    ("field", "value"), [("length_in", 340.5), ("length_ft", 28.375), ("length_mm", 8648.7), ("length_m", 8.6487)]
)
def test_a_number_may_stand_where_the_name_says_its_unit(field: str, value: float) -> None:
    document = small()
    leg = document["walks"][0]["legs"][0]
    del leg["length"]
    leg[field] = value
    plan = read_plan(document).plan
    assert plan is not None and plan.leg("A").path == Straight(at("28-4 1/2"))


def test_arcs_spurs_and_openings_are_read() -> None:
    plan = read_plan(full()).plan
    assert plan is not None
    assert plan.leg("J").path == Arc(at("6-0"), 180.0)
    garage = plan.walks[1]
    assert garage.kind is WalkKind.SPUR and garage.starts_on == Attachment("L", at("16-0"))
    assert plan.leg("G").openings[0].measured_from is End.END
    assert plan.closure[0].legs == ("B", "C")
    assert plan.leg("A").beam_pockets[0].depth == at("10")


STOCK = [
    ("30-0, 40 ft", ("30-0", "40-0")),
    (["30-0", "12 m"], ("30-0", "12 m")),
    ([], ()),
    ("", ()),
    (" 360 , ", ("30-0",)),
]


@pytest.mark.parametrize(("typed", "read"), STOCK, ids=[str(typed) for typed, _ in STOCK])
def test_stock_lengths_are_a_list_or_one_text_with_commas(typed: Any, read: tuple[str, ...]) -> None:
    plan = read_plan(put(small(), "spec.bars.also_stock", typed)).plan
    assert plan is not None and plan.spec.bars.also_stock == tuple(at(x) for x in read)
    again = read_plan(json.loads(json.dumps(write_plan(plan)))).plan
    assert again == plan


def test_a_pad_takes_the_usual_bars_and_the_only_section() -> None:
    reading = read_plan(small() | {"pads": [pad("P1"), pad("P2", count=4, bars_each_way=0, bar_size=5)]})
    assert reading.problems == () and reading.plan is not None
    assert reading.plan.pads[0] == Pad("P1", "main", at("36"), at("36"), at("12"), at("89-8"))
    assert [(p.count, p.bars_each_way, p.bar_size) for p in reading.plan.pads] == [(1, 3, 4), (4, 0, 5)]


def test_everything_new_in_a_form_system_and_a_section_reads_back() -> None:
    document = put(full(), "sections.0.rest_way", "pour_line")
    form = document["forms"][0] | {"least_radius": "5-0", "ledge_height": "11 1/2", "foam_r_per_in": 4.2}
    plan = read_plan(put(document, "forms.0", form)).plan
    assert plan is not None and plan.sections[0].rest_way is RestWay.POUR_LINE
    assert (plan.forms[0].least_radius, plan.forms[0].ledge_height) == (at("5-0"), at("11.5"))
    assert plan.forms[0].foam_r_per_in == 4.2 and len(plan.forms[0].corners_45) == 3
    assert read_plan(write_plan(plan)).plan == plan


def test_what_is_not_said_of_the_building_is_no_problem() -> None:
    unsaid = {"stories": 0, "width": "0", "snow_psf": -1}
    plan = read_plan(put(put(small(), "spec.building", unsaid), "spec.assembly", {"marine": True})).plan
    assert plan is not None and plan.spec.building == BuildingSpec() and plan.spec.assembly.marine


def test_notes_and_private_fields_are_left_alone() -> None:
    document = small() | {"_editor": {"zoom": 2}, "note": "from the drawing of May"}
    assert read_plan(document).problems == ()


# -- what can be wrong -----------------------------------------------------------------------------
FIELDS = [
    ("schema", "nope", "must be “wall-walk”"),
    ("version", 2, "version 1 is read here"),
    ("dimensions_to", ..., "dimensions to is missing"),
    ("dimensions_to", "inside_of_foam", "must be one of outside_of_foam, outside_of_concrete, centre_line"),
    ("walks", ..., "has no walks"),
    ("walks", "none", "must be a list of walks, not text"),
    ("walks.0.legs", [], "has no legs"),
    ("walks.0.name", ..., "name is missing"),
    ("walks.0.legs.1.length", 28, "Leg B: length must be text as spoken"),
    ("walks.0.legs.1.length", "28-13", "Leg B, length: “28-13” has 12 in or more"),
    ("walks.0.legs.1.length", ..., "Leg B: length is missing; a length like 28-4 1/2"),
    ("walks.0.legs.1.length", "0", "too small"),
    ("walks.0.legs.1.length", "1001 ft", "at most 1000'-0\" is accepted"),
    ("walks.0.legs.1.length_ft", 28, "length is given twice"),
    ("walks.0.legs.1.radius", "10-0", "either a length, or a radius and a sweep"),
    ("walks.0.legs.1.turn", ..., "Leg B: turn is missing"),
    ("walks.0.legs.1.turn", "north", "turn “north” is not understood; write 90 left"),
    ("walks.0.legs.1.turn", 175, "turn is 175; -150 to 150 degrees is accepted"),
    ("walks.0.legs.1.turn", True, "turn must be a number, not true or false"),
    ("walks.0.legs.1.core", "6 1/3", 'not made with a 6 5/16" core; it is made with'),
    ("walks.0.legs.1.form", "brand", "form system “brand” is not in the plan; it has generic-16, generic-18"),
    ("walks.0.legs.1.section", "attic", "section “attic” is not one of the plan's (main)"),
    ("walks.0.legs.1.wall_topp", "98-0", "“wall_topp” is not a field known here"),
    ("walks.0.legs.1.name", "a", "the name is used twice"),
    ("walks.0.legs.1.name", "x" * 61, "at most 60 fit"),
    ("walks.0.legs.1.wall_top", "85-0", "top of wall 85'-0\" must be above its footing top 86'-0\""),
    ("walks.0.legs.1.frost_top", "86-0", "top of frost wall 86'-0\" must be above its footing top"),
    ("walks.0.legs.1.frost_top", "99-0", "top of wall 98'-0\" must be above the top of the frost wall 99'-0\""),
    ("walks.0.legs.1.grade_outside", "98-6", "outside grade 98'-6\" is above the top of the wall 98'-0\""),
    ("walks.0.legs.1.wall_top", "130-0", "at most 40'-0\" is accepted"),
    ("walks.0.legs.1.steps", [{"at": "28-0", "footing_top": "87-4"}], "step at 28'-0\" is outside the leg"),
    ("walks.0.legs.1.steps", [{"at": "8-0"}], "changes no level"),
    ("walks.0.legs.1.steps", [{"at": "8-0", "footing_top": "90-6"}], "from 8'-0\" on"),
    ("walks.0.legs.1.ledges", [{"level": "97-0", "projection": "6", "until": "29-0"}], "must lie within its length"),
    ("walks.0.legs.1.ledges", [{"level": "85-0", "projection": "6"}], "brick ledge at 85'-0\" is not on the wall"),
    ("closure", [{"walk": "shed", "legs": ["A", "B"]}], "“shed” is not a ring of this plan"),
    ("closure", [{"walk": "house", "legs": ["A"]}], "name the two legs"),
    ("site.soil_class", "mud", "soil class “mud” is not in the tables"),
    ("site.frost_depth", 4, "Site: frost depth must be text as spoken"),
    ("spec.bars.vertical_spacing", "0", "too small"),
    ("spec.bars.vertical_size", 2, "vertical size is 2; 3 to 11 is accepted"),
    ("spec.bars.vertical_size", 4.5, "must be a whole number"),
    ("spec.concrete.waste_wall", 7, "waste wall is 7; 0 to 1 is accepted"),
    ("spec.nothing", {}, "“nothing” is not a field known here"),
    ("spec.bars.also_stock", 30, "also stock must be lengths with commas between them"),
    ("spec.bars.also_stock", "30-0, forty", "“forty” is not a length"),
    ("spec.bars.also_stock", ["2-0"], "also stock 2'-0\" is too small; 5'-0\" or more"),
    ("spec.bars.also_stock", ["20-0"] * 9, "also stock has 9 lengths; at most 8 fit"),
    ("spec.bars.also_stock", [240], "also stock must be text as spoken"),
    ("spec.building.stories", 4, "stories is 4; 0 to 3 is accepted"),
    ("spec.building.walls", "straw", "must be one of light_frame, brick_veneer, concrete_or_masonry"),
    ("spec.building.width", "-1-0", "too small"),
    ("spec.building.snow_psf", -2, "snow psf is -2; -1 to 400 is accepted"),
    ("spec.assembly.climate_zone", 9, "climate zone is 9; 0 to 8 is accepted"),
    ("spec.assembly.marine", "yes", "marine must be true or false, not text"),
    ("spec.concrete.chemistry", "strong", "must be one of plain, retarded"),
    ("pads", [pad("P1"), pad("p1")], "Pad p1: the name is used twice; every pad needs its own"),
    ("pads", [pad("P1", section="attic")], "Pad P1: section “attic” is not one of the plan's (main)"),
    ("pads", [pad("P1", width="0")], "Pad P1: width 0'-0\" is too small"),
    ("pads", [pad("P1", top=None)], "Pad P1: top is missing"),
    ("pads", [pad("P1", count=201)], "Pad P1: count is 201; 1 to 200 is accepted"),
    ("pads", [pad("P1", bars_each_way=41)], "bars each way is 41; 0 to 40 is accepted"),
    ("pads", [pad("P1", bar_size=9)], "bar size is 9; 3 to 8 is accepted"),
    (
        "pads",
        [pad("P1", thickness="6")],
        'its thickness 6" has no room for its bars with 3" of cover on both sides; 7"',
    ),
    ("pads", [pad("P1", bars_each_way=40, width="1-6")], 'its width 18" has no room for its bars'),
    ("pads", [pad(f"P{k}") for k in range(61)], "61 pads are more than the 60 that are accepted"),
    ("pads", {"name": "P1"}, "pads must be a list of pads, not an object"),
    ("sections", [{"key": "main", "rest_way": "mortar"}], "must be one of rip, two_ripped, part_height, pour_line"),
    ("forms", [], "it has"),
    ("sections", [{"key": "main", "odd_course": "middle"}], "must be one of top, bottom"),
    ("title", ["x"], "title must be text, not a list"),
]


CORNERS_45 = [
    ("corners_45.0.short", "5", "short 0'-5\" is too small; 0'-6\" or more is accepted"),
    ("corners_45.0.short", "40", "45 degree corner 1: the short leg 3'-4\" is longer than the long leg 2'-6\""),
    ("corners_45.1.core", "6", 'the 6" core has two lines of corner legs'),
    ("corners_45.0.core", "12", 'a 45 degree corner for a 12" core, but the system is not made with it'),
    ("foam_r_per_in", 40, "foam r per in is 40; 0.5 to 10 is accepted"),
    ("least_radius", "1", "least radius 0'-1\" is too small"),
]


@pytest.mark.parametrize(("path", "value", "said"), CORNERS_45, ids=[f"{p}={v}" for p, v, _ in CORNERS_45])
def test_what_cannot_be_of_a_form_system_gets_a_sentence(path: str, value: Any, said: str) -> None:
    reading = read_plan(put(full(), f"forms.0.{path}", value))
    assert reading.plan is None
    assert said in worst(reading).sentence


def test_a_45_degree_corner_must_leave_something_inside() -> None:
    """The inside face is shorter than the outside by W tan(22.5 deg) at each corner: plane geometry of the mitre. With
    foam of 2 3/8 in and a core of 8 in W is 12 3/4 in, and W tan 22.5 is 5.28 in; with 12 in of foam it is 13.25 in."""
    document = put(full(), "forms.0.foam", "12")
    document = put(put(document, "forms.0.corners_45", [{"core": "8", "long": "20", "short": "13 1/8"}]), "walks", [])
    said = [p for p in read_plan(document).problems if p.path == "forms.0.corners_45.0.short"]
    assert len(said) == 1 and 'leaves nothing inside; it must be longer than 13 1/4"' in said[0].sentence
    longer = put(document, "forms.0.corners_45.0.short", "13 3/8")
    assert not [p for p in read_plan(longer).problems if p.path.startswith("forms")]


def test_a_pad_that_stands_through_the_slab_is_pointed_out() -> None:
    document = small() | {"sections": [{"key": "main", "slab_top": "90-4"}], "pads": [pad("P1", top="90-1")]}
    [problem] = read_plan(document).problems
    assert problem.severity is Severity.WARNING and problem.path == "pads.0.top"
    assert problem.sentence == "Pad P1: its top 90'-1\" stands above the underside of the slab, 90'-0\"."


@pytest.mark.parametrize(("path", "value", "said"), FIELDS, ids=[f"{p}={str(v)[:20]}" for p, v, _ in FIELDS])
def test_a_wrong_field_gets_one_sentence_beside_it(path: str, value: Any, said: str) -> None:
    reading = read_plan(put(small(), path, value))
    found = [p for p in reading.problems if said in p.sentence]
    assert found, [p.sentence for p in reading.problems]
    assert reading.plan is None
    assert all(p.sentence.endswith(".") for p in reading.problems)
    if path.startswith("walks.0.legs.1.") and path != "walks.0.legs.1.name":
        assert found[0].path.startswith("walks.0.legs.1") and found[0].leg == "B"


OPENINGS = [
    ({"offset": "38-0"}, "opening W1 from 38'-0\" to 41'-0\" does not fit into the leg's length 40'-0\"", "offset"),
    ({"offset": "38-0", "measured_from": "end"}, "opening W1 from -1'-0\" to 2'-0\"", "offset"),
    ({"height": "60"}, "opening W1 ends at 98'-4\", above the top of the wall 98'-0\"", "height"),
    ({"sill": "85-0", "height": "20"}, "opening W1 begins at 85'-0\", below the footing top", "sill"),
    ({"width": "0"}, "Leg A, opening W1: width 0'-0\" is too small", "width"),
    ({"kind": "hatch"}, "kind is “hatch”; it must be one of window, door", "kind"),
]


@pytest.mark.parametrize(("changes", "said", "field"), OPENINGS, ids=[said for _, said, _ in OPENINGS])
def test_an_opening_outside_its_wall_is_refused(changes: dict[str, str], said: str, field: str) -> None:
    window = {"name": "W1", "width": "36", "height": "48", "sill": "93-4", "offset": "6-0"} | changes
    problem = worst(read_plan(put(small(), "walks.0.legs.0.openings", [window])))
    assert said in problem.sentence
    assert (problem.path, problem.leg) == (f"walks.0.legs.0.openings.0.{field}", "A")


def test_openings_may_stand_above_but_not_across_each_other() -> None:
    window = {"name": "W1", "width": "36", "height": "24", "sill": "94-4", "offset": "6-0"}
    below = window | {"name": "W2", "sill": "90-4", "height": "36"}
    across = window | {"name": "W2", "offset": "8-0"}
    assert read_plan(put(small(), "walks.0.legs.0.openings", [window, below])).problems == ()
    problem = worst(read_plan(put(small(), "walks.0.legs.0.openings", [window, across])))
    assert problem.sentence == "Leg A: openings W1 and W2 overlap; move one of them."


def test_an_opening_under_a_lowered_top_is_refused() -> None:
    document = put(small(), "walks.0.legs.0.steps", [{"at": "8-0", "wall_top": "95-0", "grade_outside": "94-0"}])
    document = put(
        document,
        "walks.0.legs.0.openings",
        [{"name": "W1", "width": "36", "height": "48", "sill": "93-4", "offset": "6-0"}],
    )
    assert "above the top of the wall 95'-0\"" in worst(read_plan(document)).sentence


def test_a_beam_pocket_may_not_cut_into_an_opening() -> None:
    window = {"name": "W1", "width": "36", "height": "48", "sill": "93-8", "offset": "6-0"}
    document = put(small(), "walks.0.legs.0.openings", [window])
    pocket = {"name": "P1", "offset": "7-0", "width": "8", "depth": "10"}
    problem = worst(read_plan(put(document, "walks.0.legs.0.beam_pockets", [pocket])))
    assert problem.sentence == "Leg A: beam pocket P1 cuts into opening W1."


SPURS = [
    ("starts_on", ..., "Walk inner: starts on is missing"),
    ("starts_on.leg", "Z", "Spur inner starts on leg “Z”, which is not a leg of this plan"),
    ("starts_on.leg", "T1", "which is one of its own"),
    ("starts_on.at", "41-0", "at 41'-0\", past its end at 40'-0\""),
    ("heading", 10, "heading 10 is too flat"),
]


@pytest.mark.parametrize(("field", "value", "said"), SPURS, ids=[said for _, _, said in SPURS])
def test_a_spur_must_stand_somewhere(field: str, value: Any, said: str) -> None:
    document = write_plan(plans.tee())
    assert said in worst(read_plan(put(document, f"walks.1.{field}", value))).sentence


def test_a_thin_core_below_grade_needs_an_engineer() -> None:
    reading = read_plan(put(small(), "walks.0.legs.0.core", "4"))
    assert reading.plan is not None
    [problem] = [p for p in reading.problems if p.severity is Severity.ENGINEER]
    assert problem.sentence == 'Leg A: a 4" core below grade is in no published table; an engineer must decide.'


def test_a_shallow_footing_is_warned_of_with_numbers() -> None:
    """Bottom 93'-0" less 10 in is 4'-10" below 97'-0"; frost goes 5 ft (rule: IRC R403.1.4.1, from memory)."""
    document = put(put(small(), "leg_defaults.footing_top", "93-0"), "leg_defaults.frost_top", "none")
    reading = read_plan(put(document, "site.frost_depth", "5-0"))
    assert reading.plan is not None
    assert reading.problems[0].sentence == (
        "Leg A: bottom of footing 92'-2\" is 4'-10\" below the outside grade 97'-0\"; frost goes 5'-0\" deep."
    )
    assert {p.severity for p in reading.problems} == {Severity.WARNING}
    assert read_plan(put(document, "site.frost_depth", "4-10")).problems == ()


def test_an_inner_wall_needs_no_frost_depth() -> None:
    document = put(write_plan(plans.tee()), "walks.1.legs.0.footing_top", "89-8")
    document = put(put(document, "walks.1.legs.0.frost_top", "none"), "walks.1.legs.0.grade_outside", "90-0")
    assert read_plan(document).problems == ()


def test_a_wall_hung_outside_needs_frost_depth_and_one_on_its_inside_does_not() -> None:
    document = write_plan(plans.garage())
    document["walks"].append(
        {
            "name": "store",
            "kind": "spur",
            "starts_on": {"leg": "G2", "at": "8-0"},
            "legs": [document["walks"][1]["legs"][0] | {"name": "T1", "length": "6-0", "footing_top": "96-0"}],
        }
    )
    assert read_plan(document).problems == ()
    document["walks"][2]["heading"] = -90
    assert "frost goes 4'-0\" deep" in worst(read_plan(document)).sentence


SLABS = [
    ("98-6", "slab top 98'-6\" is above the top of the wall 98'-0\""),
    ("86-2", "the slab, 85'-10\" to 86'-2\", would cut into the footing, whose top is 86'-0\""),
    ("89-0", "inside grade 90'-0\" is above the slab top 89'-0\""),
]


@pytest.mark.parametrize(("slab", "said"), SLABS, ids=[said for _, said in SLABS])
def test_a_slab_that_does_not_fit_is_pointed_out(slab: str, said: str) -> None:
    reading = read_plan(small() | {"sections": [{"key": "main", "slab_top": slab}]})
    assert reading.plan is not None
    assert said in reading.problems[0].sentence and reading.problems[0].severity is Severity.WARNING


def test_a_ledge_across_a_window_is_pointed_out() -> None:
    window = {"name": "W1", "width": "36", "height": "48", "sill": "93-4", "offset": "6-0"}
    document = put(small(), "walks.0.legs.0.openings", [window])
    ledge = {"level": "97-0", "projection": "6"}
    [problem] = read_plan(put(document, "walks.0.legs.0.ledges", [ledge])).problems
    assert "brick ledge at 97'-0\" runs across opening W1" in problem.sentence
    beside = [ledge | {"until": "6-0"}, ledge | {"start": "9-0"}]
    assert read_plan(put(document, "walks.0.legs.0.ledges", beside)).problems == ()


def test_ground_water_above_the_footing_is_warned_of() -> None:
    [problem] = read_plan(put(small(), "site.ground_water", "86-6")).problems
    assert problem.severity is Severity.WARNING
    assert "Ground water at 86'-6\" stands above the footing top" in problem.sentence


def test_a_frost_wall_may_be_buried_with_a_warning() -> None:
    document = put(put(small(), "leg_defaults.wall_top", "none"), "leg_defaults.frost_top", "96-6")
    reading = read_plan(document)
    assert reading.plan is not None
    assert "outside grade 97'-0\" is above the top of the wall 96'-6\"" in reading.problems[0].sentence


def test_a_section_without_legs_is_pointed_out() -> None:
    document = small() | {"sections": [{"key": "main"}, {"key": "porch", "name": "Porch"}]}
    document["leg_defaults"]["section"] = "main"
    [problem] = read_plan(document).problems
    assert (problem.sentence, problem.path) == ("Section Porch has no legs; give it some or take it out.", "sections.1")


def test_a_wrong_default_is_told_once_where_it_stands() -> None:
    reading = read_plan(put(small(), "leg_defaults.footing_top", "8x"))
    assert [p.path for p in reading.problems] == ["leg_defaults.footing_top"]
    assert reading.problems[0].sentence.startswith("Defaults for legs, footing top: “8x” is not a length")


def test_all_problems_are_found_at_once() -> None:
    document = put(put(small(), "walks.0.legs.0.length", "x"), "walks.0.legs.3.turn", "y")
    assert [p.path for p in read_plan(document).problems] == ["walks.0.legs.0.length", "walks.0.legs.3.turn"]


# -- hostile files ---------------------------------------------------------------------------------
def test_too_many_legs_are_refused() -> None:
    document = small()
    document["walks"][0]["legs"] = [{"name": f"L{k}", "length": "1-0", "turn": 0} for k in range(201)]
    assert "201 legs (200 in all) are more than the 200 that are accepted" in worst(read_plan(document)).sentence


def test_too_many_parts_are_refused() -> None:
    document = small()
    document["walks"][0]["legs"] = [
        {
            "name": f"L{k}",
            "length": "20-0",
            "turn": 0,
            "steps": [{"at": f"1-{n % 12}", "wall_top": "98-0"} for n in range(40)],
        }
        for k in range(21)
    ]
    problem = [p for p in read_plan(document).problems if "in all" in p.sentence]
    assert problem[0].sentence == "Leg L20: 40 steps (800 parts of legs in all) are more than the 0 that are accepted."


def test_too_long_a_plan_is_refused() -> None:
    document = small()
    document["walks"][0]["legs"] = [{"name": f"L{k}", "length": "900-0", "turn": 0} for k in range(6)]
    assert "at most 5000'-0\" is accepted in one plan" in worst(read_plan(document)).sentence


@pytest.mark.parametrize("value", [10**400, -(10**400), float("nan"), float("inf"), "9" * 10_000, "\x00", {"a": []}])
@pytest.mark.parametrize(
    "path", ["walks.0.legs.0.turn", "walks.0.legs.0.length", "walks.0.legs.0.length_in", "site.frost_depth"]
)
def test_absurd_values_get_a_sentence(path: str, value: Any) -> None:
    reading = read_plan(put(small(), path, value))
    assert reading.plan is None and all(len(p.sentence) < 400 for p in reading.problems)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=20,
)


@given(JSON)
def test_any_json_is_read_without_an_error(document: object) -> None:
    reading = read_plan(document)
    assert reading.plan is None and reading.problems
    trace_walks(document)


def _addresses(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*path, key)
        yield from _addresses(inner, (*path, key))


GOOD = full()
WAYS = list(_addresses(GOOD))
LIKELY = st.sampled_from(
    ["none", "", "0", "-5-0", "12-13", "1/0", "99999 ft", "left", "spur", "ring", "A", "T1", "main", 0, -1]
)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(WAYS), JSON | LIKELY), min_size=1, max_size=3))
def test_a_good_plan_with_bits_broken_is_read_without_an_error(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    """Whatever is broken: a plan that can be taken off, or at least one blocker in words; never an error."""
    document: Any = copy.deepcopy(GOOD)
    for way, value in changes:
        here = document
        for part in way[:-1]:
            try:
                here = here[part]
            except (KeyError, IndexError, TypeError):
                break  # an earlier change took this part away
        else:
            if isinstance(here, dict) or (isinstance(here, list) and isinstance(way[-1], int) and len(here) > way[-1]):
                here[way[-1]] = value
    reading = read_plan(document)
    blocked = any(p.severity is Severity.BLOCKER for p in reading.problems)
    assert (reading.plan is None) == blocked
    assert all(p.sentence for p in reading.problems)
    if reading.plan is not None:
        assert read_plan(write_plan(reading.plan)).plan == reading.plan
    trace_walks(document)


# -- the live trace --------------------------------------------------------------------------------
def test_the_trace_draws_what_can_be_read() -> None:
    document = put(put(small(), "walks.0.legs.1.length", "28-"), "walks.0.legs.3.length", "")
    [(name, drawn)] = trace_walks(document)
    assert name == "house"
    assert [g.name for g in drawn.legs] == ["A", "C"] and drawn.skipped == ("B", "D")


def test_spurs_are_traced_from_the_leg_they_stand_on() -> None:
    traced = dict(trace_walks(write_plan(plans.garage())))
    assert traced["garage"].legs[0].line.start == (480, 36)
    assert traced["garage"].legs[0].heading_deg == 0
    assert traced["garage"].closure is None and traced["house"].closure is not None
