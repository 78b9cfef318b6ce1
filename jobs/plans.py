"""The plan of a house: its draft kept as typed, locked as a revision, and what the engine makes of a revision.

The draft is a plan document without ``site`` and without the firm's form systems: both are put in from the house when
the draft is read (:func:`complete`), and are written out in full when it is locked, so that a revision stands alone.
"""

from __future__ import annotations

import copy
import hashlib
import json
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.db import transaction
from django.http import HttpResponse
from django.utils import timezone
from django.utils.text import slugify

from jobs import access, events, form_data, plan_edits, plan_forms, plan_gather, plan_splits
from jobs.exceptions import Change, Refused, StalePage
from jobs.frozen import Facts, LegFacts, facts_to_json, frozen_to_json
from jobs.models import FormSystemRecord, House, Person, PlanDraft, PlanRevision, Role
from takeoff import fingerprint
from takeoff.compute import compute
from takeoff.geometry import place
from takeoff.openings_forms import formed_openings
from takeoff.plan import Face, Leg, Plan, Stage
from takeoff.planfile import PlanReading, read_plan, write_plan
from takeoff.problems import Problem, Severity, blockers
from takeoff.results import Takeoff
from takeoff.site import Site
from takeoff.stages import leg_stages
from takeoff.strength.needed import needed_by_leg
from takeoff.units import Length, exact_text, format_length

Document = dict[str, Any]

#: Who may walk the wall. Others read revisions.
WALKERS = (Role.BUILDER, Role.FIELD_LEAD)
#: Told with every revision; changes whenever the engine may give other numbers.
ENGINE_VERSION = "0.3.0"


class PlanRefused(Refused):
    """A plan that cannot be locked; ``problems`` are the blockers."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        count = len(problems)
        super().__init__(
            "One thing stands in the way of locking this plan."
            if count == 1
            else f"{count} things stand in the way of locking this plan."
        )


class PlanUnchanged(Refused):
    """A plan that says the same as the revision in force; nothing was made."""

    def __init__(self, revision: PlanRevision) -> None:
        self.revision = revision
        super().__init__(f"Nothing has changed since revision {revision.letter}; no new revision was made.")


# -- reading ---------------------------------------------------------------------------------------
def latest(house: House) -> PlanRevision | None:
    """The revision in force, None where no plan is locked yet."""
    return house.revisions.order_by("-number").first()


def complete(house: House, document: Document) -> Document:
    """A draft with the house's site and the firm's form systems put in, as the engine reads it.

    A form system in the document (from an imported file) stays where the firm has none under its key.
    """
    own = [row.data for row in FormSystemRecord.objects.filter(firm=house.firm).order_by("key")]
    known = {data.get("key") for data in own}
    brought = document.get("forms")
    others = (
        [f for f in brought if not (isinstance(f, dict) and f.get("key") in known)] if isinstance(brought, list) else []
    )
    out = {**plan_forms.plan_part(document), "site": site_document(house)}
    return {**out, "forms": [*own, *others]} if own or others else out


def site_document(house: House) -> Document:
    """The house's ground as the site part of a plan document."""
    row = house.site
    out: Document = {
        "soil_class": row.soil_class,
        "equivalent_fluid_pcf": row.equivalent_fluid_pcf,
        "bearing_psf": row.bearing_psf,
        "frost_depth": exact_text(row.frost_depth),
        "code_edition": row.code_edition or Site().code_edition,
    }
    for name in ("ground_water", "exterior_grade"):
        if getattr(row, name) is not None:
            out[name] = exact_text(getattr(row, name))
    return out


def stored_document(document: Document, plan: Plan) -> Document:
    """What a revision keeps: the walk as typed, and everything with defaults written out in full."""
    named = form_data.forms_named(document) | {leg.form for leg in plan.legs()}
    written = write_plan(replace(plan, forms=tuple(f for f in plan.forms if f.key in named)))
    return {**copy.deepcopy(document), **{key: written[key] for key in ("sections", "forms", "site", "spec")}} | {
        "sections": _sections_with_defaults(document, written["sections"])
    }


def _sections_with_defaults(document: Document, written: list[Document]) -> list[Document]:
    typed = {s.get("key"): s for s in document.get("sections") or [] if isinstance(s, dict)}
    return [
        {
            **s,
            **({"leg_defaults": typed[s["key"]]["leg_defaults"]} if "leg_defaults" in typed.get(s["key"], {}) else {}),
        }
        for s in written
    ]


def digest_of(plan: Plan) -> str:
    """Hash of what a plan says, however it was typed; of its form systems only those it uses."""
    used = {leg.form for leg in plan.legs()}
    said = write_plan(replace(plan, forms=tuple(f for f in plan.forms if f.key in used)))
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


def takeoff_of(revision: PlanRevision) -> Takeoff:
    """What today's engine makes of a revision's stored document: for drawings. Quantities are read from ``frozen``.

    Raises ValueError where the stored document can no longer be read, which a locked one always can."""
    return _takeoff(json.dumps(revision.document, sort_keys=True))


@lru_cache(maxsize=64)
def _takeoff(text: str) -> Takeoff:
    reading = read_plan(json.loads(text))
    if reading.plan is None:
        raise ValueError(" ".join(p.sentence for p in reading.problems))
    return compute(reading.plan)


def forget() -> None:
    """Drops the takeoffs that are kept, so that the next is made anew: for measuring."""
    _takeoff.cache_clear()


def facts_of(takeoff: Takeoff) -> Facts:
    """The small part of a takeoff that gates and lists read."""
    plan, prints = takeoff.plan, fingerprint.all_inputs(takeoff.plan)
    strength = needed_by_leg(plan, place(plan))
    legs = []
    for leg in plan.legs():
        fills = {u.stage: u for u in takeoff.unbalanced if u.leg == leg.name}
        legs.append(
            LegFacts(
                name=leg.name,
                section=leg.section,
                fingerprints={stage: prints[leg.name, stage] for stage in leg_stages(plan)[leg.name]},
                unbalanced_before_in={k: u.before_slab.inch for k, u in fills.items()},
                unbalanced_after_in={k: u.after_slab.inch for k, u in fills.items()},
                waived_before_slab={k: u.bracing_waived_before_slab for k, u in fills.items()},
                waived_after_slab={k: u.bracing_waived_after_slab for k, u in fills.items()},
                openings=len(leg.openings),
                frost_openings=_frost_openings(plan, leg),
                beam_pockets=len(leg.beam_pockets),
                ledge=bool(leg.ledges),
                strength={state: found.psi for state, found in strength.get(leg.name, {}).items()},
            )
        )
    return Facts(
        legs=tuple(legs),
        sections=tuple((s.key, s.name) for s in plan.sections if plan.legs_in(s.key)),
        house_fingerprint=fingerprint.house_inputs(plan),
        engineer_required=tuple(p.sentence for p in takeoff.problems if p.severity is Severity.ENGINEER),
    )


def _frost_openings(plan: Plan, leg: Leg) -> int:
    """Openings that, with their buck, reach below the highest top of the leg's frost wall."""
    tops = [top for top in (leg.frost_top, *(step.frost_top for step in leg.steps)) if top is not None]
    return sum(1 for opening in formed_openings(plan, leg) if tops and opening.sill < max(tops))


# -- the draft -------------------------------------------------------------------------------------
def draft_of(house: House) -> tuple[Document, int]:
    """The plan being walked and its version: the draft, or the revision in force, or an empty plan (version 0)."""
    draft = PlanDraft.objects.filter(house=house).first()
    if draft is not None:
        return dict(draft.document), draft.version
    revision = latest(house)
    if revision is not None:
        return start_of(revision), 0
    system = FormSystemRecord.objects.filter(firm=house.firm, retired_at=None).order_by("key").first()
    cores = [c.core for c in form_data.from_data(system.data).corners] if system else []
    core = next((c for c in cores if c == _USUAL_CORE), cores[0] if cores else None)
    return plan_edits.new_document(house.name, system.key if system else "", _inches(core)), 0


_USUAL_CORE = Length.inches(8)


def _inches(length: Length | None) -> str:
    return format_length(length, "in", 64) if length is not None else ""


def start_of(revision: PlanRevision) -> Document:
    """A revision's document as a draft again: without the house's ground, and with usual values left out."""
    out = copy.deepcopy({k: v for k, v in revision.document.items() if k != "site"})
    usual = write_plan(_EMPTY)["spec"]
    kept = {
        part: {name: value for name, value in values.items() if usual[part].get(name) != value}
        for part, values in (out.get("spec") or {}).items()
        if isinstance(values, dict) and part in usual
    }
    out["spec"] = {part: values for part, values in kept.items() if values}
    return {k: v for k, v in out.items() if v != {}}


_EMPTY = Plan(title="", drawing="", dimensions_to=Face.OUTSIDE_OF_FOAM, sections=(), walks=(), forms=())


@transaction.atomic
def save_draft(*, by: Person, house: House, document: Document, version: int, page: str = "") -> PlanDraft:
    """Keep what is typed. ``version`` is the one the page was opened on; :class:`StalePage` where somebody (or the same
    person on another page) has stored a newer one, and then nothing is saved. ``page`` names the page that types: what
    it stored itself is not newer than it. Typing is not an event; a revision is."""
    row = events.lock(house)
    access.require_role(by, row, *WALKERS)
    draft = _locked_draft(row)
    if page:
        document = {**document, plan_forms.PAGE: page}
    if draft is None:
        if version:
            raise StalePage((), 0)
        return PlanDraft.objects.create(house=row, document=document, updated_by=by)
    own = bool(page) and draft.document.get(plan_forms.PAGE) == page
    if draft.version != version and not own:
        raise _stale(draft)
    if draft.document != document:
        _set_draft(draft, document, by)
    return draft


def _stale(draft: PlanDraft) -> StalePage:
    who = str(draft.updated_by) if draft.updated_by else "Somebody"
    return StalePage((Change(who, draft.updated_at, "Walked on with the plan"),), draft.version)


def _locked_draft(house: House) -> PlanDraft | None:
    rows = PlanDraft.objects.select_for_update(of=("self",)).select_related("updated_by")
    return rows.filter(house=house).first()


@transaction.atomic
def replace_draft(*, by: Person, house: House, document: Document, why: str) -> PlanDraft:
    """Put another document in the draft's place. What was there is set aside and can be taken back."""
    row = events.lock(house)
    access.require_role(by, row, *WALKERS)
    draft = _locked_draft(row)
    fresh = plan_forms.plan_part(document)
    if draft is None:
        return PlanDraft.objects.create(house=row, document=fresh, updated_by=by)
    _set_draft(draft, fresh | {plan_forms.ASIDE: set_aside(draft.document, by, why)}, by)
    return draft


#: So many documents are kept beside a draft.
_MOST_ASIDE = 3


def set_aside(document: Document, by: Person, why: str, also: Document | None = None) -> list[Document]:
    """What is set aside after putting aside a document: newest first, with when, by whom and why."""
    earlier = (also or document).get(plan_forms.ASIDE)
    entry = {
        "why": why,
        "by": str(by),
        "at": timezone.now().isoformat(timespec="minutes"),
        "document": plan_forms.plan_part(document),
    }
    return [entry, *(earlier if isinstance(earlier, list) else [])][:_MOST_ASIDE]


def _set_draft(draft: PlanDraft, document: Document, by: Person) -> None:
    draft.document, draft.updated_by, draft.updated_at = document, by, timezone.now()
    draft.version += 1
    draft.save()


# -- revisions -------------------------------------------------------------------------------------
@events.once("lock_plan")
def lock(
    *,
    by: Person,
    house: House,
    document: Document | None = None,
    note: str = "",
    version: int | None = None,
    client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> PlanRevision:
    """Make the next revision from the draft (or from ``document``).

    Refused with every blocker (:class:`PlanRefused`), where it says the same as the revision in force
    (:class:`PlanUnchanged`), and where the draft is newer than ``version``, the one on the page (:class:`StalePage`).
    """
    row = events.lock(house)
    role = access.require_role(by, row, *WALKERS)
    if document is None:
        document = _draft_to_lock(row, version)
    reading, takeoff = read_and_compute(complete(row, document))
    if takeoff is None:
        raise PlanRefused(plan_gather.gathered(document, blockers(reading.problems)))
    stored = stored_document(complete(row, document), takeoff.plan)
    return _make(by, role, row, stored, note, "lock_plan", client_id, device_at)


def read_and_compute(document: Document) -> tuple[PlanReading, Takeoff | None]:
    """A document read and, where nothing stands in its way, taken off; else every problem and no takeoff."""
    reading = read_plan(document)
    if reading.plan is None:
        return reading, None
    takeoff = compute(reading.plan)
    if blockers(takeoff.problems):
        return PlanReading(None, takeoff.problems), None
    return PlanReading(reading.plan, takeoff.problems), takeoff


def _draft_to_lock(house: House, version: int | None) -> Document:
    draft = _locked_draft(house)
    if draft is None:
        raise PlanRefused((Problem(Severity.BLOCKER, "No wall is walked yet; type a first leg."),))
    if version is not None and draft.version != version:
        raise _stale(draft)
    return plan_forms.plan_part(draft.document)


def _make(
    by: Person,
    role: Role,
    house: House,
    document: Document,
    note: str,
    verb: str,
    client_id: UUID | None,
    device_at: datetime | None,
) -> PlanRevision:
    """The next revision of a locked house from a document that reads well. Raises :class:`PlanUnchanged`."""
    takeoff = _takeoff(json.dumps(document, sort_keys=True))
    before, digest = latest(house), digest_of(takeoff.plan)
    if before is not None and before.digest == digest:
        raise PlanUnchanged(before)
    revision = PlanRevision.objects.create(
        house=house,
        number=before.number + 1 if before else 1,
        note=note.strip()[:300],
        document=document,
        digest=digest,
        facts=facts_to_json(facts_of(takeoff)),
        frozen=frozen_to_json(takeoff),
        engine_version=ENGINE_VERSION,
        locked_by=by,
    )
    events.record(
        client_id=client_id,
        verb=verb,
        by=by,
        role=role,
        house=house,
        summary=f"Locked plan revision {revision.letter}" + (f": {revision.note}" if revision.note else ""),
        subject=revision,
        device_at=device_at,
    )
    return revision


# -- splitting a section ---------------------------------------------------------------------------
@events.once("split_section")
def split_section(
    *,
    by: Person,
    house: House,
    legs: tuple[str, ...],
    name: str,
    client_id: UUID | None = None,
    device_at: datetime | None = None,
) -> PlanRevision:
    """A new revision whose only change is that some legs of one section become a section of their own.

    The new section keeps the course lines, slab and leg defaults of the old one, so that no release is voided."""
    row = events.lock(house)
    role = access.require_role(by, row, *WALKERS)
    before = latest(row)
    if before is None:
        raise Refused("No plan is locked yet, so there is no section to split.")
    plan = takeoff_of(before).plan
    name = " ".join(name.split())
    plan_splits.check_split(plan, legs, name)
    key = plan_splits.new_key(plan, name)
    document = plan_splits.split(before.document, plan, frozenset(legs), key, name)
    plan_splits.check_nothing_else_changed(plan, document)
    draft = _locked_draft(row)
    if draft is not None and isinstance(draft.document.get("walks"), list):
        changed = plan_splits.split(draft.document, plan, frozenset(legs), key, name)
        _set_draft(draft, changed, by)
    note = f"{name} split off: {', '.join(legs)}"
    return _make(by, role, row, document, note, "split_section", client_id, device_at)


def sections_by_stage(facts: Facts) -> dict[Stage, tuple[str, ...]]:
    """Keys of the sections that go through each stage."""
    return {stage: tuple(key for key, _ in facts.sections if facts.legs_in(key, stage)) for stage in Stage}


# -- files -----------------------------------------------------------------------------------------
def letter_after(revision: PlanRevision | None) -> str:
    """Letter of the revision that comes after this one."""
    return PlanRevision(number=revision.number + 1 if revision else 1).letter


def as_file(document: Document, name: str) -> HttpResponse:
    """A plan document as a JSON file to keep, never shown as a page."""
    text = json.dumps(document, ensure_ascii=False, indent=1)
    answer = HttpResponse(text, content_type="application/json; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{slugify(name) or "plan"}.json"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
