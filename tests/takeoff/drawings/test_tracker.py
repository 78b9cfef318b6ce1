"""The section that tracks a house: levels to scale, a part per stage, states told by line, hatch and word."""

from __future__ import annotations

from itertools import combinations

import pytest
from shapely.geometry import Polygon

from takeoff.drawings.cut import wall_cut
from takeoff.drawings.scene import Hatch, Link, Path, Stroke, Text
from takeoff.drawings.svg import TOUCH, render
from takeoff.drawings.tracker import PartState, section_cuts, tracker
from takeoff.drawings.tracker_parts import Bench, Heights, parts_of
from takeoff.drawings.tracker_states import LOOKS, MATERIALS, PART_NAMES, SHORT_NAMES, URGENCY, most_urgent
from takeoff.plan import Stage
from tests.takeoff import plans
from tests.takeoff.drawings.samples import house

BENCH = Bench(wall=12, toe=4, strip=5, fill=12, slope=9, inside=18, between=26)


def links(scene) -> dict[str, Link]:
    return {s.key: s for s in scene.shapes if isinstance(s, Link)}


def every(state: PartState) -> dict[tuple[str, Stage], PartState]:
    return {(section, stage): state for section in ("main", "garage", "porch") for stage in Stage}


@pytest.mark.parametrize("detail", [False, True])
def test_there_is_one_part_for_each_stage_of_each_section(detail) -> None:
    parts = links(tracker(house(), {}, 720, detail=detail))
    main = {f"main/{stage.value}" for stage in Stage}
    garage = {f"garage/{stage}" for stage in ("footing", "frost_wall", "frost_backfill")}
    assert set(parts) == main | garage


def test_a_part_says_what_it_is_and_how_far() -> None:
    scene = tracker(house(), {("main", Stage.FROST_WALL): PartState.HELD})
    assert links(scene)["main/frost_wall"].title == "Frost wall, Main basement: held"
    assert "frost wall held" in scene.description and "footing planned" in scene.description


def test_no_two_states_look_alike_and_each_has_a_word() -> None:
    assert set(LOOKS) == set(PartState) == set(URGENCY)
    looks = [(look.stroke, look.hatch, look.wash) for look in LOOKS.values()]
    assert len(set(looks)) == len({look.stroke for look in LOOKS.values()}) == 7
    assert len({state.value for state in PartState}) == 7


def test_only_what_is_rejected_uses_the_accent() -> None:
    assert [state for state, look in LOOKS.items() if look.warn] == [PartState.REJECTED]


def test_every_stage_has_names_and_a_material() -> None:
    assert set(PART_NAMES) == set(SHORT_NAMES) == set(MATERIALS) == set(Stage)


def test_planned_is_dashed_and_empty_released_is_hatched_with_its_material() -> None:
    planned = links(tracker(house(), {}))["main/footing"].shapes[0]
    released = links(tracker(house(), every(PartState.RELEASED)))["main/footing"].shapes[0]
    assert (planned.stroke, planned.hatch) == (Stroke.PLANNED, Hatch.NONE)
    assert (released.stroke, released.hatch, released.wash) == (Stroke.VISIBLE, Hatch.CONCRETE, False)
    buried = links(tracker(house(), every(PartState.BURIED)))["main/footing"].shapes[0]
    assert buried.wash and buried.hatch is Hatch.CONCRETE


@pytest.mark.parametrize("name", ["garage", "walkout", "stepped", "rectangle"])
def test_parts_of_a_wall_never_overlap(name) -> None:
    plan = plans.SAMPLES[name]()
    for leg in plan.legs():
        cut = wall_cut(plan, leg)
        heights = Heights(cut.top, cut.footing_bottom, 0.6)
        solids = [Polygon(p) for shapes in parts_of(cut, BENCH, heights, 18).values() for p in shapes]
        assert all(solid.is_valid for solid in solids)
        for one, other in combinations(solids, 2):
            assert one.intersection(other).area == pytest.approx(0, abs=1e-9)


def test_levels_are_to_one_scale_for_all_sections() -> None:
    parts = links(tracker(house(), {}))

    def extent(key):
        ys = [y for shape in parts[key].shapes if isinstance(shape, Path) for _, y in shape.points]
        return min(ys), max(ys)

    main, garage = extent("main/frost_wall"), extent("garage/frost_wall")
    scale = (main[1] - main[0]) / 48  # 86'-0" to 90'-0"
    assert (garage[1] - garage[0]) / scale == pytest.approx(56)  # 92'-8" to 97'-4"
    assert (garage[0] - main[0]) / scale == pytest.approx(80)  # the garage footing stands 6'-8" higher


def test_two_walls_face_each_other_and_a_garage_stands_alone() -> None:
    plan = house()
    main, garage = (section_cuts(plan, section) for section in plan.sections)
    assert main.right is not None and garage.right is None
    assert main.left.footing_top == 86 * 12
    assert main.right.grade_outside == 90 * 12, "the walk-out side is the one worth seeing"


def test_the_most_urgent_part_is_named_first() -> None:
    cut = section_cuts(house(), house().sections[0])
    states = every(PartState.BURIED) | {
        ("main", Stage.FULL_WALL): PartState.READY,
        ("main", Stage.FOOTING): PartState.HELD,
    }
    assert most_urgent(cut, states) == (Stage.FOOTING, PartState.HELD)
    states[("main", Stage.WATERPROOFING)] = PartState.REJECTED
    assert most_urgent(cut, states) == (Stage.WATERPROOFING, PartState.REJECTED)


@pytest.mark.parametrize(
    ("state", "words"), [(PartState.BURIED, "all parts: buried"), (PartState.READY, "Footing: ready")]
)
def test_the_small_drawing_puts_the_state_in_words(state, words) -> None:
    scene = tracker(plans.rectangle(), every(state))
    assert words in [s.text for s in scene.shapes if isinstance(s, Text)]


def test_every_row_of_the_large_drawing_is_a_thumb_high() -> None:
    for link in links(tracker(house(), {}, 720, detail=True)).values():
        frames = [
            s for s in link.shapes if isinstance(s, Path) and s.stroke is None and s.hatch is Hatch.NONE and s.closed
        ]
        heights = [max(y for _, y in f.points) - min(y for _, y in f.points) for f in frames]
        assert max(heights) >= TOUCH


@pytest.mark.parametrize("width", [280, 340, 390])
@pytest.mark.parametrize("name", ["rectangle", "garage", "walkout", "second_ring"])
@pytest.mark.parametrize("detail", [False, True])
def test_it_is_drawn_at_the_size_it_was_made_for(width, name, detail) -> None:
    """Text keeps its size: the drawing is laid out for the width, not shrunk to it."""
    svg = render(tracker(plans.SAMPLES[name](), {}, width, detail=detail), width)
    assert f'width="{width}"' in svg
    assert 'font-size="8"' in svg
