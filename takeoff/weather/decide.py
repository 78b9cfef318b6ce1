"""May concrete be placed in this hour, and what does it take: go, go with protection, or no, and the deciding rule.

The cold rule is about the days after, not the hour of the pour: an afternoon at 46 F before a night at 28 F is a cold
pour. An hour is decided from :class:`Inputs` alone, so that any decision can be made again with one of them changed.
Every reason names its rule, the input, its value and the limit. In the order asked:

=================  ===========================================================================================
forecast           hours known ahead without a gap cover the time looked at, else nothing is decided
frozen, snow       nobody found frozen ground, ice or snow where concrete goes
base               air of the day before (mean) above freezing, unless the base and forms were kept warm
wind, gust         mean wind and gusts within what a boom and a crew on scaffolds stand
line               air in which a pump line does not freeze
concrete           temperature at discharge known and within its limits, which are narrower in the cold
covers, heat       what the lowest temperature ahead asks for is on site
beyond             the lowest temperature ahead is within what heat can hold
cold               protection, on site, for the time the guide asks
=================  ===========================================================================================

A guide's answer to a forecast: the local code, the engineer of record and the people who see the ground decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from takeoff.sources import COMMON_PRACTICE, Source
from takeoff.weather.hours import fahrenheit, spoken
from takeoff.weather.rules_306r import (
    COLD_BELOW_F,
    COLD_WEATHER,
    MOST_ABOVE_LEAST_F,
    PLACING,
    Service,
    drop_limit_f,
    placing_minimum_f,
    protection_days,
)

#: Stands wherever these answers are shown.
CAUTION = (
    "A guide's answer to a forecast, not a permission: local code, the engineer of record and those who see the ground "
    "and the forms decide."
)
FREEZING_F = 32.0
HOTTEST_F = 95.0
HOT = Source("ACI 305.1, ACI 301", "-14, -20", "95 °F at discharge, as quoted by public pages")
NOT_ON_FROZEN = Source("ACI 306R", "-88", "4.1 no concrete on frozen ground, ice or snow", seen=False)
CANADIAN_COLD = Source("Ontario Building Code", "2012", "9.3.1.9 cold weather, with CSA A23.1-14 7.1.2.1 as quoted")


class Verdict(StrEnum):
    """The three answers."""

    GO = "go"
    PROTECT = "go with protection"
    NO = "no"


@dataclass(frozen=True, slots=True)
class Rules:
    """Limits to decide by. Temperatures in F, winds in mph, times in hours.

    ``covers_good_to_f`` is the lowest air that covers alone are taken to hold against, ``heat_good_to_f`` that heat is;
    both, and the winds and the pump line, are common practice until a heat model, a supplier or the crew says better.
    """

    name: str
    source: Source
    cold_below_f: float
    least_f: float
    most_f: float
    hold_f: float
    hold_h: float | None  # None: until a strength is reached
    drop_24h_f: float | None = None
    look_ahead_h: float = 72.0
    hottest_f: float = HOTTEST_F
    covers_good_to_f: float = 10.0
    heat_good_to_f: float = -15.0
    wind_mph: float = 25.0
    gust_mph: float = 35.0
    line_least_f: float = 10.0

    @property
    def watched_h(self) -> float:
        """Hours whose lowest air counts, as far as they are known: cold weather is told for the time of protection
        (ACI 306R), which may be longer than the time that must be known."""
        return max(self.look_ahead_h, self.hold_h or 0.0)


def rules_306r(thickness_in: float, service: Service = Service.NO_LOAD_EXPOSED, accelerated: bool = False) -> Rules:
    """Limits of ACI 306R for a section [in]: the lowest air of 72 h, or of the whole protection where that is longer,
    decides; protection lasts as the guide asks."""
    least = placing_minimum_f(thickness_in)
    days = protection_days(service, accelerated)
    hold = None if days is None else days * 24
    return Rules(
        f"ACI 306R, {thickness_in:g} in section", PLACING, COLD_BELOW_F, least, least + MOST_ABOVE_LEAST_F, least, hold,
        drop_limit_f(thickness_in),
    )  # fmt: skip


#: Below 5 C now or in the days ahead: concrete of 10 to 25 C, kept at 10 C for 72 h.
CANADIAN = Rules(
    "Ontario Building Code", CANADIAN_COLD, fahrenheit(5), fahrenheit(10), fahrenheit(25), fahrenheit(10), 72.0
)


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything that one hour is decided from.

    ``low_f`` is the lowest air from this hour to the end of the time looked at, ``low_at`` when; ``known_h`` how far
    the weather is known without a gap. ``base_f`` is what base and forms are taken to be at: the mean air of the day
    before, None where they were kept warm. ``frozen`` and ``snow`` are what somebody found; ``concrete_f`` is the
    concrete at discharge.
    """

    at: datetime
    air_f: float
    low_f: float
    low_at: datetime
    known_h: float
    wind_mph: float | None = None
    gust_mph: float | None = None
    base_f: float | None = None
    frozen: bool = False
    snow: bool = False
    covers: bool = False
    heat: bool = False
    concrete_f: float | None = None
    pump: bool = True


@dataclass(frozen=True, slots=True)
class Reason:
    """One rule that spoke: ``input`` is the name of the field of :class:`Inputs`, ``limit`` what it is held against."""

    rule: str
    verdict: Verdict
    input: str
    value: float | bool | None
    limit: float | bool
    words: str
    source: Source


@dataclass(frozen=True, slots=True)
class Protection:
    """What must be done from the last bucket on. ``hold_h`` None: until the strength asked for is reached."""

    covers: bool
    heat: bool
    hold_f: float
    hold_h: float | None
    drop_24h_f: float | None

    @property
    def words(self) -> str:
        """'Covers and heat: keep the concrete at 55 F or more for 72 h.'"""
        what = "Covers and heat" if self.heat else "Covers"
        long = "until the strength asked for is reached" if self.hold_h is None else f"for {self.hold_h:g} h"
        text = f"{what}: keep the concrete at {self.hold_f:.0f} °F or more {long}"
        if self.drop_24h_f is not None:
            text += f", then let it cool by no more than {self.drop_24h_f:g} °F in a day"
        return text + "."


@dataclass(frozen=True, slots=True)
class Decision:
    """The answer for one hour. ``reasons`` are never empty, the one that decided first; all have the same verdict."""

    at: datetime
    verdict: Verdict
    reasons: tuple[Reason, ...]
    protection: Protection | None
    notes: tuple[str, ...]
    inputs: Inputs

    @property
    def rule(self) -> str:
        """The rule that decided."""
        return self.reasons[0].rule

    @property
    def input(self) -> str:
        """The input that decided."""
        return self.reasons[0].input

    @property
    def value(self) -> float | bool | None:
        """Its value."""
        return self.reasons[0].value

    @property
    def limit(self) -> float | bool:
        """What it was held against."""
        return self.reasons[0].limit

    @property
    def words(self) -> str:
        """All reasons, said."""
        return " ".join(r.words for r in self.reasons)


def decide(inputs: Inputs, rules: Rules) -> Decision:
    """Decide one hour: no where any rule says so, else protection where it is cold, else go."""
    notes = _notes(inputs, rules)
    stops = (*_forecast(inputs, rules), *_place(inputs), *_air(inputs, rules), *_concrete(inputs, rules))
    stops += _on_site(inputs, rules)
    if stops:
        return Decision(inputs.at, Verdict.NO, stops, None, notes, inputs)
    if _cold(inputs, rules):
        cold, protection = _protect(inputs, rules)
        return Decision(inputs.at, Verdict.PROTECT, cold, protection, notes, inputs)
    ahead = min(inputs.known_h, rules.watched_h)
    words = f"Not under {_said(rules.cold_below_f)} °F in the {_said(ahead)} h ahead: lowest {_low(inputs)}."
    go = Reason("warm", Verdict.GO, "low_f", inputs.low_f, rules.cold_below_f, words, _cold_source(rules))
    return Decision(inputs.at, Verdict.GO, (go,), None, notes, inputs)


def _no(
    rule: str, field: str, value: float | bool | None, limit: float | bool, words: str, source: Source
) -> tuple[Reason, ...]:
    return (Reason(rule, Verdict.NO, field, value, limit, words, source),)


def _cold(inputs: Inputs, rules: Rules) -> bool:
    return inputs.low_f < rules.cold_below_f


def _cold_source(rules: Rules) -> Source:
    return rules.source if rules.cold_below_f != COLD_BELOW_F else COLD_WEATHER


def _said(number: float) -> str:
    """One decimal where there is one, so that 39.6 is not said as 40 beside a limit of 40."""
    return f"{number:.1f}".removesuffix(".0")


def _low(inputs: Inputs) -> str:
    return f"{_said(inputs.low_f)} °F {spoken(inputs.low_at)}"


def _forecast(inputs: Inputs, rules: Rules) -> tuple[Reason, ...]:
    if inputs.known_h >= rules.look_ahead_h:
        return ()
    words = (
        f"The weather is known for {_said(inputs.known_h)} h from here, {rules.look_ahead_h:g} are needed to decide."
    )
    return _no("forecast", "known_h", inputs.known_h, rules.look_ahead_h, words, COMMON_PRACTICE)


def _place(inputs: Inputs) -> tuple[Reason, ...]:
    out: tuple[Reason, ...] = ()
    if inputs.frozen:
        words = "The ground or the footing was found frozen: thaw it, keep it covered, look again."
        out += _no("frozen", "frozen", True, False, words, NOT_ON_FROZEN)
    if inputs.snow:
        words = "Ice or snow was found in the forms: blow it out with warm air, look again."
        out += _no("snow", "snow", True, False, words, NOT_ON_FROZEN)
    if inputs.base_f is not None and inputs.base_f <= FREEZING_F:
        words = f"Base and forms have stood in {_said(inputs.base_f)} °F for a day, maybe frozen: warm and cover them."
        out += _no("base", "base_f", inputs.base_f, FREEZING_F, words, NOT_ON_FROZEN)
    return out


def _air(inputs: Inputs, rules: Rules) -> tuple[Reason, ...]:
    out: tuple[Reason, ...] = ()
    if inputs.wind_mph is not None and inputs.wind_mph > rules.wind_mph:
        words = f"Wind {_said(inputs.wind_mph)} mph, over {rules.wind_mph:g}: no boom, nobody on the scaffolds."
        out += _no("wind", "wind_mph", inputs.wind_mph, rules.wind_mph, words, COMMON_PRACTICE)
    if inputs.gust_mph is not None and inputs.gust_mph > rules.gust_mph:
        words = f"Gusts of {_said(inputs.gust_mph)} mph, over {rules.gust_mph:g}: no boom, nobody on the scaffolds."
        out += _no("gust", "gust_mph", inputs.gust_mph, rules.gust_mph, words, COMMON_PRACTICE)
    if inputs.pump and inputs.air_f < rules.line_least_f:
        words = f"Air {_said(inputs.air_f)} °F, under {rules.line_least_f:g}: the pump line freezes."
        out += _no("line", "air_f", inputs.air_f, rules.line_least_f, words, COMMON_PRACTICE)
    return out


def _concrete(inputs: Inputs, rules: Rules) -> tuple[Reason, ...]:
    cold, found = _cold(inputs, rules), inputs.concrete_f
    least = rules.least_f if cold else FREEZING_F
    most, source = (rules.most_f, rules.source) if cold else (rules.hottest_f, HOT)
    if found is None:
        words = f"Ask the plant: the concrete's temperature at discharge is not known, {least:.0f} °F or more needed."
        return _no("concrete", "concrete_f", None, least, words, rules.source)
    span = f"{least:.0f} to {most:.0f} °F is needed"
    if found < least:
        words = f"Concrete of {_said(found)} °F is too cold, {span}: reject the truck."
        return _no("concrete", "concrete_f", found, least, words, rules.source)
    if found > most:
        words = f"Concrete of {_said(found)} °F is too warm, {span}: reject the truck."
        return _no("concrete", "concrete_f", found, most, words, source)
    return ()


def _on_site(inputs: Inputs, rules: Rules) -> tuple[Reason, ...]:
    out: tuple[Reason, ...] = ()
    if not _cold(inputs, rules):
        return out
    if inputs.low_f < rules.heat_good_to_f:
        words = f"Lowest {_low(inputs)}, under the {rules.heat_good_to_f:g} °F that heat can hold against."
        return _no("beyond", "low_f", inputs.low_f, rules.heat_good_to_f, words, COMMON_PRACTICE)
    if not inputs.covers:
        words = f"Covers are not on site: lowest {_low(inputs)}, cold is under {_said(rules.cold_below_f)} °F."
        out += _no("covers", "covers", False, True, words, rules.source)
    if inputs.low_f < rules.covers_good_to_f and not inputs.heat:
        words = f"Heat is not on site: lowest {_low(inputs)}, covers alone hold to {rules.covers_good_to_f:g} °F."
        out += _no("heat", "heat", False, True, words, COMMON_PRACTICE)
    return out


def _protect(inputs: Inputs, rules: Rules) -> tuple[tuple[Reason, ...], Protection]:
    heat = inputs.low_f < rules.covers_good_to_f
    protection = Protection(True, heat, rules.hold_f, rules.hold_h, rules.drop_24h_f)
    words = f"{protection.words} Lowest {_low(inputs)}, cold is under {_said(rules.cold_below_f)} °F."
    source = _cold_source(rules)
    return (Reason("cold", Verdict.PROTECT, "low_f", inputs.low_f, rules.cold_below_f, words, source),), protection


def _notes(inputs: Inputs, rules: Rules) -> tuple[str, ...]:
    out: tuple[str, ...] = ()
    if inputs.wind_mph is None and inputs.gust_mph is None:
        out += (f"The wind is not known: no boom over {rules.wind_mph:g} mph.",)
    if _cold(inputs, rules) and inputs.air_f >= rules.cold_below_f:
        out += ("Warm enough to place, too cold after it to leave bare: have the protection ready.",)
    return out
