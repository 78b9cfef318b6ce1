"""The declared process as plain text: what a builder, a field lead and an inspector can read on one sheet."""

from __future__ import annotations

from collections.abc import Iterator

from inspections.gates import role_words
from inspections.process import Evidence, Point, PointKind, Scope, StageProcess
from inspections.stages import STAGES, WAIVED_WHEN_LOW


def process_sheet() -> str:
    """All stages, their points in order under the operation that waits for them."""
    return "\n".join(line for stage in STAGES for line in (*_stage(stage), "")).rstrip() + "\n"


def _stage(stage: StageProcess) -> Iterator[str]:
    yield stage.title.upper()
    yield stage.purpose
    for caution in stage.cautions:
        yield f"! {caution}"
    for operation in stage.operations:
        yield from _points(stage, operation.key)
        yield ""
        yield f"  >> {operation.title}, by {role_words(operation.does)}"
        if operation.caution:
            yield f"     ! {operation.caution}"
        for sentence in operation.waits:
            yield f"     {sentence}"
    yield from _points(stage, "")
    if stage.buries:
        yield ""
        yield "  Buries: " + ", ".join(s.title for s in STAGES if s.kind in stage.buries)


def _points(stage: StageProcess, before: str) -> Iterator[str]:
    for point in stage.points:
        if point.before == before:
            yield ""
            yield from _point(point)


def _point(point: Point) -> Iterator[str]:
    kind = "HOLD" if point.kind is PointKind.HOLD else "WITNESS"
    where = "the house" if point.scope is Scope.HOUSE else "each leg"
    yield f"  {kind}  {point.title}  ({where})"
    yield f"    {point.looks_at}"
    yield f"    Presented by {role_words(point.presents)}; released by {role_words(point.releases)}."
    if point.key in WAIVED_WHEN_LOW:
        yield "    Waived on legs with less than the stated unbalanced fill."
    for evidence in point.evidence:
        yield f"    - {_evidence(evidence)}"
    yield f"    Source: {point.source}"


def _evidence(evidence: Evidence) -> str:
    words = f"{evidence.label} [{evidence.kind.value}]"
    if evidence.criterion:
        words += f", compared with {evidence.criterion} ({evidence.unit})"
    if evidence.choices:
        words += ": " + " / ".join(label for _, label in evidence.choices)
    return words if evidence.required else f"{words}, if taken"
