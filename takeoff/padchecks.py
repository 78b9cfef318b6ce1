"""What can be wrong with pad footings whose fields could be read: names, sections, room for bars, the slab above."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.plan import Pad, Plan
from takeoff.problems import Problem, Severity
from takeoff.units import Length, format_length


def pads(plan: Plan) -> Iterator[Problem]:
    """Every pad with a name of its own, in a section of the plan, thick and wide enough for its bars in their cover."""
    seen: set[str] = set()
    for k, pad in enumerate(plan.pads):
        if pad.name.casefold() in seen:
            sentence = f"Pad {pad.name}: the name is used twice; every pad needs its own."
            yield Problem(Severity.BLOCKER, sentence, f"pads.{k}.name")
        seen.add(pad.name.casefold())
        yield from _section(plan, pad, k)
        yield from _room(plan, pad, k)


def _section(plan: Plan, pad: Pad, k: int) -> Iterator[Problem]:
    """Its section must be there; a pad that stands above the underside of that section's slab is pointed out."""
    section = next((s for s in plan.sections if s.key == pad.section), None)
    if section is None:
        accepted = ", ".join(sorted(s.key for s in plan.sections))
        sentence = f"Pad {pad.name}: section “{pad.section}” is not one of the plan's ({accepted})."
        yield Problem(Severity.BLOCKER, sentence, f"pads.{k}.section")
    elif section.slab_top is not None and pad.top > section.slab_top - section.slab_thickness:
        under = section.slab_top - section.slab_thickness
        sentence = f"Pad {pad.name}: its top {pad.top} stands above the underside of the slab, {under}."
        yield Problem(Severity.WARNING, sentence, f"pads.{k}.top")


def _room(plan: Plan, pad: Pad, k: int) -> Iterator[Problem]:
    """Two layers of bars and the footing's cover on both sides of them must fit, in height and across."""
    if pad.bars_each_way == 0:
        return
    cover, bar = plan.spec.footing.cover, Length.from_inches(pad.bar_size / 8)
    for field, size, least in (
        ("thickness", pad.thickness, cover * 2 + bar * 2),
        ("length", pad.length, cover * 2 + bar * pad.bars_each_way),
        ("width", pad.width, cover * 2 + bar * pad.bars_each_way),
    ):
        if size < least:
            inches = format_length(least, "in")
            sentence = f"Pad {pad.name}: its {field} {format_length(size, 'in')} has no room for its bars with "
            sentence += f"{format_length(cover, 'in')} of cover on both sides; {inches} or more is needed."
            yield Problem(Severity.BLOCKER, sentence, f"pads.{k}.{field}")
