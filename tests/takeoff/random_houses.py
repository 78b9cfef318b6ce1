"""Houses drawn by lot from a number, the same every time: square and clipped corners, steps, openings, Ts."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

from takeoff.forms import GENERIC_16, GENERIC_18, FormSystem
from takeoff.plan import (
    Attachment,
    Leg,
    OddCourse,
    Opening,
    OpeningKind,
    Plan,
    RestWay,
    Step,
    Straight,
    Walk,
    WalkKind,
)
from takeoff.units import Length
from tests.takeoff.plans import MAIN, leg, plan, ring

FOOT = Length.feet(86)
Side = tuple[float, float]  # inches, turn


def house(seed: int) -> Plan:
    """The house of a number: one form system, one ring walked either way round."""
    rng = Random(seed)
    form = replace(rng.choice((GENERIC_16, GENERIC_18)), handed=rng.random() < 0.6)
    tall = Length.inches(rng.choice((rng.randint(44, 72), rng.randint(3, 4) * round(form.face_height.inch))))
    frost = FOOT + Length.inches(rng.randint(14, 30)) if rng.random() < 0.4 else None
    usual = leg("x", "1", form=form.key, core=rng.choice(form.cores()[1:]), footing_top=FOOT, frost_top=frost,
                wall_top=FOOT + tall)  # fmt: skip
    sides = clipped(rng, skyline(rng))
    if rng.random() < 0.5:
        sides = mirrored(sides)
    legs = [one_leg(rng, f"L{k}", length, turn, usual, form) for k, (length, turn) in enumerate(sides)]
    section = replace(
        MAIN,
        rest_way=rng.choice(list(RestWay)),
        odd_course=rng.choice((OddCourse.TOP, OddCourse.TOP, OddCourse.BOTTOM)),
    )
    made = plan(ring(*legs), *inner_wall(rng, legs, usual), forms=(form,), sections=(section,))
    buck = Length.inches(rng.choice(("0", "0", "1.5")))
    return replace(made, spec=replace(made.spec, layout=replace(made.spec.layout, buck=buck)))


def inner_wall(rng: Random, legs: list[Leg], usual: Leg) -> list[Walk]:
    """In every third house a short wall inside, standing on a leg without openings, square to it or not; its top may
    be another than that of the wall it stands on."""
    assert usual.wall_top is not None
    hosts = [g for g in legs if not g.openings and isinstance(g.path, Straight) and g.path.length > Length.inches(150)]
    if not hosts or rng.random() > 0.34:
        return []
    host = rng.choice(hosts)
    assert isinstance(host.path, Straight)
    inward = 90.0 if sum(g.turn_deg for g in legs) > 0 else -90.0
    angle = inward - rng.choice((0.0, 0.0, 25.0)) * math.copysign(1.0, inward)
    top = usual.wall_top + Length.inches(rng.choice((0, 0, 8, -10, 20)))
    wall = replace(usual, name="T", path=Straight(Length.inches(rng.randint(50, 130))), turn_deg=0, wall_top=top)
    return [Walk("inner", WalkKind.SPUR, (wall,), angle, starts_on=Attachment(host.name, host.path.length.half()))]


def skyline(rng: Random) -> list[Side]:
    """A flat south side and one to three columns of different depth, counter-clockwise."""
    widths = [rng.randint(200, 420) / 2 + 60 for _ in range(rng.randint(1, 3))]
    depths = [rng.randint(200, 500) / 2 + 60 for _ in widths]
    for i in range(1, len(depths)):
        if abs(depths[i] - depths[i - 1]) < 80:
            depths[i] = depths[i - 1] + 80
    sides = [(sum(widths), 90.0), (depths[-1], 90.0)]
    for i in range(len(widths) - 1, 0, -1):
        up = depths[i - 1] > depths[i]
        sides += [(widths[i], -90.0 if up else 90.0), (abs(depths[i] - depths[i - 1]), 90.0 if up else -90.0)]
    return [*sides, (widths[0], 90.0), (depths[0], 90.0)]


def clipped(rng: Random, sides: list[Side]) -> list[Side]:
    """Some corners, outside and inside ones, cut off by a slanting leg between two 45 degree turns."""
    lengths, turns = [s[0] for s in sides], [s[1] for s in sides]
    clips = [0.0] * len(sides)
    for k in range(len(sides)):
        after = (k + 1) % len(sides)
        room = min(lengths[k], lengths[after]) - 80
        if room > 0 and rng.random() < 0.3:
            clips[k] = rng.uniform(40, min(room, 100)) if room > 40 else 0.0
            lengths[k] -= clips[k]
            lengths[after] -= clips[k]
    out: list[Side] = []
    for length, turn, clip in zip(lengths, turns, clips, strict=True):
        if clip:
            half = math.copysign(45.0, turn)
            out += [(length, half), (clip * math.sqrt(2), half)]
        else:
            out.append((length, turn))
    return out


def mirrored(sides: list[Side]) -> list[Side]:
    """The same outline walked the other way round."""
    lengths, turns = [s[0] for s in sides], [s[1] for s in sides]
    return list(zip(lengths[::-1], [-t for t in (*turns[-2::-1], turns[-1])], strict=True))


def one_leg(rng: Random, name: str, inches: float, turn: float, usual: Leg, form: FormSystem) -> Leg:
    """A leg of some length, perhaps with a step of the footing, the top or both, perhaps with an opening or two."""
    assert usual.wall_top is not None
    length, steps = Length.from_inches(inches), ()
    face = round(form.face_height.inch)
    if inches > 110 and rng.random() < 0.35:
        rise = Length.inches(rng.choice((face, face // 2, rng.randint(1, 20))))
        drop = Length.inches(rng.choice((face, rng.randint(1, 15))))
        kind = rng.choice(("footing", "top", "both"))
        at = Length.inches(rng.randint(30, int(inches) - 30))
        steps = (
            Step(
                at,
                footing_top=usual.footing_top + rise if kind != "top" else None,
                wall_top=usual.wall_top - drop if kind != "footing" else None,
            ),
        )
    return replace(
        usual, name=name, path=Straight(length), turn_deg=turn, steps=steps, openings=tuple(holes(rng, inches, usual))
    )


def holes(rng: Random, inches: float, usual: Leg) -> list[Opening]:
    out, at = [], 30
    assert usual.wall_top is not None
    while rng.random() < 0.4 and len(out) < 2:
        offset, width = at + rng.randint(0, 80), rng.randint(20, 60)
        if offset + width + 30 > inches:
            break
        sill = usual.footing_top + Length.inches(rng.randint(-4, 40))
        head = min(usual.wall_top, sill + Length.inches(rng.randint(16, 70)))
        if head > sill + Length.inches(8):
            kind = rng.choice((OpeningKind.WINDOW, OpeningKind.DOOR))
            out.append(Opening(f"O{len(out)}", kind, Length.inches(width), head - sill, sill, Length.inches(offset)))
        at = offset + width + 14
    return out
