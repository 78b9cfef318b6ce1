"""Adding up one kind of thing over legs, keeping the sum written out, per section and stage."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import NamedTuple

from takeoff.plan import Stage
from takeoff.results import Buy, Quantity, Unit
from takeoff.sources import Source
from takeoff.units import Length, format_length

CUBIC_INCHES_PER_YARD = 46_656.0
SQUARE_INCHES_PER_FOOT = 144.0


class Term(NamedTuple):
    """One entry of a sum: which leg, how much, and how it was worked out. ``waste`` is added when ordering; ``on_leg``
    False where ``leg`` names something else (a pad)."""

    leg: str
    amount: float
    text: str
    waste: float = 0.0
    on_leg: bool = True


@dataclass(slots=True)
class Tally:
    """Collects terms of one quantity; :meth:`quantities` gives one per section and stage, in order of arrival."""

    key: str
    label: str
    unit: Unit
    purpose: str
    source: Source
    buy: Buy | None = None
    note: str = ""
    terms: dict[tuple[str, Stage], list[Term]] = field(default_factory=dict)

    def add(
        self,
        section: str,
        stage: Stage,
        leg: str,
        amount: float,
        text: str,
        waste: float = 0.0,
        on_leg: bool = True,
    ) -> None:
        """Enter one term; a zero is left out."""
        if amount:
            self.terms.setdefault((section, stage), []).append(Term(leg, amount, text, waste, on_leg))

    def total(self, section: str, stage: Stage) -> float:
        """What one section and stage add up to so far."""
        return sum(term.amount for term in self.terms.get((section, stage), ()))

    def legs(self, section: str, stage: Stage) -> tuple[str, ...]:
        """Legs entered, once each."""
        return tuple(dict.fromkeys(term.leg for term in self.terms.get((section, stage), ()) if term.on_leg))

    def quantities(self) -> tuple[Quantity, ...]:
        """One quantity per section and stage, its basis the sum of its terms."""
        return tuple(self._quantity(section, stage) for section, stage in self.terms)

    def _quantity(self, section: str, stage: Stage) -> Quantity:
        terms = self.terms[section, stage]
        amount = sum(term.amount for term in terms)
        return Quantity(
            key=self.key,
            label=self.label,
            amount=amount,
            unit=self.unit,
            stage=stage,
            section=section,
            purpose=self.purpose,
            basis=written_sum(terms, self.unit) + self.note,
            source=self.source,
            buy=self._buy(terms, amount),
            legs=self.legs(section, stage),
        )

    def _buy(self, terms: list[Term], amount: float) -> Buy | None:
        """How it is bought; waste that differs from leg to leg is weighted by amount."""
        if self.buy is None or not any(term.waste for term in terms):
            return self.buy
        wasted = sum(term.amount * term.waste for term in terms) / amount
        return replace(self.buy, waste=self.buy.waste + wasted)


def written_sum(terms: list[Term], unit: Unit) -> str:
    """'A: 40'-0" x ... = 2.06; B: ... = 1.03; in all 3.09 yd3'."""
    parts = [f"{term.leg}: {term.text} = {number(term.amount)}" for term in terms]
    total = f"{number(sum(term.amount for term in terms))} {unit}"
    return f"{parts[0]} {unit}" if len(parts) == 1 else "; ".join(parts) + f"; in all {total}"


def number(value: float) -> str:
    """A figure as read in a sum: two decimals, one above a hundred, three below a tenth, whole numbers plain."""
    if abs(value - round(value)) < 5e-7:
        return f"{round(value):,}"
    if abs(value) < 0.1:
        return f"{value:.3f}"
    return f"{value:,.1f}" if abs(value) >= 100 else f"{value:.2f}"


@lru_cache(maxsize=4096)  # a length stands in several sums
def feet_inches(inches: float) -> str:
    """Inches of geometry written in feet and inches."""
    return format_length(Length.from_inches(inches))


@lru_cache(maxsize=4096)
def inch_text(inches: float) -> str:
    """A thickness or height written in inches: 8", 13 1/2"."""
    return format_length(Length.from_inches(inches), style="in")


def yards(cubic_inches: float) -> float:
    """Cubic inches in cubic yards."""
    return cubic_inches / CUBIC_INCHES_PER_YARD


def square_feet(square_inches: float) -> float:
    """Square inches in square feet."""
    return square_inches / SQUARE_INCHES_PER_FOOT
