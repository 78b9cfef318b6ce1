"""What is left to an engineer is told at the points that look at it."""

from __future__ import annotations

from inspections import engineer
from inspections.stages import STAGES
from jobs.engine_json import to_plain
from jobs.frozen import Frozen
from takeoff.plan import Stage
from takeoff.problems import About, Problem, Severity

LINTEL = Problem(Severity.ENGINEER, "Lintel.", "", "A", About.LINTELS, Stage.FULL_WALL, ("A", "C"))
SAID = (
    LINTEL,
    Problem(Severity.ENGINEER, "Footing.", about=About.FOOTING),
    Problem(Severity.ENGINEER, "Core.", leg="B"),
    Problem(Severity.WARNING, "A warning.", about=About.LINTELS),
)


def told(stage, point, legs=("A", "B", "C"), problems=SAID):
    return engineer.sentences(Frozen((), (), (), tuple(to_plain(problems))), stage, (point,), legs)


def test_a_lintel_is_told_at_the_steel_of_its_wall_and_nowhere_else():
    found = {
        point.key
        for stage in STAGES
        for point in stage.points
        if "Lintel." in told(stage.kind, point.key, ("A", "B", "C"))
    }
    assert found == {"wall_steel"}
    assert told(Stage.FULL_WALL, "wall_steel", "C") == ("Lintel.",)
    assert told(Stage.FULL_WALL, "wall_steel", "B") == ("Core.",)


def test_every_topic_has_a_point_of_the_process():
    keys = {point.key for stage in STAGES for point in stage.points}
    assert set(engineer.LOOKED_AT) == set(About) - {About.ANYTHING}
    assert all(set(points) <= keys for points in engineer.LOOKED_AT.values())


def test_what_was_locked_without_a_topic_is_told_everywhere():
    known = ("severity", "sentence", "path", "leg")
    old = tuple({key: row[key] for key in known} for row in to_plain(SAID))
    assert engineer.sentences(Frozen((), (), (), old), Stage.FOOTING, ("hole",), "A") == ("Lintel.", "Footing.")
