"""What `manage.py bench` times, and how long each may take.

A measure is a name, a limit (or none) and something to run. To add one, yield it from `measures`. Houses to measure
are made for the purpose in `foundation/bench_houses.py` and are gone afterwards; a plan with everything in it stands in
`foundation/bench_plans.py`, published cutting problems are read by `foundation/bench_cutting.py`.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from time import perf_counter

from django.db import connection
from django.http import HttpResponse
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now

from foundation.bench_cutting import Problem, problems
from foundation.bench_houses import Builder, builder_of, example
from foundation.bench_plans import houses
from foundation.bench_winter import month_by_general_solver, month_of_a_wall, ten_days
from inspections.handouts import document, pictures
from inspections.handouts.subject import subject_of
from inspections.views import lists
from jobs import plans
from jobs.models import HouseStage
from takeoff.compute import compute
from takeoff.cutting import CuttingMethod, fewest, first_fit, forget
from takeoff.plan import Plan
from takeoff.planfile import read_plan

#: The largest of the example plans.
LARGEST = "juniper-bend"
ADDRESS = "https://houses.example/houses/1/stages/1/"
#: How many houses a board is measured with.
BOARDS = (3, 300)


@dataclass(frozen=True)
class Measure:
    """`run` is timed; where there is a limit it should take less than `limit_s` on two cores. A text it returns is
    printed beside its times. What is `slow` is run once."""

    name: str
    limit_s: float | None
    run: Callable[[], object]
    slow: bool = False


@dataclass(frozen=True)
class Timing:
    """How long a measure took, best and median of several runs, and how often it asked the database."""

    measure: Measure
    best_s: float
    median_s: float
    queries: int
    said: str = ""

    @property
    def within(self) -> bool:
        """Whether it usually stays below its limit; the best run tells that of a machine that is busy otherwise."""
        return self.measure.limit_s is None or self.best_s < self.measure.limit_s


def measures() -> Iterator[Measure]:
    """Everything that is timed: the engine, cutting plans, winter's questions, every hand-out of the largest example,
    the board few and many."""
    raw = example(LARGEST)
    plan = read_plan(raw).plan
    assert plan is not None
    yield Measure(f"Plan file read, {LARGEST}", 0.2, lambda: read_plan(raw))
    yield Measure(f"Takeoff, {LARGEST}", 0.2, _takeoff_of([plan]))
    yield from _houses()
    yield from _cutting()
    yield Measure("Heat, 28 days of a wall by the hour", 0.05, month_of_a_wall)
    yield Measure("Heat, the same by a general ODE solver", None, month_by_general_solver, slow=True)
    yield Measure("Weather, ten days go or no-go", 0.5, ten_days())
    yield from _handouts(builder_of(1, LARGEST))
    for count in BOARDS:
        yield Measure(f"Board, {count} houses", None, _board_of(builder_of(count)))


def _houses() -> Iterator[Measure]:
    """One hard house without and with a search for the best cutting plans, and many of it."""
    one, quick = [houses()], CuttingMethod.FIRST_FIT
    yield Measure("Takeoff, hard house of 250 ft, first fit", 0.05, _takeoff_of(one, quick))
    yield Measure("Takeoff, hard house of 250 ft, proven cuts", 1.0, _takeoff_of(one))
    yield Measure("Takeoff, 10 such houses in a plan, first fit", None, _takeoff_of([houses(10)], quick), slow=True)
    yield Measure("Takeoff, 10 such plans, first fit", None, _takeoff_of([houses(10)] * 10, quick), slow=True)


def _takeoff_of(plans: Sequence[Plan], cutting: CuttingMethod = CuttingMethod.PROVEN) -> Callable[[], object]:
    def run() -> None:
        for plan in plans:
            forget()
            compute(plan, cutting)

    return run


def _cutting() -> Iterator[Measure]:
    """Published cutting problems, each as few bars as can be found and longest first."""
    for problem in problems():
        yield Measure(f"Cutting, {problem.name}", 0.6, _cut(problem), slow=True)
    yield Measure("Cutting, all 20 longest first", None, lambda: [first_fit(p.pieces, p.stock) for p in problems()])


def _cut(problem: Problem) -> Callable[[], object]:
    def run() -> str:
        forget()
        plan, quick = fewest(problem.pieces, problem.stock), first_fit(problem.pieces, problem.stock)
        return f"{plan.stock} bars, {plan.said()}; longest first {quick.stock}"

    return run


def _handouts(builder: Builder) -> Iterator[Measure]:
    """The whole hand-out of every stage, made as for the first time."""
    for stage in builder.houses[0].stages.all():
        yield Measure(f"Hand-out, {stage.title.lower()}", 2.0, _handout_of(stage))


def _handout_of(stage: HouseStage) -> Callable[[], object]:
    def run() -> bytes:
        pictures.forget()
        plans.forget()
        revision = plans.latest(stage.house)
        assert revision is not None
        return document.pdf(subject_of(stage.house, stage, revision, now()), ADDRESS)

    return run


def _board_of(builder: Builder) -> Callable[[], object]:
    def run() -> HttpResponse:
        request = RequestFactory().get("/board/")
        request.user, request.htmx = builder.person, False  # type: ignore[attr-defined]
        return lists.board(request)  # type: ignore[arg-type]

    return run


def time(measure: Measure, times: int) -> Timing:
    """Runs `measure` once to warm up, counting its queries, and then `times` times; a slow one only that once."""
    took = []
    with CaptureQueriesContext(connection) as asked:
        started = perf_counter()
        found = measure.run()
        first = perf_counter() - started
    for _ in range(0 if measure.slow else times):
        started = perf_counter()
        measure.run()
        took.append(perf_counter() - started)
    took = took or [first]
    return Timing(measure, min(took), median(took), len(asked), found if isinstance(found, str) else "")


def table(timings: list[Timing]) -> str:
    """One line per timing, under headings, in milliseconds."""
    width = max([len(timing.measure.name) for timing in timings], default=0)
    lines = [f"{'':{width}}  {'best':>8}  {'median':>8}  {'limit':>8}  {'queries':>7}"]
    for timing in timings:
        limit = timing.measure.limit_s
        numbers = (timing.best_s, timing.median_s)
        cells = "  ".join(f"{seconds * 1000:5.0f} ms" for seconds in numbers)
        limited = "    none" if limit is None else f"{limit * 1000:5.0f} ms"
        asked = f"{timing.queries:>7}" if timing.queries else f"{'none':>7}"
        after = ("" if timing.within else "  over") + (f"  {timing.said}" if timing.said else "")
        lines.append(f"{timing.measure.name:{width}}  {cells}  {limited}  {asked}{after}")
    return "\n".join(lines)
