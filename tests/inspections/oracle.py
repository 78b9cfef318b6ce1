"""The rule of gates told a second time, from its prose alone: plain lists walked from the start, nothing clever.

Every record is one line of a diary per leg. Nothing here uses the ledger or the gate.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from inspections.process import PointKind, Scope
from inspections.stages import BY_KIND, DEFAULT_ORDER
from jobs.frozen import Facts
from takeoff.plan import Stage

HOUSE = ""
Answer = set[tuple[str, str, str, str]]


@dataclass
class Diary:
    """``stages``: (row, kind) in the house's order. ``pages``: (row, about, leg) -> its lines (what, print, extra)."""

    stages: list[tuple[int, Stage]]
    facts: Facts | None
    pages: dict[tuple[int, str, str], list[tuple[str, str, str]]] = field(default_factory=dict)

    def write(self, what: str, row: int, about: str, legs, extra: str = "") -> None:
        """One line per leg."""
        for leg in legs or [HOUSE]:
            self.pages.setdefault((row, about, leg), []).append((what, self.print_of(row, about, leg), extra))

    def page(self, row: int, about: str, leg: str) -> list[tuple[str, str, str]]:
        """All lines about one point or operation on one leg."""
        return self.pages.get((row, about, leg), [])

    def extras(self, what: str, row: int, about: str, leg: str) -> list[str]:
        """The extras of all lines of one sort, oldest first."""
        return [extra for said, _, extra in self.page(row, about, leg) if said == what]

    def where(self, what: str) -> list[tuple[int, str]]:
        """(row, about) of every page with such a line."""
        return sorted({(row, about) for (row, about, _), page in self.pages.items() if what in {x[0] for x in page}})

    # -- what is in force
    def kind_of(self, row: int) -> Stage:
        return next(kind for pk, kind in self.stages if pk == row)

    def print_of(self, row: int, about: str, leg: str) -> str:
        if self.facts is None:
            return ""
        if leg == HOUSE:
            return self.facts.house_fingerprint
        return next((x.fingerprints.get(self.kind_of(row), "") for x in self.facts.legs if x.name == leg), "")

    def legs_of(self, kind: Stage) -> list[str]:
        return [x.name for x in self.facts.legs if kind in x.fingerprints] if self.facts else []

    # -- how a point stands: read the diary from the first line to the last
    def stands(self, row: int, point, leg: str) -> str:
        if point.scope is Scope.HOUSE:
            leg = HOUSE
        now, seen = "waiting", ""
        for what, print_, _ in self.page(row, point.key, leg):
            if what == "present":
                now, seen = "presented", print_
            elif what == "release":
                now, seen = "released", print_
            elif what == "reject":
                now = "rejected"
            elif what == "close" and now == "rejected":
                now = "corrected"
        changed = seen != self.print_of(row, point.key, leg)
        if changed and now == "presented":
            return "outdated"
        if changed and now == "released":
            return "void"
        return now

    def did(self, row: int, operation: str, leg: str) -> bool:
        return any(what == "do" for what, _, _ in self.page(row, operation, leg))

    def held_by(self, row: int, leg: str, point: str = "held_foot") -> str:
        """How the foot of the wall, or a frost wall, is said to be held, in the newest presentation."""
        answers = self.extras("present", row, point, leg)
        return answers[-1] if answers else ""

    def spared(self, row: int, point, leg: str) -> bool:
        """Under the stated unbalanced fill bracing is not asked for."""
        if point.key not in ("held_foot", "held_top"):
            return False
        kind = self.kind_of(row)
        mine = next(x for x in self.facts.legs if x.name == leg)
        if mine.waived_before_slab.get(kind):
            return True
        foot = next(p for p in BY_KIND[kind].points if p.key == "held_foot")
        on_slab = self.stands(row, foot, leg) == "released" and self.held_by(row, leg) == "slab"
        return point.key == "held_top" and on_slab and bool(mine.waived_after_slab.get(kind))

    # -- the rule
    def why_not(self, row: int, operation: str, leg: str) -> Answer:
        """(code, kind of stage, about, leg) for everything that holds the operation on the leg; empty: it may go on."""
        kind = self.kind_of(row)
        # 1 and the first half of 2: there is a plan, the leg is in this stage, the work is not done already
        if self.facts is None:
            return {("no_plan", kind, operation, HOUSE)}
        if leg not in self.legs_of(kind):
            return {("not_here", kind, operation, leg)}
        if self.did(row, operation, leg):
            return {("already_done", kind, operation, leg)}
        answer: Answer = set()
        rows = [r for r, _ in self.stages]
        here = rows.index(row)
        mine = next(x for x in self.facts.legs if x.name == leg)
        # 2: earlier work of the stage
        order = [o.key for o in BY_KIND[kind].operations]
        for earlier in order[: order.index(operation)]:
            if not self.did(row, earlier, leg):
                answer.add(("not_done", kind, earlier, leg))
        # 3: earlier kinds exist before this one
        kinds_before = [k for _, k in self.stages[:here]]
        for needed in DEFAULT_ORDER:
            if needed == kind:
                break
            if needed in mine.fingerprints and needed not in kinds_before:
                answer.add(("stage_missing", needed, "", leg))
        # 4: every stage before this one is finished on the leg
        for other, other_kind in self.stages[:here]:
            if other_kind in mine.fingerprints:
                for o in BY_KIND[other_kind].operations:
                    if not self.did(other, o.key, leg):
                        answer.add(("not_done", other_kind, o.key, leg))
                for p in BY_KIND[other_kind].points:
                    answer |= self.lacks(other, p, mine)
        # 5: what this operation waits for
        for p in BY_KIND[kind].points:
            if p.before in order[: order.index(operation) + 1]:
                answer |= self.lacks(row, p, mine)
        # 7: the wall is strong enough for the earth that is put against it
        answer |= self.too_weak(row, operation, mine)
        # 6: no open rejection at any point of this or an earlier stage (those of earlier ones were found above)
        for p in BY_KIND[kind].points:
            if p.applies(mine) and self.stands(row, p, leg) in ("rejected", "corrected"):
                answer.add((self.stands(row, p, leg), kind, p.key, HOUSE if p.scope is Scope.HOUSE else leg))
        return answer

    def too_weak(self, row: int, operation: str, mine) -> Answer:
        """The two fillings, each against its wall."""
        kind = self.kind_of(row)
        if operation == "fill_frost_wall":
            state, wall, point = "frost_fill", Stage.FROST_WALL, "frost_strength"
            if self.held_by(row, mine.name, "frost_balance") == "braced":
                state, point = "frost_one_side", "frost_balance"
        elif operation == "fill_full_wall":
            foot = next(p for p in BY_KIND[kind].points if p.key == "held_foot")
            slab = self.stands(row, foot, mine.name) == "released" and self.held_by(row, mine.name) == "slab"
            state, wall, point = ("finished" if slab else "before_slab"), Stage.FULL_WALL, "strength"
        else:
            return set()
        said = dict(mine.strength)
        if "frost_fill" in said:
            said.setdefault("frost_one_side", None)  # a plan that speaks of both sides leaves one side to the engineer
        if state not in said:
            return set()
        needed = said[state]
        if needed is None:
            found = next(p for p in BY_KIND[kind].points if p.key == point)
            signed = self.extras("signed as", row, point, mine.name)
            by_engineer = self.stands(row, found, mine.name) == "released" and signed[-1] == "engineer"
            return set() if by_engineer else {("engineer_strength", kind, point, mine.name)}
        return set() if self.strength(wall, mine.name) >= needed else {("not_strong", wall, "", mine.name)}

    def strength(self, wall: Stage, leg: str) -> float:
        """What the wall is known to carry: the weakest cylinder of the last half day, or nine tenths of the low end of
        the estimate accepted last, which is nothing once a cylinder of its hour or later gives less."""
        cylinders, accepted, estimate = [], 0.0, 0.0
        for row, kind in self.stages:
            if kind == wall:
                for extra in self.extras("break", row, "cylinder", leg):
                    hour, psi, cured = extra.split()
                    if cured == "field":
                        cylinders.append((float(hour), float(psi)))
                for extra in self.extras("estimate", row, "estimate", leg):
                    accepted, estimate = (float(part) for part in extra.split())
        newest = max((hour for hour, _ in cylinders), default=0.0)
        weakest = min((psi for hour, psi in cylinders if hour >= newest - 12), default=0.0)
        return weakest if cylinders and newest >= accepted else max(weakest, 0.9 * estimate)

    def lacks(self, row: int, point, mine) -> Answer:
        """What one point still lacks on a leg."""
        if not point.applies(mine):
            return set()
        stands = self.stands(row, point, mine.name)
        where = HOUSE if point.scope is Scope.HOUSE else mine.name
        kind = self.kind_of(row)
        if stands in ("rejected", "corrected"):
            return {(stands, kind, point.key, where)}
        if self.spared(row, point, mine.name):
            return set()
        if point.kind is PointKind.WITNESS:
            return {("not_told", kind, point.key, where)} if stands == "waiting" else set()
        return set() if stands == "released" else {(stands, kind, point.key, where)}
