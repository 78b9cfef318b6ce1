"""The picture of ten days: every answer by hatch and word, the same in words for those who cannot see it."""

from __future__ import annotations

from datetime import datetime
from xml.etree import ElementTree as ET

import pytest

from takeoff.drawings.scene import Hatch, Path, Stroke, Symbol, Text
from takeoff.drawings.svg import render
from takeoff.drawings.ten_days import HATCHES, STOPPED, ten_days
from takeoff.weather.decide import CAUTION, Verdict, rules_306r
from takeoff.weather.windows import Readiness, TenDays, decide_ten_days
from tests.takeoff.weather.given import CHICAGO, steady, winter

RULES = rules_306r(8)


def answer(start=datetime(2027, 1, 4, tzinfo=CHICAGO), **ready) -> TenDays:
    stands = Readiness(**({"covers": True, "concrete_f": 62, "base_kept_warm": True} | ready))
    return decide_ten_days(winter(), stands, RULES, start)


def boxes(scene):
    return [s for s in scene.shapes if isinstance(s, Path) and s.hatch not in (Hatch.NONE, Hatch.PAPER)]


def words(scene):
    return [s.text for s in scene.shapes if isinstance(s, Text)]


def test_a_strip_a_day_and_each_run_of_hours_hatched_by_its_answer() -> None:
    found = answer()
    scene = ten_days(found, 720)
    runs = 1 + sum(
        a.at.date() != b.at.date() or (a.verdict, a.rule) != (b.verdict, b.rule)
        for a, b in zip(found.decisions, found.decisions[1:], strict=False)
    )
    assert len(boxes(scene)) == runs
    assert {b.hatch for b in boxes(scene)} == {HATCHES[d.verdict] for d in found.decisions}
    assert [w for w in words(scene) if w.endswith(("4", "13")) and w.startswith(("Mon", "Wed"))] == [
        "Mon Jan 4",
        "Wed Jan 13",
    ]


def test_answers_differ_by_hatch_not_by_colour_alone() -> None:
    assert len(set(HATCHES.values())) == len(Verdict)


def test_every_rule_that_stops_has_its_word() -> None:
    stopped = {"forecast", "frozen", "snow", "base", "wind", "gust", "line", "concrete", "covers", "heat", "beyond"}
    assert set(STOPPED) == stopped


def test_reasons_are_said_below_and_in_the_description() -> None:
    scene = ten_days(answer(), 720)
    assert any("Heat is not on site" in w for w in words(scene))
    assert "Heat is not on site: lowest -9 °F Thu Jan 7, 7:00 am" in scene.description
    assert scene.description.startswith("Rules: ACI 306R, 8 in section.")


def test_best_windows_are_outlined_and_numbered() -> None:
    found = answer()
    scene = ten_days(found, 720)
    numbers = [s.text for s in scene.shapes if isinstance(s, Symbol)]
    assert sorted(numbers) == [str(n + 1) for n in range(len(found.windows))] and numbers
    assert sum(isinstance(s, Path) and s.stroke is Stroke.HEAVY for s in scene.shapes) == len(found.windows)
    assert f"Window 1: {found.windows[0].start:%a %b} 11, 7:00 am to 5:00 pm" in scene.description


def test_no_window_is_said() -> None:
    assert "No window is long enough." in ten_days(answer(concrete_f=None), 720).description


def test_days_of_23_and_25_hours_fill_their_strip() -> None:
    for start in (datetime(2027, 11, 6, tzinfo=CHICAGO), datetime(2027, 3, 13, tzinfo=CHICAGO)):
        found = decide_ten_days(steady([50.0] * 330, start), Readiness(concrete_f=60), RULES, start)
        first_three = boxes(ten_days(found, 720))[:3]
        lefts, rights = zip(*((b.points[0][0], b.points[1][0]) for b in first_three), strict=True)
        assert max(lefts) == pytest.approx(min(lefts)) and max(rights) == pytest.approx(min(rights))


@pytest.mark.parametrize("width", [390, 720])
def test_it_fits_the_sheet(width) -> None:
    root = ET.fromstring(render(ten_days(answer(), width), width))
    assert float(root.get("viewBox").split()[2]) == pytest.approx(width * 0.75, abs=1)
    assert float(root.get("width")) == pytest.approx(width, abs=1)


def test_the_caution_stands_below_and_at_the_end_of_the_description() -> None:
    scene = ten_days(answer(), 390)
    assert CAUTION in " ".join(words(scene)) and scene.description.endswith(CAUTION)
