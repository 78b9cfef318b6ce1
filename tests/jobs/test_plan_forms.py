"""The plan document as form fields and back: nothing typed is lost, wrong or right."""

from __future__ import annotations

import json

import pytest
from django.conf import settings as project
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs import plan_edits, plan_forms, plan_imports, plan_look
from jobs.exceptions import Refused
from jobs.plan_fields import SPEC, WALKED, Entry, Kind, Shape
from jobs.plan_forms import OTHER, REST, from_fields, to_fields
from jobs.plan_look import look
from jobs.plan_page import PlanPage
from jobs.plan_spec import spec_parts
from takeoff.compute import compute
from takeoff.planfile import read_plan, write_plan
from tests.takeoff.plans import bay, garage, l_shape, ledge, openings, porch_arc, second_ring, stepped, tee, walkout

#: Nothing here asks the database.
pytestmark = pytest.mark.look

EXAMPLES = sorted((project.BASE_DIR / "jobs" / "examples").glob("*.json"))
PLANS = [bay, garage, l_shape, ledge, openings, porch_arc, second_ring, stepped, tee, walkout]

#: Drawing a whole plan document is slow on a busy machine, and that is nobody's fault.
unhurried = settings(suppress_health_check=[HealthCheck.too_slow], deadline=None)

# -- any document a person can type --------------------------------------------------------------------
typed = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=12).filter(str.strip)
numbers = st.one_of(st.integers(-400, 400), st.floats(-400, 400, allow_nan=False), st.just("a few"))
turns = st.sampled_from(["90 left", "right 45", "straight", -90, 37.5, "12.5 right", "somewhere", OTHER])


def _no_number(text: str) -> bool:
    return isinstance(plan_forms._number(text), str)


def _value(entry: Entry) -> st.SearchStrategy:
    if entry.kind is Kind.TURN:
        return turns
    if entry.kind is Kind.FLAG:
        return st.booleans()
    return numbers if entry.kind is Kind.NUMBER else typed


def objects(shape: Shape, deep: int = 4) -> st.SearchStrategy[dict]:
    """Any document of a shape: every field there or not, every list short."""
    fields: dict = {e.name: _value(e) for e in shape.entries}
    for name, part in shape.parts.items():
        fields[name] = objects(part, deep - 1).filter(bool)
    for name, places in shape.word_lists.items():
        fields[name] = st.lists(typed, min_size=1, max_size=places)
    if deep:
        for name, item in shape.lists.items():
            fields[name] = st.lists(objects(item, deep - 1), min_size=1, max_size=2 if deep > 2 else 1)
    return st.fixed_dictionaries({}, optional=fields)


class TestRoundTrip:
    """Document to fields to document."""

    @unhurried
    @given(objects(WALKED))
    def test_any_typed_document_comes_back_as_it_was(self, document):
        assert from_fields(to_fields(document)) == document

    @unhurried
    @given(objects(SPEC))
    def test_any_typed_specification_comes_back_as_it_was(self, document):
        assert from_fields(to_fields(document, SPEC), SPEC) == document

    @given(
        st.recursive(
            st.none() | st.booleans() | st.integers() | typed, lambda x: st.lists(x) | st.dictionaries(typed, x)
        )
    )
    def test_any_json_at_all_goes_through_and_is_settled_after_once(self, value):
        once = from_fields(to_fields({"walks": [{"legs": [{"openings": value, "length": value}], "kind": value}]}))
        assert from_fields(to_fields(once)) == once

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
    def test_examples_say_the_same_after_the_form(self, path):
        document = json.loads(path.read_text())
        again = {**document, **from_fields(to_fields(document))}
        assert read_plan(again) == read_plan(document)

    @pytest.mark.parametrize("make", PLANS, ids=lambda f: f.__name__)
    def test_written_plans_say_the_same_after_the_form(self, make):
        document = write_plan(make())
        again = {**document, **from_fields(to_fields(document)), **from_fields(to_fields(document, SPEC), SPEC)}
        assert read_plan(again).plan == make()

    def test_a_list_of_lengths_is_one_line_of_text(self):
        document = {"spec": {"bars": {"also_stock": ["30-0", "12 m"]}, "assembly": {"marine": False}}}
        fields = to_fields(document, SPEC)
        assert (fields["spec.bars.also_stock"], fields["spec.assembly.marine"]) == ("30-0, 12 m", "false")
        again = from_fields(fields, SPEC)["spec"]
        assert again == {"bars": {"also_stock": "30-0, 12 m"}, "assembly": {"marine": False}}

    def test_what_has_no_field_travels_along(self):
        leg = {"name": "A", "length": 28, "note": "by the oak", "lenght": "28-0", "openings": "two", "_mark": [1]}
        document = {"walks": [{"legs": [leg]}]}
        assert from_fields(to_fields(document)) == document

    def test_a_field_typed_into_goes_before_what_travelled_along(self):
        fields = to_fields({"walks": [{"legs": [{"name": "A", "length": 28}]}]})
        fields["walks.0.legs.0.length"] = "28-0"
        assert from_fields(fields)["walks"][0]["legs"][0]["length"] == "28-0"

    def test_an_object_with_nothing_typed_is_still_there(self):
        document = {"walks": [{"legs": [{}, {"openings": [{}]}]}]}
        assert from_fields(to_fields(document)) == document


class TestReadingFields:
    """What arrives from a browser, or from somebody who is no browser."""

    @pytest.mark.parametrize(
        ("text", "value"),
        [("45", 45), ("-45.5", -45.5), ("1e999", "1e999"), ("NaN", "NaN"), ("4,5", "4,5"), ("−30", -30)],
    )
    def test_numbers_where_they_belong(self, text, value):
        assert from_fields({"walks.0.heading": text, "walks.0._rest": ""})["walks"][0]["heading"] == value

    def test_an_angle_without_a_button(self):
        fields = {"walks.0.legs.0.turn": "other", "walks.0.legs.0.turn_other": "37.5 left"}
        assert from_fields(fields)["walks"][0]["legs"][0]["turn"] == "37.5 left"
        assert to_fields(from_fields(fields))["walks.0.legs.0.turn"] == "other"

    @pytest.mark.parametrize("name", ["walks", "walks.x.legs", "walks.99999999.legs", "a.b.c.d.e", ".", "walks..0", ""])
    def test_odd_names_do_no_harm(self, name):
        assert from_fields({name: "x", "title": "t"}) == {"title": "t"}

    @pytest.mark.parametrize("rest", ["[1]", "{", '{"x": NaN}', '{"x": 1e999}', "[" * 5000, '{"x": "\\u0000"}'])
    def test_what_claims_to_travel_along_is_checked(self, rest):
        assert from_fields({f"walks.0.{REST}": rest}) == {"walks": [{}]}

    def test_numbers_with_a_unit_in_their_name_are_spoken(self):
        leg = {"name": "A", "length_mm": 8650, "core_in": 8, "footing_top_ft": -2.5}
        (spoken,) = plan_forms.spoken({"walks": [{"legs": [leg]}]})["walks"][0]["legs"]
        assert spoken == {"name": "A", "length": "8650 mm", "core": "8 in", "footing_top": "-2.5 ft"}


def put_in(document: dict, **changes: str) -> dict:
    """The document with changes in its first pad."""
    return {**document, "pads": [{**document["pads"][0], **changes}, *document["pads"][1:]]}


class TestButtons:
    """Add, take out, move, copy."""

    document = {
        "sections": [{"key": "main", "name": "Main"}],
        "walks": [{"name": "house", "legs": [{"name": "A", "openings": [{"name": "W1"}]}, {"name": "B"}]}],
    }

    def legs(self, edited) -> list[str]:
        """Names of the legs of the first walk."""
        return [leg["name"] for leg in edited.document["walks"][0]["legs"]]

    @pytest.mark.parametrize(
        ("do", "names", "at"),
        [
            ("add:walks.0.legs", ["A", "B", "C"], "walks.0.legs.2"),
            ("after:walks.0.legs.0", ["A", "C", "B"], "walks.0.legs.1"),
            ("copy:walks.0.legs.0", ["A", "C", "B"], "walks.0.legs.1"),
            ("up:walks.0.legs.1", ["B", "A"], "walks.0.legs.0"),
            ("down:walks.0.legs.1", ["A", "B"], "walks.0.legs.1"),
            ("remove:walks.0.legs.0", ["B"], "walks.0.legs"),
        ],
    )
    def test_legs(self, do, names, at):
        edited = plan_edits.edit(self.document, do)
        assert (self.legs(edited), edited.at) == (names, at)
        assert self.document["walks"][0]["legs"][0]["name"] == "A"  # the old one is untouched

    def test_a_copied_leg_has_openings_with_names_of_their_own(self):
        edited = plan_edits.edit(self.document, "copy:walks.0.legs.0")
        assert [leg["openings"][0]["name"] for leg in edited.document["walks"][0]["legs"][:2]] == ["W1", "W2"]

    @pytest.mark.parametrize("name", ["openings", "steps", "ledges", "beam_pockets"])
    def test_parts_of_a_leg(self, name):
        edited = plan_edits.edit(self.document, f"add:walks.0.legs.1.{name}")
        assert len(edited.document["walks"][0]["legs"][1][name]) == 1
        assert edited.at == f"walks.0.legs.1.{name}.0"

    def test_pads_are_added_copied_and_taken_out(self):
        one = plan_edits.edit(self.document, "add:pads")
        assert (one.document["pads"], one.at) == ([{"name": "F1"}], "pads.0")
        two = plan_edits.edit(put_in(one.document, length="3-0"), "copy:pads.0")
        assert two.document["pads"] == [{"name": "F1", "length": "3-0"}, {"name": "F2", "length": "3-0"}]
        out = plan_edits.edit(two.document, "remove:pads.0")
        assert (out.said, out.taken["name"]) == ("Pad F1 is taken out.", "F1")
        assert plan_edits.put_back(out.document, "pads", 0, out.taken).document == two.document
        with pytest.raises(Refused, match="60 pads already"):
            plan_edits.edit({"pads": [{"name": str(n)} for n in range(60)]}, "add:pads")

    def test_a_spur_and_a_ring_come_with_a_first_leg(self):
        for verb, kind in (("spur", "spur"), ("ring", "ring")):
            walk = plan_edits.edit(self.document, f"{verb}:walks").document["walks"][1]
            assert (walk["kind"], [leg["name"] for leg in walk["legs"]]) == (kind, ["C"])

    def test_what_is_taken_out_can_be_put_back_where_it_was(self):
        edited = plan_edits.edit(self.document, "remove:walks.0.legs.0")
        back = plan_edits.put_back(edited.document, "walks.0.legs", 0, edited.taken)
        assert back.document == self.document

    @pytest.mark.parametrize(
        "do",
        [
            "remove:walks.7.legs.0",
            "remove:title",
            "add:title",
            "add:walks.0.legs.0.name",
            "fly:walks.0",
            "up:walks.x",
            ":",
        ],
    )
    def test_anything_else_is_refused(self, do):
        with pytest.raises(Refused):
            plan_edits.edit(self.document, do)

    def test_there_is_an_end_to_legs(self):
        full = {"walks": [{"name": "house", "legs": [{"name": str(n)} for n in range(200)]}]}
        with pytest.raises(Refused, match="200 legs already"):
            plan_edits.edit(full, "add:walks.0.legs")


class TestFiles:
    """Plan files from outside, kind and unkind."""

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
    def test_an_example_is_read(self, path):
        assert read_plan(plan_imports.read_file(path.read_bytes())) == read_plan(json.loads(path.read_text()))

    @pytest.mark.parametrize(
        ("content", "sentence"),
        [
            (b"", "not a JSON file"),
            (b"\xff\xfe\x00", "not text"),
            (b"<svg onload=alert(1)>", "not a JSON file"),
            (b"[1]", "holds no plan"),
            (b'{"schema": "other"}', "“schema” must be"),
            (b'{"schema": "wall-walk", "version": 2}', "another version"),
            (b'{"schema": "wall-walk", "version": true}', "another version"),
            (b'{"schema": "wall-walk", "version": 1, "walks": NaN}', "finite"),
            (b'{"schema": "wall-walk", "version": 1, "walks": [{"legs": [{"length_ft": 1e999}]}]}', "too large"),
            (
                b'{"schema": "wall-walk", "version": 1, "walks": [{"legs": [{"length_ft": ' + b"9" * 400 + b"}]}]}",
                "too large",
            ),
            (b'{"schema": "wall-walk", "version": 1, "walks": [{"legs": ' + b"[" * 900 + b"]" * 900 + b"}]}", "deeply"),
            (b"[" * 200_000, "deeply"),
            (b'{"schema": "wall-walk", "version": 1, "title": "\\u0000", "walks": []}', "cannot be shown"),
            (b'{"schema": "wall-walk", "version": 1, "title": "\\ud800", "walks": []}', "cannot be shown"),
            (b'{"schema": "wall-walk", "version": 1, "title": "' + b"x" * 3000 + b'", "walks": []}', "3000 characters"),
            (b'{"schema": "wall-walk", "version": 1, "walks": "none"}', "not a list"),
            (b'{"schema": "wall-walk", "version": 1, "walks": [{"legs": [1]}]}', "no list of legs"),
            (b'{"schema": "wall-walk", "version": 1, "walks": [], "sections": {}}', "must be a list"),
            (b'{"schema": "wall-walk", "version": 1, "walks": [], "pads": [' + b"{}," * 60 + b"{}]}", "at most 60"),
            (b" " * 1_000_001, "1,000,001 bytes"),
        ],
    )
    def test_hostile_files_are_refused_in_a_sentence(self, content, sentence):
        with pytest.raises(plan_imports.NotAPlan, match=sentence):
            plan_imports.read_file(content)

    def test_too_many_legs_are_refused(self):
        document = {"schema": "wall-walk", "version": 1, "walks": [{"legs": [{}] * 201}]}
        with pytest.raises(plan_imports.NotAPlan, match="201 legs"):
            plan_imports.read_text(json.dumps(document))


class TestLook:
    """The plan looked at while it is typed."""

    def test_what_is_missing_is_not_called_wrong(self):
        seen = look({"schema": "wall-walk", "version": 1, "walks": [{"name": "house", "legs": [{"name": "A"}]}]})
        assert not seen.wrong and seen.missing and not seen.ready

    def test_what_is_wrong_is_told_beside_its_field(self):
        document = write_plan(l_shape())
        document["walks"][0]["legs"][2]["length"] = "16-14"
        seen = look(document)
        page = PlanPage(document, seen, systems=[])
        (leg,) = [leg for leg in page.walks()[0].legs if leg.wrong]
        assert "12 in or more after the feet" in leg.length.errors[0]
        assert (page.told(seen.wrong)[0].href) == "#at-walks-0-legs-2-length"
        assert leg.length.value == "16-14"

    def test_a_ring_that_misses_is_told_with_length_and_direction(self):
        document = write_plan(l_shape())
        document["walks"][0]["legs"][0]["length"] = "41-0"
        (closure,) = look(document).closures
        assert closure.verdict == "correct" and "1'-0\"" in closure.sentence and "west" in closure.sentence

    @unhurried
    @given(objects(WALKED))
    def test_nothing_typed_can_break_the_page(self, document):
        page = PlanPage(document, look({"schema": "wall-walk", "version": 1, **document}), systems=[])
        assert len(page.walks()) == len(document.get("walks", []))
        assert json.loads(page.live())["bare"] in ("in", "ft", "mm", "m")

    def test_an_empty_field_shows_what_it_inherits(self):
        document = {
            "leg_defaults": {"footing_top": "86-0", "wall_top": "98-0"},
            "sections": [{"key": "a", "leg_defaults": {"wall_top": "94-0"}}, {"key": "b"}],
            "walks": [{"legs": [{"name": "A", "section": "a"}, {"name": "B", "section": "b"}]}],
        }
        page = PlanPage(document, look(document), systems=[], site_grade="97-0")
        shown = [{f.entry.name: f.placeholder for f in leg.levels} for leg in page.walks()[0].legs]
        assert [levels["wall_top"] for levels in shown] == ["94-0", "98-0"]
        assert [levels["footing_top"] for levels in shown] == ["86-0", "86-0"]
        assert [levels["grade_outside"] for levels in shown] == ["97-0", "97-0"]

    def test_a_closed_leg_is_one_line(self):
        document = json.loads(EXAMPLES[0].read_text())
        page = PlanPage(document, look(document), systems=[])
        assert page.summary({"name": "C", "length": "24-8", "turn": 90}).startswith("C · 24'-8\" · left 90")
        assert "arc R 6'-0\", 180°" in page.summary({"name": "K", "radius": "6-0", "sweep": 180})

    def test_what_is_wrong_with_a_step_as_a_whole_stands_in_it(self):
        document = write_plan(l_shape())
        document["walks"][0]["legs"][0]["steps"] = [{"at": "8-0"}]
        page = PlanPage(document, look(document), systems=[])
        (step,) = page.walks()[0].legs[0].groups[1].parts
        assert "changes no level" in step.errors[0]
        assert "at-walks-0-legs-0-steps-0" in json.loads(page.live())["errors"]

    def test_what_is_wrong_with_a_pad_is_told_beside_its_field(self):
        document = write_plan(l_shape())
        document["pads"] = [{"name": "F1", "length": "3-0", "width": "3-0", "thickness": "6", "top": "85-0"}]
        page = PlanPage(document, look(document), systems=[])
        (pad,) = page.pad_parts()
        said = {f.entry.name: f.errors for f in pad.fields if f.errors}
        assert set(said) == {"thickness"} and "has no room for its bars" in said["thickness"][0]
        assert (page.told(page.look.wrong)[0].href) == "#at-pads-0-thickness"
        assert {f.entry.name: f.placeholder for f in pad.fields}["bars_each_way"] == "3"

    def test_the_section_of_a_pad_is_asked_where_there_are_several(self):
        document = {"sections": [{"key": "a"}, {"key": "b"}], "pads": [{"name": "F1"}]}
        (pad,) = PlanPage(document, look(document), systems=[]).pad_parts()
        (section,) = [f for f in pad.fields if f.entry.name == "section"]
        assert [c.value for c in section.choices] == ["", "a", "b"]
        document["sections"].pop()
        (pad,) = PlanPage(document, look(document), systems=[]).pad_parts()
        assert "section" not in {f.entry.name for f in pad.fields}

    def test_what_is_not_said_of_the_building_is_shown_as_that(self):
        shown = {f.path: f.placeholder for part in spec_parts(PlanPage({}, look({}), systems=[])) for f in part.fields}
        unsaid = ("spec.building.stories", "spec.building.width", "spec.building.snow_psf", "spec.braces.owned")
        assert {shown[path] for path in (*unsaid, "spec.assembly.climate_zone")} == {"not said"}
        assert (shown["spec.bars.also_stock"], shown["spec.layout.buck"]) == ("none", '0"')

    def test_every_field_of_the_specification_is_called_as_a_person_would(self):
        parts = spec_parts(PlanPage({}, look({}), systems=[]))
        labels = [(part.title, f.label) for part in parts for f in part.fields]
        assert len(labels) == len(set(labels))
        assert not [label for _, label in labels if "_" in label or label.endswith(("psf", "pcf", "percent"))]
        words = [c.label for part in parts for f in part.fields for c in f.choices]
        assert words and not [word for word in words if "_" in word]

    def test_a_ring_on_its_way_round_is_not_called_wrong(self):
        document = write_plan(l_shape())
        del document["walks"][0]["legs"][4:]
        seen = look(document)
        assert not seen.wrong
        (missing,) = seen.missing
        assert "degrees are missing" in missing.sentence

    def test_what_would_stop_the_takeoff_is_told_while_walking(self, monkeypatch):
        def broken(*plan_and_way):
            raise ValueError("a defect")

        monkeypatch.setattr(plan_look, "compute", broken)
        plan_look.found_by_takeoff.cache_clear()
        seen = look(write_plan(l_shape()))
        plan_look.found_by_takeoff.cache_clear()
        assert "takeoff of this plan breaks" in seen.wrong[0].sentence and not seen.ready

    def test_what_a_revision_would_tell_is_told_while_walking(self):
        document = json.loads(EXAMPLES[0].read_text())
        reading = read_plan(document)
        assert set(look(document).remarks) == set(compute(reading.plan).problems)
