"""The gate, case by case: what holds an operation on a leg, and in what words."""

import re
from dataclasses import replace

import pytest

from inspections import gates
from inspections.stages import DEFAULT_ORDER
from takeoff.plan import Stage
from tests.inspections.history import History, codes
from tests.inspections.world import FULL, changed, facts, leg

F, W, B = Stage.FOOTING, Stage.FROST_WALL, Stage.FROST_BACKFILL
FULL_WALL, PROOF, FILL = Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL


def why(history: History, stage, operation: str, *legs: str) -> list[str]:
    """What holds the operation on the legs."""
    ledger = history.ledger
    return codes(gates.gate(ledger, history.row(stage), history.operation(stage, operation), legs).reasons)


def one_leg(**changes) -> History:
    """A house of one leg with frost wall and full-height wall."""
    return History(facts([leg("A", **changes)]))


def before_pour() -> History:
    """The footing of one leg ready to be poured."""
    history = one_leg()
    history.through(F, "A", until="pour_footing")
    return history


def before_fill(*but: str, **changes) -> History:
    """One leg waiting only for its final backfill, without the points named."""
    history = one_leg(**changes)
    for stage in DEFAULT_ORDER[:-1]:
        history.through(stage, "A")
    history.through(FILL, "A", until="fill_full_wall", but=but)
    return history


def test_without_a_plan_nothing_goes_on():
    history = History()
    history.facts = None
    assert why(history, F, "pour_footing", "A") == ["no_plan pour_footing house"]


def test_a_new_house_says_all_that_its_first_pour_waits_for():
    assert why(one_leg(), F, "pour_footing", "A") == [
        "waiting permit house",
        "waiting stakes A",
        "waiting hole A",
        "waiting under_footing A",
        "waiting electrode house",
        "not_told footing_dowels A",
        "waiting footing_steel A",
    ]


def test_with_every_release_the_pour_goes_on():
    assert why(before_pour(), F, "pour_footing", "A") == []


def _presented(h: History) -> None:
    h.present(F, "hole", "A")


def _rejected(h: History) -> None:
    h.reject(h.present(F, "hole", "A"))


def _corrected(h: History) -> None:
    h.close(h.reject(h.present(F, "hole", "A")))


def _presented_again(h: History) -> None:
    _corrected(h)
    h.present(F, "hole", "A")


def _released_again(h: History) -> None:
    _corrected(h)
    h.passed(F, "hole", "A")


def _rejected_after_release(h: History) -> None:
    h.reject(h.passed(F, "hole", "A"))


def _void(h: History) -> None:
    h.passed(F, "hole", "A")
    h.revise(changed(h.facts, "A"))


def _outdated(h: History) -> None:
    h.present(F, "hole", "A")
    h.revise(changed(h.facts, "A"))


def _other_stage_changed(h: History) -> None:
    h.passed(F, "hole", "A")
    h.revise(changed(h.facts, "A", stages=[FULL_WALL]))


@pytest.mark.parametrize(
    ("happened", "held"),
    [
        (lambda h: None, "waiting"),
        (_presented, "presented"),
        (_rejected, "rejected"),
        (_corrected, "corrected"),
        (_presented_again, "presented"),
        (_released_again, None),
        (_rejected_after_release, "rejected"),
        (_void, "void"),
        (_outdated, "outdated"),
        (_other_stage_changed, None),
    ],
    ids=lambda x: getattr(x, "__name__", x),
)
def test_a_hold_point_holds_until_it_is_released_on_the_plan_in_force(happened, held):
    history = one_leg()
    history.through(F, "A", until="pour_footing", but=["hole"])
    happened(history)
    found = [code for code in why(history, F, "pour_footing", "A") if " hole " in code]
    assert found == ([f"{held} hole A"] if held else [])


def _told(h: History) -> None:
    h.present(F, "footing_dowels", "A")


def _told_and_rejected(h: History) -> None:
    h.reject(h.present(F, "footing_dowels", "A"))


def _told_and_plan_changed(h: History) -> None:
    h.present(F, "footing_dowels", "A")
    h.revise(changed(h.facts, "A", stages=[F]))


@pytest.mark.parametrize(
    ("happened", "held"),
    [(lambda h: None, "not_told"), (_told, None), (_told_and_rejected, "rejected"), (_told_and_plan_changed, None)],
    ids=lambda x: getattr(x, "__name__", x),
)
def test_a_witness_point_holds_until_it_is_told(happened, held):
    history = one_leg()
    history.through(F, "A", until="pour_footing", but=["footing_dowels"])
    happened(history)
    found = [code for code in why(history, F, "pour_footing", "A") if " footing_dowels " in code]
    assert found == ([f"{held} footing_dowels A"] if held else [])


def test_work_is_done_once_and_in_order():
    history = before_pour()
    history.do(F, "pour_footing", "A")
    assert why(history, F, "pour_footing", "A") == ["already_done pour_footing A"]
    history.passed(F, "footing_top", "A")
    assert "not_done stack_frost_wall A" in why(history, W, "pour_frost_wall", "A")


def test_a_stage_waits_for_the_closing_points_of_the_one_before():
    history = before_pour()
    history.do(F, "pour_footing", "A")
    history.through(W, "A", until="stack_frost_wall")
    assert why(history, W, "stack_frost_wall", "A") == ["waiting footing_top A"]
    history.passed(F, "footing_top", "A")
    assert why(history, W, "stack_frost_wall", "A") == []


def test_a_full_height_wall_waits_until_the_frost_wall_below_is_poured_proofed_drained_and_backfilled():
    history = one_leg()
    history.through(F, "A")
    history.through(W, "A")
    history.passed(FULL_WALL, "cold_joint", "A")
    assert why(history, FULL_WALL, "stack_full_wall", "A") == [
        "not_done fill_frost_wall A",
        "waiting frost_membrane A",
        "waiting frost_drain A",
        "waiting frost_strength A",
        "waiting frost_balance A",
        "waiting frost_pre_backfill A",
    ]
    history.through(B, "A")
    assert why(history, FULL_WALL, "stack_full_wall", "A") == []


def test_a_garage_moves_on_while_the_basement_waits():
    history = History()
    for stage in (F, W, B):
        history.through(stage, "G", until="fill_frost_wall")
    assert why(history, B, "fill_frost_wall", "G") == []
    assert "waiting stakes A" in why(history, F, "pour_footing", "A")


def test_a_leg_can_only_go_where_the_plan_takes_it():
    history = History()
    assert why(history, FULL_WALL, "stack_full_wall", "G") == ["not_here stack_full_wall G"]
    assert why(history, F, "pour_footing", "Z") == ["not_here pour_footing Z"]


def test_a_house_that_left_out_a_stage_its_legs_need_is_told_so():
    history = History(facts([leg("A")]), kinds=[F, W, FULL_WALL, PROOF, FILL])
    history.through(F, "A")
    history.through(W, "A")
    history.through(FULL_WALL, "A", until="stack_full_wall")
    assert why(history, FULL_WALL, "stack_full_wall", "A") == ["stage_missing frost_backfill A"]


def test_a_stage_in_the_wrong_place_is_missing_where_it_is_needed():
    history = History(facts([leg("A")]), kinds=[W, F])
    assert "stage_missing footing A" in why(history, W, "stack_frost_wall", "A")


def test_a_repeated_stage_waits_for_the_first_one_and_says_which():
    history = History(facts([leg("A", stages=[F, FULL_WALL])]), kinds=[F, FULL_WALL, FULL_WALL])
    history.through(F, "A")
    first, second = history.rows[1:]
    history.through(second, "A", until="stack_full_wall")
    gate = gates.gate(history.ledger, second, history.operation(second, "stack_full_wall"), ["A"])
    assert {reason.stage_pk for reason in gate.reasons} == {first.pk}
    history.through(first, "A")
    assert why(history, second, "stack_full_wall", "A") == []


def test_a_rejection_of_a_closing_point_holds_what_comes_after():
    history = before_pour()
    history.do(F, "pour_footing", "A")
    history.reject(history.present(F, "footing_top", "A"))
    history.through(W, "A", until="stack_frost_wall")
    assert why(history, W, "stack_frost_wall", "A") == ["rejected footing_top A"]


def test_a_rejection_holds_work_that_does_not_wait_for_its_point():
    history = one_leg(openings=1)
    for stage in (F, W, B):
        history.through(stage, "A")
    history.passed(FULL_WALL, "cold_joint", "A")
    rejection = history.reject(history.present(FULL_WALL, "openings", "A"))
    assert why(history, FULL_WALL, "stack_full_wall", "A") == ["rejected openings A"]
    history.close(rejection)
    assert why(history, FULL_WALL, "stack_full_wall", "A") == ["corrected openings A"]
    history.present(FULL_WALL, "openings", "A")
    assert why(history, FULL_WALL, "stack_full_wall", "A") == []


def test_a_rejection_long_after_holds_what_would_bury_it():
    history = before_fill()
    history.reject(history.presented[2])  # the hole, released long ago
    assert why(history, FILL, "fill_full_wall", "A") == ["rejected hole A"]


def test_a_rejection_on_one_leg_does_not_hold_another():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", "B", until="pour_footing", but=["hole"])
    presented = history.present(F, "hole", "A", "B")
    history.release(presented, "A")
    history.reject(presented, "B")
    gate = gates.gate(history.ledger, history.row(F), history.operation(F, "pour_footing"))
    assert codes(gate.reasons) == ["rejected hole B"]
    assert (gate.is_open, gate.legs, gate.open_legs) == (False, ("A", "B"), ("A",))


def test_a_correction_closed_on_one_leg_stays_open_on_the_other():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", "B", until="pour_footing", but=["hole"])
    history.close(history.reject(history.present(F, "hole", "A", "B")), "A")
    assert why(history, F, "pour_footing", "A", "B") == ["corrected hole A", "rejected hole B"]


def test_a_rejected_permit_holds_every_leg():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", "B", until="pour_footing", but=["permit"])
    history.reject(history.present(F, "permit"))
    assert why(history, F, "pour_footing", "A", "B") == ["rejected permit house"]


# -- backfill (IRC R404.1.7: strength, and held at top and foot or braced; under 4 ft of unbalanced fill only strength)
@pytest.mark.parametrize(
    ("missing", "low_before", "low_after", "held_by", "held"),
    [
        ([], False, False, "slab", []),
        (["strength"], True, True, "slab", ["waiting strength A"]),
        (["held_foot"], False, False, "", ["waiting held_foot A"]),
        (["held_top"], False, False, "slab", ["waiting held_top A"]),
        (["held_foot", "held_top"], False, False, "", ["waiting held_foot A", "waiting held_top A"]),
        (["held_foot", "held_top"], True, True, "", []),
        (["held_foot", "held_top"], False, True, "", ["waiting held_foot A", "waiting held_top A"]),
        (["held_top"], False, True, "slab", []),
        (["held_top"], False, True, "strut", ["waiting held_top A"]),
        (["held_top"], False, False, "strut", ["waiting held_top A"]),
    ],
)
def test_backfill_needs_strength_always_and_bracing_where_the_fill_is_high(
    missing, low_before, low_after, held_by, held
):
    history = before_fill(
        "held_foot", *missing, waived_before_slab={FILL: low_before}, waived_after_slab={FILL: low_after}
    )
    if held_by:
        history.passed(FILL, "held_foot", "A", choices={"held_by": held_by})
    assert why(history, FILL, "fill_full_wall", "A") == held


def test_a_rejection_is_never_waived():
    history = before_fill("held_foot", "held_top", waived_before_slab={FILL: True})
    history.reject(history.present(FILL, "held_top", "A"))
    assert why(history, FILL, "fill_full_wall", "A") == ["rejected held_top A"]


def test_strength_of_a_frost_wall_is_asked_for_however_low_the_fill():
    history = one_leg(waived_before_slab={B: True, FILL: True}, waived_after_slab={B: True, FILL: True})
    history.through(F, "A")
    history.through(W, "A")
    history.through(B, "A", until="fill_frost_wall", but=["frost_strength", "frost_balance"])
    assert why(history, B, "fill_frost_wall", "A") == ["waiting frost_strength A", "waiting frost_balance A"]


# -- plan revisions and sections
def test_a_revision_that_changes_one_leg_voids_only_that_legs_releases_in_the_stages_it_changes():
    history = History(facts([leg("A"), leg("B")]))
    for stage in (F, W):
        history.through(stage, "A", "B")
    history.revise(changed(history.facts, "B", stages=[W]))
    history.through(B, "A", "B", until="fill_frost_wall")
    gate = gates.gate(history.ledger, history.row(B), history.operation(B, "fill_frost_wall"))
    assert gate.open_legs == ("A",)
    assert codes(gate.reasons) == [
        "void frost_layout B",
        "void frost_steel B",
        "void frost_anchors B",
        "void frost_go B",
        "void frost_as_built B",
    ]


def test_a_split_into_sections_keeps_every_release():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", "B", until="pour_footing")
    legs = tuple(replace(x, section="porch") if x.name == "B" else x for x in history.facts.legs)
    history.revise(replace(history.facts, legs=legs))
    assert why(history, F, "pour_footing", "A", "B") == []


def test_an_opening_drawn_in_later_brings_its_point():
    history = one_leg(stages=[F, FULL_WALL])
    history.through(F, "A")
    history.through(FULL_WALL, "A", until="pour_full_wall")
    assert why(history, FULL_WALL, "pour_full_wall", "A") == []
    history.revise(facts([leg("A", stages=[F, FULL_WALL], openings=1)]))
    assert why(history, FULL_WALL, "pour_full_wall", "A") == ["waiting openings A"]


# -- words
def test_reasons_are_grouped_by_what_they_are_about_and_said_in_words():
    history = History(facts([leg("A"), leg("B"), leg("C")]))
    history.through(F, "A", "B", "C", until="pour_footing", but=["stakes", "footing_dowels"])
    history.reject(history.present(F, "stakes", "A", "B", "C"), "A", "B")
    gate = gates.gate(history.ledger, history.row(F), history.operation(F, "pour_footing"))
    assert [reason.sentence for reason in gate.reasons] == [
        "Footing: “Stakes and setbacks” was rejected on legs A and B; its correction is open, and the field lead "
        "or the builder puts it right.",
        "Footing: the engineer of record has not been told of “Dowel layout” on legs A, B and C; the field lead or the "
        "builder presents it.",
        "Footing: “Stakes and setbacks” waits for the surveyor or the inspector to release it on leg C.",
    ]


@pytest.mark.parametrize("names", [("A",), ("A", "B"), ("A", "B", "C")])
def test_every_code_has_a_sentence_that_reads(names):
    history = History()
    for code in gates._SENTENCES:
        about = "pour_footing" if code in ("not_done", "already_done") else "hole"
        blocked = [gates.Blocked(code, F, about, name, 1) for name in names]
        (reason,) = gates._reasons(history.ledger, blocked)
        assert reason.sentence[0].isupper() and reason.sentence.endswith(".") and "  " not in reason.sentence
        done = code in ("nothing_left", "already_done")  # nobody has to do anything
        given = code in ("not_strong", "engineer_strength")  # who does what is said with the strength, tried above
        assert done or given or re.search("the (builder|field lead|inspector)", reason.sentence), code


def test_nothing_asked_is_not_open():
    history = before_pour()
    history.do(F, "pour_footing", "A")
    gate = gates.gate(history.ledger, history.row(F), history.operation(F, "pour_footing"))
    assert not gate.is_open
    assert codes(gate.reasons) == ["nothing_left pour_footing house"]


def test_a_stage_says_what_it_still_lacks():
    history = History(facts([leg("A", stages=FULL), leg("B")]))
    history.through(F, "A", "B", but=["footing_top"])
    history.passed(F, "footing_top", "A")
    assert codes(gates.lacking(history.ledger, history.row(F))) == ["waiting footing_top B"]
