"""Random lives of a house, for model-based tests: which moves there are, drawn by hypothesis, and a diary of them.

:class:`Moves` knows the rules of the moves from their prose (:mod:`tests.inspections.oracle` those of the gate) and
nothing of how they are carried out. A machine says that: on a ledger in memory, through the actions, or by posting
pages; see ``attempt_*``, each of which answers whether the move was accepted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from inspections.gates import Gate
from inspections.process import Scope
from inspections.stages import BY_KIND
from jobs.frozen import Facts, LegFacts
from takeoff.plan import Stage
from takeoff.results import WallState
from tests.inspections.oracle import HOUSE, Diary
from tests.inspections.world import FROST_ONLY, FULL, leg

LEGS = ("A", "B", "G")
SECTIONS = ("main", "garage", "porch")
#: (name, kinds of stage): the first rules the roles of legs at the start.
USUAL = {"A": FULL, "B": (Stage.FOOTING, Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL), "G": FROST_ONLY}
SOME_LEGS = st.lists(st.sampled_from(LEGS), unique=True, max_size=len(LEGS))
#: Strength [psi] each leg needs: told for every state, for none (the engineer says it), for one that may not be, and by
#: a plan that was locked before one side filled first was worked out.
STRENGTH: dict[str, dict[WallState, int | None]] = {
    "A": {
        WallState.FROST_FILL: 500,
        WallState.FROST_ONE_SIDE: 1000,
        WallState.BEFORE_SLAB: 1400,
        WallState.FINISHED: 900,
    },
    "B": {WallState.BEFORE_SLAB: None, WallState.FINISHED: 1150},
    "G": {WallState.FROST_FILL: 500},
}
#: How strength is shown, of what it may be (about what legs need, and nine tenths of it), and on which legs.
HOW = st.sampled_from(("field", "field", "lab", "estimate"))
PSI = st.sampled_from((400.0, 500.0, 540.0, 560.0, 950.0, 1000.0, 1150.0, 1200.0, 1400.0, 1500.0, 1600.0))
SHOWN_LEGS = st.one_of(st.sampled_from([["A"], ["G"], ["A", "B"], ["A", "G"]]), SOME_LEGS)
WALLS = {"fill_frost_wall": Stage.FROST_WALL, "fill_full_wall": Stage.FULL_WALL}
CHOICES = {"held_foot": ("slab", "strut"), "held_top": ("deck",), "frost_balance": ("both_sides", "braced")}


class Moves(RuleBasedStateMachine):
    """The moves of a house with three legs, each tried in and out of season."""

    #: Whether a point is refused before the work it is looked at after; a ledger by itself takes it.
    in_order = True

    def __init__(self) -> None:
        super().__init__()
        self.turn = 0
        self.rows = self.start(self.first_facts())
        self.diary = Diary(self.rows, self.first_facts())
        self.sent: list[tuple[str, dict[str, Any]]] = []

    def first_facts(self) -> Facts:
        """Three legs: frost wall and full wall, full wall on its footing, frost wall alone."""
        legs = [
            leg(name, "garage" if name == "G" else "main", kinds, strength=STRENGTH[name])
            for name, kinds in USUAL.items()
        ]
        return Facts(tuple(legs), tuple((s, s) for s in SECTIONS), "house-1")

    # -- how moves are carried out: for a subclass ------------------------------------------------------
    def start(self, found: Facts) -> list[tuple[int, Stage]]:
        """Make the house; answers its stages as (row, kind)."""
        raise NotImplementedError

    def attempt_present(self, row: int, point: str, legs: Sequence[str], choice: str) -> bool:
        raise NotImplementedError

    def attempt_sign(self, row: int, point: str, legs: Sequence[str], released: bool) -> bool:
        """Release or reject what was presented last on the legs."""
        raise NotImplementedError

    def attempt_close(self, row: int, point: str, legs: Sequence[str]) -> bool:
        raise NotImplementedError

    def attempt_work(self, row: int, operation: str, legs: Sequence[str]) -> bool:
        raise NotImplementedError

    def attempt_strength(self, row: int, legs: Sequence[str], how: str, psi: float, hour: int) -> bool:
        """A cylinder of a wall broken (cured ``field`` or ``lab``), or an ``estimate`` accepted."""
        raise NotImplementedError

    def attempt_revision(self, found: Facts) -> None:
        raise NotImplementedError

    def gate(self, row: int, operation: str) -> Gate:
        """The gate of the operation on all of LEGS."""
        raise NotImplementedError

    def replay(self) -> None:
        """Send something again that was sent before. Nothing may change."""

    # -- the rules of the moves, from their prose -------------------------------------------------------
    def names(self, row: int, point, legs: Sequence[str]) -> list[str]:
        """The legs as recorded, or [] where the move is nonsense."""
        if point.scope is Scope.HOUSE:
            return [HOUSE] if not legs else []
        here = {x.name: x for x in self.facts.legs if self.diary.kind_of(row) in x.fingerprints}
        return list(legs) if legs and all(n in here and point.applies(here[n]) for n in legs) else []

    @property
    def facts(self) -> Facts:
        """Facts of the revision in force."""
        assert self.diary.facts is not None
        return self.diary.facts

    def stands(self, row: int, point, names: Sequence[str]) -> set[str]:
        """How the point stands on the legs."""
        return {self.diary.stands(row, point, name) for name in names}

    def latest(self, row: int, point, name: str) -> int:
        """Which presentation of the diary is the newest on a leg; presentations share a number in ``extra``."""
        found = self.diary.extras("turn", row, point.key, name)
        return int(found[-1]) if found else 0

    def may_present(self, row: int, point, names: Sequence[str]) -> bool:
        """Not where it is released or a correction is open; not before the work it is looked at after."""
        operations = [o.key for o in BY_KIND[self.diary.kind_of(row)].operations]
        first = operations[: operations.index(point.before)] if point.before else operations
        legs = self.diary.legs_of(self.diary.kind_of(row)) if names == [HOUSE] else names
        done = all(self.diary.did(row, o, n) for o in first for n in legs)
        return (
            bool(names)
            and (done or not self.in_order)
            and not self.stands(row, point, names) & {"released", "rejected"}
        )

    def may_sign(self, row: int, point, names: Sequence[str], released: bool) -> bool:
        """Released: only what waits, shown on the plan in force. Rejected: all but what is rejected already. On all
        legs the same presentation, the newest."""
        if not names or len({self.latest(row, point, n) for n in names}) != 1 or not self.latest(row, point, names[0]):
            return False
        stands = self.stands(row, point, names)
        return stands == {"presented"} if released else not stands & {"waiting", "rejected", "corrected"}

    def may_close(self, row: int, point, names: Sequence[str]) -> bool:
        """Only where a correction is open, from one and the same rejection."""
        if not names or self.stands(row, point, names) != {"rejected"}:
            return False
        return len({self.rejection(row, point, n) for n in names}) == 1

    def rejection(self, row: int, point, name: str) -> str:
        """Which rejection rules on the leg."""
        return self.diary.extras("reject", row, point.key, name)[-1]

    # -- moves ------------------------------------------------------------------------------------------
    def _present(self, row: int, point, legs: Sequence[str], choice: str) -> None:
        names = self.names(row, point, legs)
        expected = self.may_present(row, point, names)
        assert self.attempt_present(row, point.key, legs, choice) == expected, (point.key, legs)
        if expected:
            self.turn += 1
            self.diary.write("present", row, point.key, names, choice)
            self.diary.write("turn", row, point.key, names, str(self.turn))

    def _sign(self, row: int, point, legs: Sequence[str], released: bool) -> None:
        names = self.names(row, point, legs)
        expected = self.may_sign(row, point, names, released)
        assert self.attempt_sign(row, point.key, legs, released) == expected, (point.key, legs, released)
        if expected:
            self.turn += 1
            self.diary.write("release" if released else "reject", row, point.key, names, str(self.turn))
            self.diary.write("signed as", row, point.key, names, point.releases[0].value)

    def _work(self, row: int, operation: str, legs: Sequence[str]) -> None:
        open_on = [n for n in legs if not self.diary.why_not(row, operation, n)]
        expected = bool(legs) and open_on == list(legs)
        assert self.attempt_work(row, operation, legs) == expected, (operation, legs)
        if expected:
            self.diary.write("do", row, operation, legs)

    def _points(self, data: Any) -> tuple[int, Any]:
        row, kind = data.draw(st.sampled_from(self.rows), label="stage")
        return row, data.draw(st.sampled_from(BY_KIND[kind].points), label="point")

    def _fitting(self, point, legs: Sequence[str]) -> Sequence[str]:
        return () if point.scope is Scope.HOUSE else legs

    @rule(data=st.data(), legs=SOME_LEGS)
    def present_something(self, data, legs):
        row, point = self._points(data)
        if data.draw(st.booleans(), label="sensible"):
            legs = [n for n in LEGS if self.names(row, point, [n])]
        choice = data.draw(st.sampled_from(CHOICES.get(point.key, ("",))))
        self._present(row, point, self._fitting(point, legs), choice)

    @rule(data=st.data(), legs=SOME_LEGS, released=st.booleans())
    def sign_something(self, data, legs, released):
        row, point = self._points(data)
        self._sign(row, point, self._fitting(point, legs), released)

    @rule(data=st.data(), released=st.booleans())
    def sign_what_was_presented(self, data, released):
        shown = self.diary.where("present")
        if shown:
            row, key = data.draw(st.sampled_from(shown), label="shown")
            point = self._point(row, key)
            legs = [n for n in LEGS if self.latest(row, point, n)]
            turn = data.draw(st.sampled_from(sorted({self.latest(row, point, n) for n in legs} or {0})), label="turn")
            chosen = [n for n in legs if self.latest(row, point, n) == turn]
            self._sign(row, point, self._fitting(point, chosen), released)

    @rule(data=st.data())
    def reject_and_put_right_in_part(self, data):
        """All that was shown together is rejected; one leg is put right at once."""
        shown = self.diary.where("present")
        if shown:
            row, key = data.draw(st.sampled_from(shown), label="shown")
            point = self._point(row, key)
            legs = [n for n in LEGS if self.latest(row, point, n)]
            turn = max((self.latest(row, point, n) for n in legs), default=0)
            chosen = self._fitting(point, [n for n in legs if self.latest(row, point, n) == turn])
            self._sign(row, point, chosen, False)
            self._close(row, point, chosen[:1])

    @rule(data=st.data(), legs=SOME_LEGS)
    def close_something(self, data, legs):
        rejected = self.diary.where("reject")
        if rejected:
            row, key = data.draw(st.sampled_from(rejected), label="rejected")
            self._close(row, self._point(row, key), self._fitting(self._point(row, key), legs))

    def _close(self, row: int, point, legs: Sequence[str]) -> None:
        names = self.names(row, point, legs)
        expected = self.may_close(row, point, names)
        assert self.attempt_close(row, point.key, legs) == expected, (point.key, legs)
        if expected:
            self.diary.write("close", row, point.key, names)

    @rule(data=st.data(), legs=SOME_LEGS)
    def try_to_cover(self, data, legs):
        row, kind = data.draw(st.sampled_from(self.rows), label="stage")
        operation = data.draw(st.sampled_from(BY_KIND[kind].operations), label="operation")
        self._work(row, operation.key, legs)

    @initialize(held=st.sampled_from(("braced", "both_sides")), swapped=st.booleans())
    def a_psi_short_and_a_psi_over(self, held, swapped):
        """Every life begins with how the frost wall is held, and estimates of which nine tenths are a psi short of what
        one wall needs so, and a psi over what the other needs: another margin, or another need, is told at once."""
        frost = WallState.FROST_ONE_SIDE if held == "braced" else WallState.FROST_FILL
        for row, kind in self.rows:
            if kind == Stage.FROST_BACKFILL:
                self._present(row, self._point(row, "frost_balance"), ("A", "G"), held)
            if kind == Stage.FROST_WALL:
                self._strength(row, ("A", "G"), "estimate", self._about(frost, swapped), 0)
            if kind == Stage.FULL_WALL:
                self._strength(row, ("A",), "estimate", self._about(WallState.BEFORE_SLAB, not swapped), 0)

    def _about(self, state: WallState, over: bool) -> float:
        """An estimate of A's wall with a psi more, or less, than it needs left of nine tenths."""
        needed = STRENGTH["A"][state]
        assert needed is not None
        return (needed + (1 if over else -1)) / 0.9

    @rule(
        wall=st.sampled_from(tuple(WALLS.values())),
        shown=st.lists(st.tuples(SHOWN_LEGS, HOW, PSI, st.integers(0, 30)), min_size=2, max_size=5),
    )
    def show_strength(self, wall, shown):
        """Cylinders of a wall broken and estimates of it accepted, in any order of their hours."""
        for legs, how, psi, hour in shown:
            for row, kind in self.rows:
                if kind == wall:
                    self._strength(row, legs, how, psi, hour)

    def _strength(self, row: int, legs: Sequence[str], how: str, psi: float, hour: int) -> None:
        here = self.diary.legs_of(self.diary.kind_of(row))
        expected = bool(legs) and all(n in here for n in legs)
        assert self.attempt_strength(row, legs, how, psi, hour) == expected, (row, legs, how)
        if expected and how == "estimate":
            self.diary.write("estimate", row, "estimate", legs, f"{hour} {psi}")
        elif expected:
            self.diary.write("break", row, "cylinder", legs, f"{hour} {psi} {how}")

    @rule(
        names=st.lists(st.sampled_from(LEGS), unique=True, min_size=1), stages=st.integers(1, 6), held=st.integers(0, 1)
    )
    def put_right_and_go_on(self, names, stages, held):
        """A good month on these legs: through so many stages all is closed, presented, released, and what is open is
        done. Some is left over where legs differ. ``held``: which of the ways to hold a wall is chosen."""
        for row, kind in self.rows[:stages]:
            mine = [n for n in names if n in self.diary.legs_of(kind)]
            for operation in (*BY_KIND[kind].operations, None):
                for point in BY_KIND[kind].points:
                    if mine and point.before == (operation.key if operation else ""):
                        self._settle(row, point, mine, held)
                if operation and mine and operation.key in WALLS:
                    self._show_enough(WALLS[operation.key], mine)
                if operation and mine and not any(self.diary.why_not(row, operation.key, n) for n in mine):
                    self._work(row, operation.key, mine)

    def _show_enough(self, wall: Stage, legs: Sequence[str]) -> None:
        """The newest estimate is high enough for every state, and accepted after any cylinder."""
        for row, kind in self.rows:
            if kind == wall and all(n in self.diary.legs_of(kind) for n in legs):
                self._strength(row, legs, "estimate", 1600.0, 99)

    def _settle(self, row: int, point, legs: Sequence[str], held: int) -> None:
        """One point put in order: on all the legs together where they stand alike, then on each that is left."""
        fitting = [n for n in legs if self.names(row, point, [n])]
        for on in [()] if point.scope is Scope.HOUSE else [tuple(fitting), *((n,) for n in fitting)]:
            names = self.names(row, point, on)
            if self.may_close(row, point, names):
                self._close(row, point, on)
            if self.may_present(row, point, names):
                self._present(row, point, on, CHOICES.get(point.key, ("",))[-held])
            if self.may_sign(row, point, names, True):
                self._sign(row, point, on, True)

    @rule(data=st.data(), names=SOME_LEGS, house=st.booleans())
    def revise_the_plan(self, data, names, house):
        """Inputs of some legs to some stages change."""
        kinds = data.draw(st.lists(st.sampled_from(FULL), unique=True, min_size=1), label="kinds")
        self.turn += 1
        legs = tuple(self._touched(x, kinds) if x.name in names else x for x in self.facts.legs)
        print_ = f"house-{self.turn}" if house else self.facts.house_fingerprint
        self._revise(replace(self.facts, legs=legs, house_fingerprint=print_))

    def _touched(self, old: LegFacts, kinds: Sequence[Stage]) -> LegFacts:
        prints = {k: f"{old.name}-{k}-{self.turn}" if k in kinds else v for k, v in old.fingerprints.items()}
        return replace(old, fingerprints=prints)

    @rule(
        name=st.sampled_from(LEGS),
        openings=st.integers(0, 1),
        ledge=st.booleans(),
        before=st.booleans(),
        after=st.booleans(),
    )
    def redraw_a_leg(self, name, openings, ledge, before, after):
        """Openings, a ledge, and how high the fill stands, come and go."""
        legs = tuple(
            replace(
                x,
                openings=openings,
                ledge=ledge,
                waived_before_slab=dict.fromkeys(x.waived_before_slab, before),
                waived_after_slab=dict.fromkeys(x.waived_after_slab, after),
            )
            if x.name == name
            else x
            for x in self.facts.legs
        )
        self._revise(replace(self.facts, legs=legs))

    @rule(data=st.data())
    def split_into_sections(self, data):
        """Legs move between sections; nothing else changes."""
        legs = tuple(replace(x, section=data.draw(st.sampled_from(SECTIONS))) for x in self.facts.legs)
        self._revise(replace(self.facts, legs=legs))

    @rule(name=st.sampled_from(LEGS), there=st.booleans())
    def draw_a_leg_out_or_in(self, name, there):
        """A leg leaves the plan, or comes back as it was at first."""
        legs = [x for x in self.facts.legs if x.name != name]
        if there:
            legs.append(next(x for x in self.first_facts().legs if x.name == name))
        if legs:
            self._revise(replace(self.facts, legs=tuple(legs)))

    def _revise(self, found: Facts) -> None:
        self.attempt_revision(found)
        self.diary.facts = found

    @rule()
    def send_something_again(self):
        """A phone that did not hear the answer."""
        self.replay()

    def _point(self, row: int, key: str):
        return next(p for p in BY_KIND[self.diary.kind_of(row)].points if p.key == key)

    # -- what must hold after every move ------------------------------------------------------------------
    @invariant()
    def the_reasons_are_those_of_the_prose(self):
        """Every operation, every leg."""
        for row, kind in self.rows:
            for operation in BY_KIND[kind].operations:
                expected = {name: self.diary.why_not(row, operation.key, name) for name in LEGS}
                gate = self.gate(row, operation.key)
                found = {(r.code, r.stage, r.about, name) for r in gate.reasons for name in r.legs}
                assert found == set.union(*expected.values()), operation.key
                assert gate.open_legs == tuple(name for name in LEGS if not expected[name]), operation.key
