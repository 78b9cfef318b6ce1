"""The written drawing: canonical, self-contained, readable by those who cannot see it, tappable where it leads on."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.scene import Hatch, Line, Link, Path, Scene, Stroke, Text
from takeoff.drawings.svg import TOUCH, number, render, safe_id
from takeoff.drawings.tracker import tracker
from tests.takeoff import plans
from tests.takeoff.drawings.samples import house

NS = "{http://www.w3.org/2000/svg}"


def scene(*shapes, **changes):
    return Scene("A wall", "One wall seen from above.", shapes or (Line(0, 0, 100, 0),), **changes)


def elements(svg: str):
    return list(ET.fromstring(svg).iter())


def test_same_scene_gives_the_same_string() -> None:
    assert render(plan_view(house()), 600) == render(plan_view(house()), 600)


def test_screen_and_paper_differ_only_in_the_size_on_the_first_tag() -> None:
    screen, paper = render(plan_view(house()), 720, "px"), render(plan_view(house()), 540, "pt")
    assert screen.split(">", 1)[1] == paper.split(">", 1)[1]
    assert 'width="720"' in screen and 'width="540pt"' in paper


def test_presentation_attributes_only_and_sorted() -> None:
    svg = render(tracker(house(), {}, 720, detail=True), 720, link=lambda key: f"/go/{key}")
    for element in elements(svg):
        assert not {"class", "style"} & set(element.attrib)
        assert list(element.attrib) == sorted(element.attrib)
    assert "<style" not in svg and "var(" not in svg and "currentColor" not in svg


def test_every_id_and_reference_carries_the_key_of_the_drawing() -> None:
    svg = render(plan_view(house(), key="lot 4/plan"), 600)
    ids = {e.get("id") for e in elements(svg)} - {None}
    assert ids and all(i == "lot-4-plan" or i.startswith("lot-4-plan-") for i in ids)
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= ids


def test_text_is_escaped() -> None:
    svg = render(scene(Text(0, 0, '<b>"&')), 200)
    assert "<b>" not in svg
    assert [e.text for e in elements(svg) if e.tag == NS + "text"] == ['<b>"&']


def test_title_and_description_name_the_picture() -> None:
    root = ET.fromstring(render(scene(key="k"), 200))
    assert root.get("role") == "img" and root.get("aria-labelledby") == "k-title k-desc"
    assert root.find(NS + "title").text == "A wall"
    assert root.find(NS + "desc").text == "One wall seen from above."


def test_paper_lies_under_everything() -> None:
    root = ET.fromstring(render(scene(), 200))
    rect = next(e for e in root if e.tag == NS + "rect")
    _, _, width, height = root.get("viewBox").split()
    assert (rect.get("width"), rect.get("height"), rect.get("fill")) == (width, height, "#fbf8f1")


def test_neighbouring_lines_of_one_pen_share_a_path() -> None:
    lines = [Line(0, y, 100, y, Stroke.JOINT) for y in range(50)]
    paths = [e for e in elements(render(scene(*lines), 200)) if e.tag == NS + "path"]
    assert len(paths) == 1 and paths[0].get("d").count("M") == 50


def test_only_the_patterns_in_use_are_written() -> None:
    box = ((0, 0), (9, 0), (9, 9), (0, 9))
    svg = render(scene(Path(box, closed=True, hatch=Hatch.GRAVEL), key="k"), 200)
    assert [e.get("id") for e in elements(svg) if e.tag == NS + "pattern"] == ["k-gravel"]


def test_a_bend_to_the_left_is_drawn_against_the_clock() -> None:
    half_circle = Path(((0, 0), (10, 0)), (1.0,))
    d = next(e.get("d") for e in elements(render(scene(half_circle, scale_pt_per_in=1.0), 200)) if e.tag == NS + "path")
    assert d == "M0 0A5 5 0 0 0 10 0"


LINK = Link("main/footing", "Footing, main: held", (Path(((0, 0), (9, 0), (9, 4), (0, 4)), closed=True),))


def test_a_resolved_link_is_an_anchor_with_a_thumb_sized_area() -> None:
    root = ET.fromstring(render(scene(LINK, scale_pt_per_in=1.0), 200, link=lambda key: f"/parts/{key}"))
    (anchor,) = [e for e in root.iter() if e.tag == NS + "a"]
    assert anchor.get("href") == "/parts/main/footing" and anchor.get("aria-label") == "Footing, main: held"
    (area,) = [e for e in anchor if e.tag == NS + "rect"]
    assert float(area.get("width")) >= TOUCH == 33 and float(area.get("height")) >= TOUCH
    assert area.get("fill-opacity") == "0"
    assert root.get("role") == "group", "links within an image would be hidden from a screen reader"


@pytest.mark.parametrize("resolver", [None, lambda key: None])
def test_an_unresolved_link_is_a_plain_group(resolver) -> None:
    svg = render(scene(LINK), 200, link=resolver)
    assert "<a " not in svg and "Footing, main: held" in svg


@pytest.mark.parametrize("name", plans.SAMPLES)
@pytest.mark.parametrize("width", [340, 760])
def test_a_drawing_fits_the_width_it_is_given(name, width) -> None:
    root = ET.fromstring(render(plan_view(plans.SAMPLES[name]()), width))
    assert float(root.get("width")) == pytest.approx(width, abs=0.5)


def test_height_limits_the_scale() -> None:
    root = ET.fromstring(render(plan_view(plans.rectangle()), 760, height=300))
    assert float(root.get("height")) <= 301 and float(root.get("width")) == 760


def test_a_scene_is_not_drawn_larger_than_its_own_scale() -> None:
    d = [
        e.get("d") for e in elements(render(scene(Line(0, 0, 10, 0), scale_pt_per_in=2.0), 600)) if e.tag == NS + "path"
    ]
    assert d == ["M0 0L20 0"]


@pytest.mark.parametrize(
    ("value", "text"), [(1.0, "1"), (0.5, "0.5"), (2.005, "2"), (-0.001, "0"), (12.3456, "12.35"), (100.0, "100")]
)
def test_numbers_are_trimmed(value, text) -> None:
    assert number(value) == text


@pytest.mark.parametrize(("key", "safe"), [("plan", "plan"), ("4 a/b", "d-4-a-b"), ("", "drawing"), ("ü", "drawing")])
def test_keys_become_ids(key, safe) -> None:
    assert safe_id(key) == safe
