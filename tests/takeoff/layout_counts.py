"""An independent count of a block layout: the order against the units that stand, and against what is drawn.

Corner units are counted one by one; straight units are packed again, longest first, one saw cut between two pieces. An
order may be better than that, never worse, and never below the length there is to cut.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict

from takeoff.blocks import Layout
from takeoff.drawings.scene import Scene, Text
from takeoff.geometry import Placement
from takeoff.plan import Plan
from takeoff.results import UnitKind
from tests.takeoff.layout_checker import CORNERS

SAW_CUT = 6_350_000
MARK = re.compile(r"^(S|C|H|CR|CL|CO|45R|45L|45|M)\b")


def check_counts(plan: Plan, layout: Layout) -> None:
    """Quantities against the units that stand."""
    legs = {leg.name: leg for leg in plan.legs()}
    corners: Counter[tuple[str, str, str]] = Counter()
    pools: dict[tuple[str, str, str, str, int], list[int]] = defaultdict(list)
    caps: Counter[str] = Counter()
    for unit in layout.units:
        leg = legs[unit.leg]
        caps[leg.section] += unit.cap_start + unit.cap_end
        if unit.kind in CORNERS:
            corners[leg.section, unit.stage, unit.kind.value] += unit.counted
        elif unit.counted:
            form = plan.form(leg.form)
            low = form.half_height.nm if unit.part_height and form.half_height else 0
            high = (unit.top - unit.bottom).nm if unit.ripped else low or form.face_height.nm
            kind = "half_height" if unit.part_height else "straight"
            pools[leg.section, unit.stage, kind, leg.form, high].append((unit.end - unit.start).nm)
    check_straight(plan, layout, pools)
    for (section, stage, kind), count in corners.items():
        assert told(layout, section, stage, f"blocks.{kind}") == count
    for section, count in caps.items():
        said = sum(q.amount for q in layout.quantities if (q.section, q.key) == (section, "blocks.end_caps"))
        assert said == count


def check_tees(placement: Placement, layout: Layout) -> None:
    """Cut-outs where a wall meets another: one in every course of the through wall that it reaches."""
    cut = 0
    for tee in placement.tees:
        spur = [u for u in layout.units if u.leg == tee.spur]
        low, high = min(u.bottom for u in spur), placement.legs[tee.spur].leg.levels.top
        beside = [u for u in layout.units if u.leg == tee.through and u.start <= tee.at < u.end]
        cut += sum(1 for u in beside if u.bottom < high and u.top > low)
    assert sum(q.amount for q in layout.quantities if q.key == "forms.tee_cutouts") == cut


def check_straight(plan: Plan, layout: Layout, pools: dict[tuple[str, str, str, str, int], list[int]]) -> None:
    most: Counter[tuple[str, str, str]] = Counter()
    least: Counter[tuple[str, str, str]] = Counter()
    for (section, stage, kind, key, _), lengths in pools.items():
        form = plan.form(key)
        shortest = plan.spec.layout.minimum_piece or form.web_spacing
        most[section, stage, kind] += pack(lengths, form.length.nm, SAW_CUT, shortest.nm)
        least[section, stage, kind] += -(-sum(lengths) // form.length.nm)
    mitred = any(u.kind is UnitKind.MITRE for u in layout.units)  # takes more at inside corners
    for group, count in most.items():
        said = told(layout, group[0], group[1], f"blocks.{group[2]}")
        assert least[group] <= said and (said <= count or mitred)


def told(layout: Layout, section: str, stage: str, key: str) -> float:
    """What the order says of one kind, over all cores."""
    return sum(
        q.amount for q in layout.quantities if (q.section, q.stage) == (section, stage) and q.key.split("[")[0] == key
    )


def pack(lengths: list[int], stock: int, kerf: int, least: int) -> int:
    """First-fit decreasing, written the long way."""
    rooms: list[int] = []
    for length in sorted(lengths, reverse=True):
        for i, room in enumerate(rooms):
            if room - kerf >= max(length, least):
                rooms[i] = room - kerf - length
                break
        else:
            rooms.append(stock - length)
    return len(rooms)


# -- what is drawn ---------------------------------------------------------------------------------
def drawn_marks(scene: Scene) -> Counter[str]:
    """How many units of each kind an elevation shows, by the first word printed on them ('S48' as S)."""
    found: Counter[str] = Counter()
    for shape in scene.shapes:
        if isinstance(shape, Text) and (match := MARK.match(re.sub(r"^([SH])(?=\d)", r"\1 ", shape.text))):
            found[match[1]] += 1
    return found


def check_drawn(plan: Plan, placement: Placement, layout: Layout, scenes: dict[str, Scene]) -> None:
    """The order counted again on the drawings: both halves of a corner unit are shown, one on each leg."""
    seen: Counter[str] = Counter()
    for scene in scenes.values():
        seen += drawn_marks(scene)
    corners = {"CR": "corner_right", "CL": "corner_left", "CO": "corner"}
    slanted = {"45R": "corner_45_right", "45L": "corner_45_left", "45": "corner_45"}
    for word, key in (corners | slanted).items():
        ordered = sum(q.amount for q in layout.quantities if q.key.split("[")[0] == f"blocks.{key}")
        assert seen[word] == 2 * ordered, f"{word}: {seen[word]} halves drawn, {ordered} ordered"
    pieces = sum(1 for u in layout.units if u.kind not in CORNERS)
    assert seen["S"] + seen["C"] + seen["H"] + seen["M"] == pieces
    ordered_text = " ".join(q.basis.split(";")[0] for q in layout.quantities if q.key.startswith("blocks.straight"))
    numbers = [int(n) for n in re.findall(r"(\d+) (?:whole|cut)", ordered_text)]
    assert seen["S"] + seen["C"] + seen["M"] == sum(numbers)
