"""What `manage.py bench` times, and how long each may take.

A measure is a name, a limit and something to run. To add one, yield it from `measures`.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from time import perf_counter

from jobs.models import PlanRevision
from takeoff.compute import compute
from takeoff.planfile import read_plan


@dataclass(frozen=True)
class Measure:
    """`run` is timed; it should take less than `limit_s` on two cores."""

    name: str
    limit_s: float
    run: Callable[[], object]


@dataclass(frozen=True)
class Timing:
    """How long a measure took: the best and the worst of several runs."""

    measure: Measure
    best_s: float
    worst_s: float

    @property
    def within(self) -> bool:
        """Whether it usually stays below its limit; the best run tells that of a machine that is busy otherwise."""
        return self.best_s < self.measure.limit_s


def measures() -> Iterator[Measure]:
    """Everything that is timed, on the largest house there is; nothing where there is no locked plan."""
    revision = largest_revision()
    if revision is None:
        return
    yield Measure(f"Plan file read, {revision.house.name}", 0.2, lambda: read_plan(revision.document))
    plan = read_plan(revision.document).plan
    if plan is not None:
        yield Measure(f"Takeoff, {revision.house.name}", 0.2, lambda: compute(plan))


def largest_revision() -> PlanRevision | None:
    """The latest revision of the house with the most legs."""
    revisions = PlanRevision.objects.select_related("house").order_by("number")
    latest = {revision.house_id: revision for revision in revisions}
    return max(latest.values(), key=lambda revision: len(revision.facts.get("legs", ())), default=None)


def time(measure: Measure, times: int) -> Timing:
    """Runs `measure` once to warm up and then `times` times."""
    measure.run()
    took = []
    for _ in range(times):
        started = perf_counter()
        measure.run()
        took.append(perf_counter() - started)
    return Timing(measure, min(took), max(took))


def table(timings: list[Timing]) -> str:
    """One line per timing, under headings, in milliseconds."""
    width = max([len(timing.measure.name) for timing in timings], default=0)
    lines = [f"{'':{width}}  {'best':>8}  {'worst':>8}  {'limit':>8}"]
    for timing in timings:
        numbers = (timing.best_s, timing.worst_s, timing.measure.limit_s)
        cells = "  ".join(f"{seconds * 1000:5.0f} ms" for seconds in numbers)
        lines.append(f"{timing.measure.name:{width}}  {cells}{'' if timing.within else '  over'}")
    return "\n".join(lines)
