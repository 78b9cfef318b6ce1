"""Reading the records of the pours of a stage: what stands, and which legs are filled together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

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
from inspections.standing import Ledger, StageRow

RecordT = TypeVar("RecordT", bound=PourRecord)


@dataclass(frozen=True, slots=True)
class Records:
    """What stands on record of a stage's pours, oldest first; what was replaced is left out."""

    mixes: tuple[MixAgreed, ...]
    loads: tuple[TruckLoad, ...]
    temperatures: tuple[TemperatureReading, ...]
    alignments: tuple[AlignmentReading, ...]
    cylinders: tuple[CylinderBreak, ...]
    moments: tuple[PourMoment, ...]
    estimates: tuple[StrengthEstimate, ...] = ()
    loggers: tuple[LoggerFile, ...] = ()
    protections: tuple[ProtectionSet, ...] = ()
    levels: tuple[LevelReading, ...] = ()
    decisions: tuple[PourDecision, ...] = ()

    def of(self, legs: tuple[str, ...]) -> Records:
        """Those that are about any of the legs."""
        return Records(
            _about(self.mixes, legs),
            _about(self.loads, legs),
            _about(self.temperatures, legs),
            _about(self.alignments, legs),
            _about(self.cylinders, legs),
            _about(self.moments, legs),
            _about(self.estimates, legs),
            _about(self.loggers, legs),
            _about(self.protections, legs),
            _about(self.levels, legs),
            _about(self.decisions, legs),
        )

    @property
    def mix(self) -> MixAgreed | None:
        """The latest agreement."""
        return self.mixes[-1] if self.mixes else None


def records(stage: int) -> Records:
    """All that stands on record of a stage. Eleven queries."""
    return Records(
        agreed_mixes(stage),
        tuple(sorted(_standing(TruckLoad, stage), key=lambda load: (load.batched, load.pk))),
        tuple(sorted(_standing(TemperatureReading, stage), key=lambda reading: (reading.taken, reading.pk))),
        tuple(sorted(_standing(AlignmentReading, stage), key=lambda reading: (reading.taken, reading.pk))),
        _standing(CylinderBreak, stage),
        tuple(sorted(_standing(PourMoment, stage), key=lambda moment: (moment.when, moment.pk))),
        _standing(StrengthEstimate, stage),
        _standing(LoggerFile, stage),
        tuple(sorted(_standing(ProtectionSet, stage), key=lambda found: (found.when, found.pk))),
        tuple(sorted(_standing(LevelReading, stage), key=lambda found: (found.taken, found.pk))),
        _standing(PourDecision, stage),
    )


def agreed_mixes(stage: int) -> tuple[MixAgreed, ...]:
    """What stands agreed of the mix of a stage's pours, oldest first. One query."""
    return _standing(MixAgreed, stage)


def _standing(model: type[RecordT], stage: int) -> tuple[RecordT, ...]:
    rows = model._default_manager.filter(stage=stage, replaced_by=None)
    return tuple(rows.select_related("by").order_by("pk"))


def _about(rows: Iterable[RecordT], legs: tuple[str, ...]) -> tuple[RecordT, ...]:
    wanted = set(legs)
    return tuple(row for row in rows if wanted & set(row.legs))


def pours_of(ledger: Ledger, row: StageRow, found: Records) -> tuple[tuple[str, ...], ...]:
    """The legs of the stage, those filled together in one group: named by the same latest agreement, else of one
    section; and always together where one truck came for them."""
    groups: dict[str, object] = {leg.name: ("section", leg.section) for leg in ledger.legs_of(row)}
    for mix in found.mixes:
        groups.update({name: ("mix", mix.pk) for name in mix.legs if name in groups})
    for load in found.loads:
        together = {groups[name] for name in load.legs if name in groups}
        for name, group in groups.items():
            if group in together:
                groups[name] = ("load", load.pk)
    out: dict[object, list[str]] = {}
    for name, group in groups.items():
        out.setdefault(group, []).append(name)
    return tuple(tuple(names) for names in out.values())


def way_of(load: TruckLoad) -> tuple[TruckLoad, ...]:
    """The records of one truck from the first to this one, as it was gone on with. One query for each before it."""
    way = [load]
    while way[0].replaces_id is not None:
        way.insert(0, TruckLoad._default_manager.get(pk=way[0].replaces_id))
    return tuple(way)
