"""What the engine made of a plan revision, kept beside it: small facts for gates, everything else for pages.

A revision is read thousands of times and made once, and the engine may improve later; so quantities, numbers that were
released against and verdicts are stored, not worked out anew. Drawings, and lists of what is drawn, are made from the
stored document.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from jobs.engine_json import from_plain, to_plain
from takeoff import area_method, assembly, footing_code
from takeoff.geometry import place
from takeoff.plan import Stage
from takeoff.results import Criterion, Quantity, SteelCheck, Takeoff, Unbalanced, WallState


@dataclass(frozen=True, slots=True)
class LegFacts:
    """What a gate must know of one leg. ``fingerprints``: of the inputs to each stage the leg goes through.
    ``frost_openings``: how many of the openings reach below the top of its frost wall. ``strength``: concrete strength
    [psi] it needs by state, None where no strength answers; empty in a plan locked before it was worked out, without
    a fill on one side first in one locked before that was."""

    name: str
    section: str
    fingerprints: Mapping[Stage, str]
    unbalanced_before_in: Mapping[Stage, float]
    unbalanced_after_in: Mapping[Stage, float]
    waived_before_slab: Mapping[Stage, bool]
    waived_after_slab: Mapping[Stage, bool]
    openings: int = 0
    frost_openings: int = 0
    beam_pockets: int = 0
    ledge: bool = False
    strength: Mapping[WallState, int | None] = field(default_factory=dict)

    @property
    def stages(self) -> frozenset[Stage]:
        """Kinds of stage this leg goes through."""
        return frozenset(self.fingerprints)


@dataclass(frozen=True, slots=True)
class Facts:
    """The legs and sections of one revision, in walking order."""

    legs: tuple[LegFacts, ...]
    sections: tuple[tuple[str, str], ...]  # key, name
    house_fingerprint: str
    engineer_required: tuple[str, ...] = ()  # sentences; shown wherever something is released

    def leg(self, name: str) -> LegFacts | None:
        """A leg by name, or None."""
        return next((leg for leg in self.legs if leg.name == name), None)

    def legs_in(self, section: str, stage: Stage | None = None) -> tuple[str, ...]:
        """Names of the legs of a section that go through a stage, in walking order."""
        return tuple(x.name for x in self.legs if x.section == section and (stage is None or stage in x.stages))

    def legs_of(self, stage: Stage) -> tuple[str, ...]:
        """Names of all legs that go through a stage."""
        return tuple(leg.name for leg in self.legs if stage in leg.stages)


def facts_to_json(facts: Facts) -> dict[str, Any]:
    """Plain JSON for the database."""
    return {
        "legs": [
            {
                "name": x.name,
                "section": x.section,
                "fingerprints": {k.value: v for k, v in x.fingerprints.items()},
                "unbalanced": {
                    k.value: [
                        x.unbalanced_before_in[k],
                        x.unbalanced_after_in[k],
                        x.waived_before_slab[k],
                        x.waived_after_slab[k],
                    ]
                    for k in x.unbalanced_before_in
                },
                "openings": x.openings,
                "frost_openings": x.frost_openings,
                "beam_pockets": x.beam_pockets,
                "ledge": x.ledge,
                "strength": {state.value: psi for state, psi in x.strength.items()},
            }
            for x in facts.legs
        ],
        "sections": [list(s) for s in facts.sections],
        "house_fingerprint": facts.house_fingerprint,
        "engineer_required": list(facts.engineer_required),
    }


def facts_from_json(data: Mapping[str, Any]) -> Facts:
    """Read what :func:`facts_to_json` wrote."""
    return Facts(
        legs=tuple(_leg_from_json(x) for x in data["legs"]),
        sections=tuple((key, name) for key, name in data["sections"]),
        house_fingerprint=data["house_fingerprint"],
        engineer_required=tuple(data.get("engineer_required", ())),
    )


def _leg_from_json(data: Mapping[str, Any]) -> LegFacts:
    unbalanced = {Stage(k): v for k, v in data["unbalanced"].items()}
    return LegFacts(
        name=data["name"],
        section=data["section"],
        fingerprints={Stage(k): v for k, v in data["fingerprints"].items()},
        unbalanced_before_in={k: v[0] for k, v in unbalanced.items()},
        unbalanced_after_in={k: v[1] for k, v in unbalanced.items()},
        waived_before_slab={k: v[2] for k, v in unbalanced.items()},
        waived_after_slab={k: v[3] for k, v in unbalanced.items()},
        openings=data["openings"],
        frost_openings=data.get("frost_openings", 0),
        beam_pockets=data["beam_pockets"],
        ledge=data["ledge"],
        strength={WallState(state): psi for state, psi in data.get("strength", {}).items()},
    )


@dataclass(frozen=True, slots=True)
class Checks:
    """What a plan was held against when it was locked: upright steel, footings, what walls are worth against the cold,
    and the order by layout against the order by area."""

    steel: tuple[SteelCheck, ...]
    footings: tuple[footing_code.Verdict, ...]
    walls: tuple[assembly.Assembly, ...]
    areas: tuple[area_method.Comparison, ...]


@dataclass(frozen=True, slots=True)
class Frozen:
    """Stored quantities, criteria, unbalanced heights, problems and verdicts of a revision. ``checks`` is None where it
    was locked before they were worked out."""

    quantities: tuple[Quantity, ...]
    criteria: tuple[Criterion, ...]
    unbalanced: tuple[Unbalanced, ...]
    problems: tuple[dict[str, Any], ...]
    checks: Checks | None = None

    def quantities_of(self, stage: Stage, sections: tuple[str, ...] | None = None) -> tuple[Quantity, ...]:
        """Quantities of one stage, all sections or the named ones."""
        return tuple(q for q in self.quantities if q.stage is stage and (sections is None or q.section in sections))

    def criteria_of(
        self, stage: Stage, keys: tuple[str, ...], legs: tuple[str, ...] | None = None
    ) -> tuple[Criterion, ...]:
        """The named criteria of a stage that concern any of the legs, in the order of ``keys``."""
        wanted = None if legs is None else set(legs)
        hits = [
            c
            for c in self.criteria
            if c.stage is stage and c.key in keys and (wanted is None or not c.legs or wanted & set(c.legs))
        ]
        return tuple(sorted(hits, key=lambda c: keys.index(c.key)))


def checks_of(takeoff: Takeoff) -> Checks:
    """The verdicts on a takeoff; none where its plan cannot be built."""
    if not takeoff.units:
        return Checks((), (), (), ())
    plan = takeoff.plan
    return Checks(
        steel=takeoff.checks,
        footings=footing_code.check(plan, place(plan)).verdicts,
        walls=assembly.assemblies(plan),
        areas=area_method.compare(takeoff),
    )


def frozen_to_json(takeoff: Takeoff) -> dict[str, Any]:
    """Quantities, criteria, unbalanced heights, problems and verdicts as plain JSON."""
    return {
        "quantities": to_plain(takeoff.quantities),
        "criteria": to_plain(takeoff.criteria),
        "unbalanced": to_plain(takeoff.unbalanced),
        "problems": to_plain(takeoff.problems),
        "checks": to_plain(checks_of(takeoff)),
    }


def frozen_from_json(data: Mapping[str, Any]) -> Frozen:
    """Read what :func:`frozen_to_json` wrote, now or in an earlier program."""
    checks = data.get("checks")
    return Frozen(
        quantities=from_plain(Quantity, data["quantities"]),
        criteria=from_plain(Criterion, data["criteria"]),
        unbalanced=from_plain(Unbalanced, data["unbalanced"]),
        problems=tuple(data["problems"]),
        checks=None if checks is None else _checks_from_json(checks),
    )


def _checks_from_json(data: Mapping[str, Any]) -> Checks:
    return Checks(
        steel=from_plain(SteelCheck, data["steel"]),
        footings=from_plain(footing_code.Verdict, data["footings"]),
        walls=from_plain(assembly.Assembly, data["walls"]),
        areas=from_plain(area_method.Comparison, data["areas"]),
    )
