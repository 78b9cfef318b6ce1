"""What the chosen guide says under the conditions asked: of single hours, and of a pour that takes several. No records,
no pages: the same hours, weather and conditions have the same answer whenever they are asked again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from inspections.winter.conditions import CANADA, FROZEN, SNOW, Conditions
from takeoff.weather.decide import CANADIAN, Decision, Protection, Rules, Verdict, decide, rules_306r
from takeoff.weather.hours import Series, clock_spans
from takeoff.weather.rules_306r import Service
from takeoff.weather.windows import Readiness, inputs_for

NO_THICKNESS = "Type the least thickness of the section: the guide's temperatures go by it."
NO_WEATHER = "No weather is kept that has these hours: nothing is decided without. Type it, bring it or fetch it."

#: Conditions that the guide's answer rests on, and those of the order that are the same from day to day: what a
#: decision keeps.
ANSWERS = (
    *("guide", "thickness_in", "concrete_f", "service", "accelerator", "covers", "heat", "base_warm", "pump"),
    *("ground", "wind_mph", "gust_mph", "need_h"),
)
ORDERS = ("pump_yd3_h", "haul_min", "cold_joint_min", "exposed", "weathering", "plant_phone", "aggregate_f")


@dataclass(frozen=True, slots=True)
class Answer:
    """The guide's answer for a pour: the strictest of its hours. ``reasons`` are the rules that decided, each once,
    with the hours they speak of; ``protection`` is what must be done after; ``missing`` is what is not on site and
    asked for, and ``enough`` whether the guide says go with protection once it is there."""

    verdict: Verdict
    reasons: tuple[str, ...]
    protection: str = ""
    missing: tuple[str, ...] = ()
    enough: bool = False
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def lacking(self) -> str:
        """'Missing on site: covers and heat. With them the guide says go with protection.'"""
        if not self.missing:
            return ""
        them = "them" if len(self.missing) > 1 else "it"
        then = (
            f"With {them} the guide says go with protection."
            if self.enough
            else f"Even with {them} the other reasons say no."
        )
        return f"Missing on site: {' and '.join(self.missing)}. {then}"

    @property
    def key(self) -> str:
        """The answer as it is kept: go, protect, no."""
        return KEYS[self.verdict]


KEYS = {Verdict.GO: "go", Verdict.PROTECT: "protect", Verdict.NO: "no"}
_ORDER = tuple(Verdict)


def rules_of(asked: Conditions) -> Rules | None:
    """The guide chosen, with the winds typed; None where ACI 306R lacks the thickness."""
    thickness = asked["thickness_in"]
    if asked["guide"] == CANADA:
        rules = CANADIAN
    elif thickness is None:
        return None
    else:
        rules = rules_306r(thickness, Service(asked["service"]), asked["accelerator"])
    return replace(rules, wind_mph=float(asked["wind_mph"]), gust_mph=float(asked["gust_mph"]))


def ready_of(asked: Conditions) -> Readiness:
    """What stands ready, as ticked."""
    return Readiness(
        covers=asked["covers"], heat=asked["heat"], concrete_f=asked["concrete_f"], frozen=asked["ground"] == FROZEN,
        snow=asked["ground"] == SNOW, base_kept_warm=asked["base_warm"], pump=asked["pump"],
    )  # fmt: skip


def kept(asked: Conditions) -> dict[str, object]:
    """The conditions as a decision keeps them: plain values, the usual ones spelled out."""
    return {name: value for name in (*ANSWERS, *ORDERS) if not isinstance(value := asked[name], date)}


def answer(series: Series | None, asked: Conditions, first: datetime, until: datetime) -> Answer:
    """The guide's answer for concrete placed from ``first`` to ``until``: that of the worst hour of it."""
    rules, ready = rules_of(asked), ready_of(asked)
    if rules is None:
        return Answer(Verdict.NO, (NO_THICKNESS,))
    wanted = round((until.timestamp() - first.timestamp()) / 3600)
    if series is None or not (found := _decided(series, ready, rules, first, wanted)):
        return Answer(Verdict.NO, (NO_WEATHER,))
    if len(found) < wanted:
        said = f"This weather has {len(found)} of the {wanted} hours: nothing is decided on the rest."
        return Answer(Verdict.NO, (said,))
    equipped = _decided(series, replace(ready, covers=True, heat=True), rules, first, wanted)
    return _answer(found, _worst(equipped) is not Verdict.NO)


def _decided(series: Series, ready: Readiness, rules: Rules, first: datetime, hours: int) -> list[Decision]:
    return [decide(each, rules) for each in inputs_for(series, ready, rules, first, hours)]


def _worst(found: Sequence[Decision]) -> Verdict:
    return max((each.verdict for each in found), key=_ORDER.index)


def _answer(found: Sequence[Decision], enough: bool) -> Answer:
    worst = _worst(found)
    own = [each for each in found if each.verdict is worst]
    asked = {reason.rule for each in own for reason in each.reasons}
    missing = tuple(name for name in ("covers", "heat") if name in asked)
    needs = _most([each.protection for each in own if each.protection is not None])
    return Answer(
        worst,
        tuple(by_rule(own, len(found))),
        needs.words if needs else "",
        missing,
        bool(missing) and enough,
        tuple(dict.fromkeys(note for each in found for note in each.notes)),
        tuple(dict.fromkeys(str(reason.source) for each in own for reason in each.reasons)),
    )


def _most(asked: Sequence[Protection]) -> Protection | None:
    """The protection of the hour that asks for most."""
    return max(asked, key=lambda each: each.heat, default=None)


def by_rule(decisions: Sequence[Decision], every: int = 0, first_only: bool = False) -> Iterable[str]:
    """Each rule that spoke in these hours once, with its hours (left out where it spoke in ``every`` hour) and the hour
    that speaks for them; or only the rule of each hour that decided it."""
    rules: dict[str, list[tuple[Decision, int]]] = {}
    for decision in decisions:
        for n, reason in enumerate(decision.reasons[: 1 if first_only else None]):
            rules.setdefault(reason.rule, []).append((decision, n))
    for rule, own in rules.items():
        strongest = max if rule in ("wind", "gust") else min
        decision, n = strongest(own, key=lambda each: float(each[0].reasons[each[1]].value or 0))
        hours = "" if len(own) == every else f"{clock_spans([each.at for each, _ in own])}: "
        yield f"{hours}{decision.reasons[n].words}"
