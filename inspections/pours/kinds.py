"""The kinds of record a pour has, as data: who may write each, what it says, and what cannot be.

``problems`` are sentences by field about what is said alone; :mod:`inspections.pours.checks` compares with what is
already on record.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any, Final

from inspections.ahead import MODELLED
from inspections.pours.models import (
    AlignmentReading,
    CylinderBreak,
    LevelReading,
    LoggerFile,
    MixAgreed,
    PourDecision,
    PourMoment,
    PourRecord,
    ProtectionSet,
    StrengthEstimate,
    TemperatureReading,
    TruckLoad,
)
from jobs.models import Role
from takeoff.plan import Stage
from takeoff.pour.tolerances import off_text
from takeoff.units import Length, format_length

Said = Mapping[str, Any]
#: Field and sentence.
Wrong = tuple[str, str]

#: Stages that are poured, with the operation that says it is done.
POURED: Final = {
    Stage.FOOTING: "pour_footing",
    Stage.FROST_WALL: "pour_frost_wall",
    Stage.FULL_WALL: "pour_full_wall",
}
_LOG: Final = (Role.FIELD_LEAD, Role.BUILDER)
_VOUCH: Final = (Role.ENGINEER, Role.BUILDER)
_DECIDES: Final = (Role.BUILDER,)


def _nothing(said: Said) -> list[Wrong]:
    return []


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of record. ``title`` is what a page calls it, ``says`` how it reads in the log of the house; ``times``
    are its times in the order they must have."""

    key: str
    model: type[PourRecord]
    title: str
    writes: tuple[Role, ...]
    says: Callable[[Said], str]
    times: tuple[tuple[str, str], ...] = ()
    more: Callable[[Said], list[Wrong]] = _nothing

    def problems(self, said: Said) -> list[Wrong]:
        """What cannot be, each beside its field."""
        return [*out_of_order(self.times, said), *self.more(said)]


def out_of_order(times: tuple[tuple[str, str], ...], said: Said) -> list[Wrong]:
    """A time before the one that comes before it: one sentence beside the later."""
    known = [(name, word, said[name]) for name, word in times if said.get(name) is not None]
    return [
        (name, f"“{word}” at {clock_words(at)} is before “{before}” at {clock_words(then)}.")
        for (_, before, then), (name, word, at) in pairwise(known)
        if at < then
    ]


def clock_words(at: datetime) -> str:
    """'Nov 3, 2:05 pm', on the clock it was given on."""
    said = f"{at:%I:%M}".lstrip("0") + (" am" if at.hour < 12 else " pm")
    return f"{at:%b} {at.day}, {said}"


def _truck_wrong(said: Said) -> list[Wrong]:
    """A decision and the times that go with it."""
    decision, out = said.get("decision"), []
    if decision == TruckLoad.Decision.REJECTED and not said.get("reason"):
        out.append(("reason", "Say why the truck is sent back."))
    if decision == TruckLoad.Decision.REJECTED and said.get("started"):
        out.append(("started", "A truck that is sent back places nothing: leave out when placing began."))
    if decision == TruckLoad.Decision.OPEN and said.get("started"):
        out.append(("started", "Accept the truck before its concrete is placed."))
    if said.get("ended") and not said.get("started"):
        out.append(("started", "Say when placing began: a truck that is empty was begun."))
    if said.get("water_gal") and not said.get("water_by"):
        out.append(("water_by", "Say who had the water added."))
    return out


def _truck_says(said: Said) -> str:
    state = {TruckLoad.Decision.ACCEPTED.value: "accepted", TruckLoad.Decision.REJECTED.value: "sent back"}
    words = state.get(str(said.get("decision") or ""), "arrived")
    if said.get("ended"):
        words = "empty"
    return f"Truck {said['ticket']}, {said['yd3']:g} yd3: {words}"


def _mix_wrong(said: Said) -> list[Wrong]:
    if said["most_f"] < said["least_f"]:
        return [("most_f", f"At most {said['most_f']:g} °F is under the least of {said['least_f']:g} °F.")]
    return _curve_wrong(said.get("curve") or [])


def _curve_wrong(points: list[list[float]]) -> list[Wrong]:
    """The supplier's curve is one the model can take."""
    if not points:
        return []
    from takeoff.heat.layers import HeatError
    from takeoff.heat.strength import own_curve

    try:
        own_curve([(days, psi) for days, psi in points])
    except HeatError as wrong:
        return [("curve", str(wrong))]
    return []


def _logger_wrong(said: Said) -> list[Wrong]:
    """A file that can be read."""
    from takeoff.heat.layers import HeatError
    from takeoff.heat.maturity import read_logger

    try:
        read_logger(said["text"], said["begun"])
    except HeatError as wrong:
        return [("text", str(wrong))]
    return []


def protection_words(said: Said) -> str:
    """'R 5 on both sides, air heated to 50 °F'."""
    where = (("side_r", "both sides"), ("top_r", "the top"))
    parts = [f"R {said[name]:g} on {word}" for name, word in where if said[name]]
    if said.get("air_f") is not None:
        parts.append(f"air heated to {said['air_f']:g} °F")
    return ", ".join(parts) or "none any more"


def _protection_wrong(said: Said) -> list[Wrong]:
    if said["side_r"] or said["top_r"] or said.get("air_f") is not None:
        return []
    done = PourMoment.What.UNPROTECTED.label
    return [("side_r", f"Write an R or heated air; where all of it came off, write down “{done}” instead.")]


#: The guide's answers and the decisions, the freest first.
STRICTER: Final = tuple(PourDecision.Verdict)


def is_against(verdict: str, answer: str) -> bool:
    """Whether a decision goes further than the guide's answer: go where it asks for protection, either where it says
    no. Being more careful than the guide is nobody's business."""
    return STRICTER.index(PourDecision.Verdict(verdict)) < STRICTER.index(PourDecision.Verdict(answer))


def _decision_wrong(said: Said) -> list[Wrong]:
    out = []
    if said["until"] <= said["first_at"]:
        out.append(("until", "The pour ends after it begins."))
    if is_against(said["verdict"], said["answer"]) and not str(said.get("note") or "").strip():
        guide = PourDecision.Verdict(said["answer"]).label
        out.append(("note", f"The guide says “{guide}”: say why you decide against it."))
    return out


def _decision_says(said: Said) -> str:
    against = ", against the guide" if is_against(said["verdict"], said["answer"]) else ""
    verdict = PourDecision.Verdict(said["verdict"]).label
    return f"Decided: {verdict}{against}, first concrete {clock_words(said['first_at'])}"


def _alignment_wrong(said: Said) -> list[Wrong]:
    if all(said.get(name) is None for name in ("plumb_in", "line_in", "top_in")):
        return [("plumb_in", "Write at least one of plumb, line and top.")]
    return []


def _alignment_says(said: Said) -> str:
    parts = [f"{word} {off_text(said[n])}" for n, word in _OFF if said.get(n) is not None]
    return f"Alignment: {', '.join(parts)}"


_OFF: Final = (("plumb_in", "plumb"), ("line_in", "line"), ("top_in", "top"))

TRUCK: Final = Kind(
    "truck",
    TruckLoad,
    "Truck",
    _LOG,
    _truck_says,
    (("batched", "Batched"), ("arrived", "Arrived"), ("started", "Placing began"), ("ended", "Empty")),
    _truck_wrong,
)
MIX: Final = Kind(
    "mix",
    MixAgreed,
    "Mix agreed",
    _VOUCH,
    lambda said: f"Mix agreed: slump {said['slump_in']:g} in, approved by {said['approved_by']}",
    more=_mix_wrong,
)
TEMPERATURE: Final = Kind(
    "temperature",
    TemperatureReading,
    "Temperature",
    _LOG,
    lambda said: f"{said['value_f']:g} °F, {TemperatureReading.Place(said['place']).label}",
)
ALIGNMENT: Final = Kind("alignment", AlignmentReading, "Alignment", _LOG, _alignment_says, more=_alignment_wrong)


def _moment_wrong(said: Said) -> list[Wrong]:
    """Forms that opened leave concrete behind and weak places: all of it is written down."""
    if said["what"] == PourMoment.What.OPENED and not said.get("note"):
        return [("note", "Write where the forms opened, about how many yards were lost, and what gave way.")]
    return []


MOMENT: Final = Kind(
    "moment", PourMoment, "Done to the fresh wall", _LOG,
    lambda said: PourMoment.What(said["what"]).label.capitalize(), more=_moment_wrong,
)  # fmt: skip


def _no_probe(said: Said) -> str:
    """An estimate without a reading of the wall says so wherever it is told."""
    return f" ({MODELLED})" if said["ahead"]["by"] == MODELLED else ""


CYLINDER: Final = Kind(
    "cylinder",
    CylinderBreak,
    "Cylinder",
    _VOUCH,
    lambda said: f"Cylinder {said['specimen']}: {said['psi']:,.0f} psi",
    (("cast", "Cast"), ("broken", "Broken")),
)
ESTIMATE: Final = Kind(
    "estimate",
    StrengthEstimate,
    "Estimate of strength",
    _VOUCH,
    lambda said: (
        f"Strength estimated at {said['low_psi']:,.0f} to {said['high_psi']:,.0f} psi is accepted{_no_probe(said)}"
        if "low_psi" in said
        else "The estimate of strength is accepted"
    ),
)
LOGGER: Final = Kind(
    "logger", LoggerFile, "Logger file", _LOG,
    lambda said: f"Logger file {said['name']}, {TemperatureReading.Place(said['place']).label}", more=_logger_wrong,
)  # fmt: skip
PROTECTION: Final = Kind(
    "protection", ProtectionSet, "Protection", _LOG, lambda said: f"Protection: {protection_words(said)}",
    more=_protection_wrong,
)  # fmt: skip


def _level_wrong(said: Said) -> list[Wrong]:
    """Read from the top of the forms downward."""
    if said["down_in"] < 0:
        return [("down_in", "Write how far down the concrete stands; 0 where it is at the top of the forms.")]
    return []


def _level_says(said: Said) -> str:
    return f"Concrete {format_length(Length.from_inches(said['down_in']))} down from the top of the forms"


LEVEL: Final = Kind(
    "level", LevelReading, "Level of the concrete", _LOG, _level_says, (("taken", "Read at"),), more=_level_wrong
)
#: Worked out by the pages of the weather, not typed on the page of the pour. Its times lie ahead.
DECISION: Final = Kind("decision", PourDecision, "Go or no go", _DECIDES, _decision_says, more=_decision_wrong)
KINDS: Final = {
    kind.key: kind
    for kind in (
        TRUCK, MIX, LEVEL, TEMPERATURE, LOGGER, PROTECTION, ALIGNMENT, MOMENT, CYLINDER, ESTIMATE, DECISION,
    )
}  # fmt: skip
#: Kinds whose times are still to come.
AHEAD: Final = frozenset({DECISION.key})
