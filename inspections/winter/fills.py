"""How strong a wall must be before earth lies against it, each way it may be held, by the strip model. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from inspections.legs import in_runs, leg_words
from inspections.page_queries.words import upper_first
from takeoff.geometry import place
from takeoff.plan import Plan, Stage
from takeoff.results import WallState
from takeoff.site import TopHeld
from takeoff.strength.needed import StrengthNeeded, needed_by_leg
from takeoff.strength.situations import STATE_WORDS, TOP_WORDS

SLAB_AND_FLOOR = "slab and floor in, held at foot and top"
#: What must be so besides strength.
ONE = "Strength is one condition:"
HELD_BESIDES = f"{ONE} the wall must also be held at top and foot as the engineer asks."
TOP_FREE = f"{ONE} the engineer says whether its top may stay free."
BOTH_SIDES = f"{ONE} both sides rise together, within the step that the plan allows."
BRACED = f"{ONE} braces hold its top until the other side is filled."


@dataclass(frozen=True, slots=True)
class FillNeed:
    """One way a wall may be filled against. ``psi`` is what its legs need, the one that needs most; None where no
    strength answers for one of them, with why in ``refusal``. ``rows`` say it leg by leg, legs alike once; ``planned``:
    as the plan has it."""

    held: str
    psi: int | None
    rows: tuple[tuple[str, str], ...]
    besides: str
    refusal: str = ""
    planned: bool = False

    @property
    def question(self) -> str:
        """As it is asked."""
        return f"When is it strong enough for backfill, {self.held}?"


def fill_needs(plan: Plan, kind: Stage, legs: tuple[str, ...]) -> tuple[FillNeed, ...]:
    """Each way the legs of a wall may be filled against; () where they never carry earth."""
    top = plan.spec.bars.top_held
    held = top if top is not TopHeld.NOT_HELD else TopHeld.BRACED
    by_leg = _needed(plan, held)
    if kind is Stage.FROST_WALL:
        both, one = WallState.FROST_FILL, WallState.FROST_ONE_SIDE
        found = [
            (_states(by_leg, both, legs), STATE_WORDS[both], BOTH_SIDES, True),
            (_states(by_leg, one, legs), STATE_WORDS[one], BRACED, False),
        ]
    else:
        before, free = WallState.BEFORE_SLAB, TopHeld.NOT_HELD
        by_free = _states(_needed(plan, free), before, legs)
        found = [
            (by_free, f"before the slab is in, {TOP_WORDS[free]}", TOP_FREE, top is free),
            (_states(by_leg, before, legs), f"before the slab is in, {TOP_WORDS[held]}", HELD_BESIDES, top is held),
            (_states(by_leg, WallState.FINISHED, legs), SLAB_AND_FLOOR, HELD_BESIDES, False),
        ]
    return tuple(_need(needs, held_so, besides, planned) for needs, held_so, besides, planned in found if needs)


def planned_psi(needs: tuple[FillNeed, ...]) -> int | None:
    """What the filling that is planned asks for."""
    return next((need.psi for need in needs if need.planned), None)


def _needed(plan: Plan, top: TopHeld) -> dict[str, dict[WallState, StrengthNeeded]]:
    """Every leg in every state with its tops held so."""
    bars = replace(plan.spec.bars, top_held=top)
    asked = replace(plan, spec=replace(plan.spec, bars=bars))
    return needed_by_leg(asked, place(asked))


def _states(
    by_leg: dict[str, dict[WallState, StrengthNeeded]], state: WallState, legs: tuple[str, ...]
) -> list[tuple[str, StrengthNeeded]]:
    return [(leg, by_leg[leg][state]) for leg in legs if state in by_leg.get(leg, {})]


def _need(found: list[tuple[str, StrengthNeeded]], held: str, besides: str, planned: bool) -> FillNeed:
    without = [(leg, need) for leg, need in found if need.psi is None]
    psi = None if without else max(need.psi or 0 for _, need in found)
    return FillNeed(held, psi, needed_rows(found), besides, _refusal(without), planned)


def _refusal(without: list[tuple[str, StrengthNeeded]]) -> str:
    if not without:
        return ""
    need = without[0][1]
    why = need.reason.partition(": ")[2] or need.reason
    legs = leg_words(tuple(leg for leg, _ in without))
    return f"No strength answers for {legs}: {why}. The engineer of record says what is asked."


def needed_rows(found: list[tuple[str, StrengthNeeded]]) -> tuple[tuple[str, str], ...]:
    """Legs alike and what earth against them asks for, or why no strength answers."""
    rows: dict[str, list[str]] = {}
    for leg, need in found:
        # leg and state stand in the label
        basis = need.basis.partition(": ")[2] or need.basis
        why = need.reason.partition(": ")[2] or need.reason or basis
        psi = "No strength answers" if need.psi is None else f"{need.psi:,} psi"
        said = f"{psi}: {why}" if need.psi is None else basis if basis.startswith(psi) else f"{psi}: {basis}"
        rows.setdefault(said, []).append(leg)
    return tuple((f"Leg{'s' if len(legs) > 1 else ''} {in_runs(legs)}", said) for said, legs in rows.items())


def labelled(needs: tuple[FillNeed, ...]) -> tuple[tuple[str, str], ...]:
    """All of it for a list: how it is held and which legs, and what that asks for."""
    return tuple((f"{upper_first(need.held)}: {legs}", said) for need in needs for legs, said in need.rows)
