"""How far every part is, what moves next, whose move it is: small houses, one thing at a time."""

from dataclasses import replace

import pytest

from inspections import states
from inspections.states import PartState
from jobs.models import Role
from takeoff.plan import Stage
from tests.inspections.history import History, codes
from tests.inspections.world import changed, facts, leg

F, W, B = Stage.FOOTING, Stage.FROST_WALL, Stage.FROST_BACKFILL
FULL_WALL, PROOF, FILL = Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL
P = PartState


def of_leg(history: History, name: str = "A") -> list[str]:
    """The states of a leg's stages, in order."""
    ledger = history.ledger
    found = ledger.leg(name)
    assert found is not None
    return [states.leg_state(ledger, stage, found).value for stage in ledger.stages_of(found)]


def _nothing(h):
    pass


def _presented(h):
    h.present(F, "hole", "A")


def _told(h):
    h.present(F, "footing_dowels", "A")


def _ready(h):
    h.through(F, "A", until="pour_footing")


def _ready_but_rejected_later(h):
    _ready(h)
    h.reject(h.presented[-1])


def _put_right(h):
    _ready(h)
    h.close(h.reject(h.presented[-1]))


def _poured(h):
    _ready(h)
    h.do(F, "pour_footing", "A")


def _top_shot(h):
    _poured(h)
    h.present(F, "footing_top", "A")


def _footing_done(h):
    h.through(F, "A")


def _void(h):
    h.through(F, "A")
    h.revise(changed(h.facts, "A", stages=[F]))


def _frost_wall_done(h):
    _footing_done(h)
    h.through(W, "A")


def _frost_wall_ready_to_stack(h):
    _footing_done(h)
    h.passed(W, "frost_layout", "A")


def _stacked(h):
    _frost_wall_ready_to_stack(h)
    h.do(W, "stack_frost_wall", "A")


def _frost_filled(h):
    _frost_wall_done(h)
    h.through(B, "A")


def _buried(h):
    _frost_filled(h)
    for stage in (FULL_WALL, PROOF, FILL):
        h.through(stage, "A")


def _buried_and_rejected(h):
    _buried(h)
    h.reject(next(p for p in h.presented if p.point == "hole"))


@pytest.mark.parametrize(
    ("happened", "footing", "frost_wall", "frost_backfill", "full_wall", "proofing", "backfill"),
    [
        (_nothing, "held", "planned", "planned", "planned", "planned", "planned"),
        (_presented, "presented", "planned", "planned", "planned", "planned", "planned"),
        (_told, "held", "planned", "planned", "planned", "planned", "planned"),
        (_ready, "ready", "planned", "planned", "planned", "planned", "planned"),
        (_ready_but_rejected_later, "rejected", "planned", "planned", "planned", "planned", "planned"),
        (_put_right, "held", "planned", "planned", "planned", "planned", "planned"),
        (_poured, "held", "planned", "planned", "planned", "planned", "planned"),
        (_top_shot, "presented", "planned", "planned", "planned", "planned", "planned"),
        (_footing_done, "released", "held", "planned", "planned", "planned", "planned"),
        (_frost_wall_ready_to_stack, "released", "ready", "planned", "planned", "planned", "planned"),
        (_stacked, "released", "held", "planned", "planned", "planned", "planned"),
        (_void, "held", "planned", "planned", "planned", "planned", "planned"),
        (_frost_wall_done, "released", "released", "held", "planned", "planned", "planned"),
        (_frost_filled, "buried", "buried", "released", "held", "planned", "planned"),
        (_buried, "buried", "buried", "buried", "buried", "buried", "released"),
        (_buried_and_rejected, "rejected", "buried", "buried", "buried", "buried", "released"),
    ],
    ids=lambda x: getattr(x, "__name__", ""),
)
def test_states_of_a_leg(happened, footing, frost_wall, frost_backfill, full_wall, proofing, backfill):
    history = History(facts([leg("A")]))
    happened(history)
    assert of_leg(history) == [footing, frost_wall, frost_backfill, full_wall, proofing, backfill]


def test_something_recorded_early_is_held_not_planned():
    history = History(facts([leg("A")]))
    history.passed(FILL, "strength", "A")
    assert of_leg(history)[-1] == "held"


def test_a_waived_point_that_is_presented_does_not_wait():
    history = History(facts([leg("A", waived_before_slab={FILL: True})]))
    for stage in (F, W, B, FULL_WALL, PROOF):
        history.through(stage, "A")
    history.through(FILL, "A", until="fill_full_wall", but=["held_top", "held_foot"])
    history.present(FILL, "held_top", "A")
    assert of_leg(history)[-1] == "ready"


@pytest.mark.parametrize(
    ("parts", "whole"),
    [
        ([P.PLANNED, P.PLANNED], P.PLANNED),
        ([P.REJECTED, P.PLANNED, P.BURIED], P.REJECTED),
        ([P.PLANNED, P.READY], P.READY),
        ([P.PLANNED, P.HELD, P.READY], P.HELD),
        ([P.PLANNED, P.PRESENTED], P.PRESENTED),
        ([P.PLANNED, P.RELEASED], P.HELD),
        ([P.PLANNED, P.BURIED, P.RELEASED], P.HELD),
        ([P.HELD, P.RELEASED], P.HELD),
        ([P.READY, P.RELEASED], P.READY),
        ([P.PRESENTED, P.READY], P.READY),
        ([P.RELEASED, P.BURIED], P.RELEASED),
        ([P.BURIED, P.BURIED], P.BURIED),
    ],
)
def test_several_legs_are_one_state(parts, whole):
    assert states.together(parts) is whole


def test_every_state_has_a_place_in_the_order():
    assert {*states.ORDER, P.REJECTED} == set(PartState)


def test_part_states_are_by_section_and_kind():
    history = History()
    history.through(F, "G")
    found = states.part_states(history.ledger)
    assert found["garage", F] is P.RELEASED and found["garage", W] is P.HELD
    assert found["main", F] is P.HELD and found["porch", F] is P.HELD
    assert ("garage", FULL_WALL) not in found and ("main", FULL_WALL) in found


def test_the_house_is_in_the_stage_of_its_last_section():
    history = History(facts([leg("A"), leg("G", "garage", (F, W, B))]))
    for stage in (F, W):
        history.through(stage, "A", "G")
    history.through(B, "G")
    assert states.current_stage(history.ledger).kind is B
    assert states.front(history.ledger, "garage") is None
    for stage in (B, FULL_WALL, PROOF, FILL):
        history.through(stage, "A")
    assert states.current_stage(history.ledger) is None


# -- what moves next
def test_next_move_of_each_section_what_holds_it_and_whose_move_it_is():
    history = History(facts([leg("A"), leg("G", "garage", (F, W, B))]))
    history.through(F, "A", until="pour_footing", but=["hole"])
    history.through(F, "G")
    main, garage = states.next_moves(history.ledger)
    assert (main.section_name, main.operation.key, codes(main.reasons)) == (
        "Main basement",
        "pour_footing",
        ["waiting hole A"],
    )
    assert main.whose == (Role.FIELD_LEAD, Role.BUILDER)
    assert (garage.stage.kind, codes(garage.reasons)) == (W, ["waiting frost_layout G"])
    history.present(F, "hole", "A")
    assert states.next_moves(history.ledger)[0].whose == (Role.INSPECTOR, Role.ENGINEER)


def test_an_open_move_is_that_of_whoever_does_the_work():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", until="pour_footing")
    (move,) = states.next_moves(history.ledger)
    assert not move.is_open and move.open_legs == ("A",) and move.legs == ("A", "B")
    for key in ("stakes", "hole", "under_footing", "footing_dowels", "footing_steel"):
        history.passed(F, key, "B")
    (move,) = states.next_moves(history.ledger)
    assert move.is_open and move.whose == (Role.FIELD_LEAD, Role.BUILDER)


def test_after_the_work_the_move_is_the_closing_points():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "A", "B", but=["footing_top"])
    history.passed(F, "footing_top", "A")
    (move,) = states.next_moves(history.ledger)
    assert (move.operation, move.legs, codes(move.reasons)) == (None, ("B",), ["waiting footing_top B"])
    assert not move.is_open


def test_a_rejection_is_the_move_of_whoever_puts_it_right():
    history = History(facts([leg("A")]))
    history.through(F, "A", until="pour_footing", but=["hole"])
    history.reject(history.present(F, "hole", "A"))
    assert states.next_moves(history.ledger)[0].whose == (Role.FIELD_LEAD, Role.BUILDER)


def test_a_stage_left_out_is_the_builders_move():
    history = History(facts([leg("A", stages=(F, W, FULL_WALL))]), kinds=[F, FULL_WALL])
    history.through(F, "A")
    history.through(FULL_WALL, "A", until="stack_full_wall")
    (move,) = states.next_moves(history.ledger)
    assert codes(move.reasons) == ["stage_missing frost_wall A"] and move.whose == (Role.BUILDER,)


# -- what is asked of whom
def test_what_waits_for_a_role_is_what_it_may_release_on_the_legs_that_still_wait():
    history = History(facts([leg("A"), leg("B")]))
    hole = history.present(F, "hole", "A", "B")
    history.release(hole, "A")
    permit = history.present(F, "permit")
    history.present(F, "footing_dowels", "A")
    asked = [(a.point.key, a.legs, a.presented.pk) for a in states.waiting_for(history.ledger, Role.INSPECTOR)]
    assert asked == [("hole", ("B",), hole.pk), ("permit", (), permit.pk)]
    assert [a.point.key for a in states.waiting_for(history.ledger, Role.ENGINEER)] == ["hole", "footing_dowels"]
    assert [a.point.key for a in states.waiting_for(history.ledger, Role.SURVEYOR)] == []


def test_what_was_shown_on_an_older_plan_is_asked_of_nobody():
    history = History(facts([leg("A")]))
    history.present(F, "hole", "A")
    history.revise(changed(history.facts, "A"))
    assert states.waiting_for(history.ledger, Role.INSPECTOR) == []
    due = [(c.point.key, c.standings) for c in states.to_present(history.ledger, Role.FIELD_LEAD)]
    assert ("hole", (states.Standing.OUTDATED,)) in due


def test_a_witness_point_is_asked_only_until_its_work_is_done():
    history = History(facts([leg("A")]))
    history.through(F, "A", until="pour_footing", but=["footing_dowels"])
    history.present(F, "footing_dowels", "A")
    assert len(states.waiting_for(history.ledger, Role.ENGINEER)) == 1
    history.do(F, "pour_footing", "A")
    assert states.waiting_for(history.ledger, Role.ENGINEER) == []


def test_a_field_lead_sees_the_points_of_the_front_and_what_must_be_done_first():
    history = History(facts([leg("A"), leg("B", openings=1), leg("G", "garage", (F, W, B))]))
    history.through(F, "A", "B", "G")
    for stage in (W, B):
        history.through(stage, "A", "B")
    history.passed(FULL_WALL, "cold_joint", "A")
    found = {(c.section, c.point.key): c for c in states.to_present(history.ledger, Role.FIELD_LEAD)}
    assert found["garage", "frost_layout"].is_ready and found["garage", "frost_layout"].legs == ("G",)
    assert found["main", "cold_joint"].legs == ("B",)
    openings = found["main", "openings"]
    assert (openings.legs, openings.is_ready) == (("B",), False)
    assert codes(openings.reasons) == ["not_done stack_full_wall B"]
    assert ("main", "full_layout") not in found and ("main", "footing_top") not in found


def test_a_point_of_the_house_is_due_once():
    history = History()
    due = [c for c in states.to_present(history.ledger, Role.FIELD_LEAD) if c.point.key == "permit"]
    assert [(c.section, c.legs) for c in due] == [("main", ())]


def test_a_rejected_point_is_a_correction_not_a_check():
    history = History(facts([leg("A"), leg("B")]))
    rejection = history.reject(history.present(F, "hole", "A", "B"))
    history.close(rejection, "A")
    (open_one,) = states.open_corrections(history.ledger)
    assert (open_one.point.key, open_one.legs, open_one.signed) == ("hole", ("B",), rejection)
    due = next(c for c in states.to_present(history.ledger, Role.FIELD_LEAD) if c.point.key == "hole")
    assert due.legs == ("A",)


def test_a_leg_moved_to_another_section_takes_its_state_along():
    history = History(facts([leg("A"), leg("B")]))
    history.through(F, "B")
    legs = tuple(replace(x, section="porch") if x.name == "B" else x for x in history.facts.legs)
    history.revise(replace(history.facts, legs=legs))
    found = states.part_states(history.ledger)
    assert (found["main", F], found["porch", F]) == (P.HELD, P.RELEASED)


def test_without_a_plan_nothing_is_asked():
    history = History()
    history.facts = None
    ledger = history.ledger
    assert states.part_states(ledger) == {} and states.next_moves(ledger) == []
    assert states.current_stage(ledger) is None and states.open_corrections(ledger) == []
    assert states.waiting_for(ledger, Role.INSPECTOR) == [] == states.to_present(ledger, Role.FIELD_LEAD)
