"""One mistake in what all legs have is one sentence, beside the field it was typed into."""

from __future__ import annotations

from jobs.plan_gather import gathered, source_of
from jobs.plan_look import look
from takeoff.plan import Plan
from takeoff.planfile import write_plan
from takeoff.problems import blockers
from tests.takeoff.plans import l_shape


def shared_levels(plan: Plan, **levels: str) -> dict:
    """The plan as a document whose levels are typed once for all legs."""
    document = write_plan(plan)
    for leg in document["walks"][0]["legs"]:
        for name in ("footing_top", "wall_top", "core"):
            typed = leg.pop(name)
            document.setdefault("leg_defaults", {})[name] = typed
    document["leg_defaults"] |= levels
    return document


def test_a_shared_level_is_told_once_where_it_was_typed():
    document = shared_levels(l_shape(), wall_top="40-0")
    wrong = gathered(document, look(document).wrong)
    (top,) = [p for p in wrong if "top of wall" in p.sentence and "footing top" in p.sentence]
    assert top.path == "leg_defaults.wall_top"
    assert top.sentence.startswith("All legs: top of wall 40'-0\"")


def test_a_leg_with_a_level_of_its_own_keeps_its_own_sentence():
    document = shared_levels(l_shape())
    document["walks"][0]["legs"][1]["footing_top"] = "200-0"
    told = gathered(document, look(document).wrong)
    assert any(p.path.startswith("walks.0.legs.1.") and p.leg == "B" for p in told)
    assert not any(p.path.startswith("leg_defaults") for p in told)


def test_what_no_leg_has_is_asked_for_once():
    document = shared_levels(l_shape())
    del document["leg_defaults"]["footing_top"]
    (missing,) = gathered(document, look(document).missing)
    assert missing.path == "leg_defaults.footing_top" and missing.sentence.startswith("All legs: ")


def test_remarks_that_say_the_same_of_several_legs_are_one():
    document = shared_levels(l_shape(), core="4 in")
    seen = look(document)
    assert len([p for p in seen.remarks if "no published table" in p.sentence]) == 6
    (told,) = [p for p in gathered(document, seen.remarks) if "no published table" in p.sentence]
    assert told.sentence.startswith("All legs: ")


def test_nothing_is_lost_and_gathering_again_changes_nothing():
    document = shared_levels(l_shape(), wall_top="40-0")
    once = gathered(document, look(document).wrong)
    assert gathered(document, once) == once
    assert blockers(once) == once


def test_a_section_goes_before_all_legs():
    document = {
        "leg_defaults": {"wall_top": "95-0"},
        "sections": [{"key": "main"}, {"key": "garage", "leg_defaults": {"wall_top": "93-0"}}],
        "walks": [{"legs": [{"name": "A", "section": "main"}, {"name": "B", "section": "garage"}]}],
    }
    assert source_of(document, "walks.0.legs.0.wall_top") == "leg_defaults.wall_top"
    assert source_of(document, "walks.0.legs.1.wall_top") == "sections.1.leg_defaults.wall_top"
    assert source_of(document, "walks.0.legs.1.length") == ""
