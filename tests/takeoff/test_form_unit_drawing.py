"""Units of a form system to scale."""

import itertools

import pytest

from takeoff.drawings.form_unit import form_unit
from takeoff.drawings.scene import Dimension, Line, Path
from takeoff.drawings.svg import render
from takeoff.forms import GENERIC_16, GENERIC_18, GENERIC_SYSTEMS


@pytest.mark.parametrize("system", GENERIC_SYSTEMS, ids=lambda s: s.key)
def test_drawn_to_the_sizes_it_says(system):
    scene = form_unit(system)
    face = next(s for s in scene.shapes if isinstance(s, Path))
    assert max(x for x, _ in face.points) == system.length.inch
    assert max(y for _, y in face.points) == system.face_height.inch
    for shape in scene.shapes:
        if isinstance(shape, Dimension):
            drawn = abs(shape.x1 - shape.x0) + abs(shape.y1 - shape.y0)
            assert shape.text == f'{drawn:g}"'


@pytest.mark.parametrize(("system", "webs"), [(GENERIC_16, 8), (GENERIC_18, 6)], ids=lambda v: getattr(v, "key", v))
def test_webs_stand_at_their_spacing_and_in_the_middle(system, webs):
    xs = [s.x0 for s in form_unit(system).shapes if isinstance(s, Line)]
    assert len(xs) == webs
    assert {round(b - a, 6) for a, b in itertools.pairwise(xs)} == {system.web_spacing.inch}
    assert xs[0] == pytest.approx(system.length.inch - xs[-1])


@pytest.mark.parametrize("width", [320, 640])
def test_written_on_a_phone_and_on_a_desk(width):
    svg = render(form_unit(GENERIC_18), width)
    assert svg.startswith("<svg")
    assert "Corner, 10" in svg
