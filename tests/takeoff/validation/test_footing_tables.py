"""Footing sizes against IRC Tables R403.1(1) to (3), every printed cell of the editions of 2018 and 2021.

The cells in ``footing_tables.txt`` were read apart from those the program carries, for 2021 in another state's copy.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from takeoff import footing_code, footing_nbc
from takeoff.footing_code import Asked, Edition
from takeoff.site import AboveGrade, BuildingSpec, Foundation
from takeoff.units import Length

BEARING = (1500, 2000, 2500, 3000, 3500, 4000)
WALLS = {"1": AboveGrade.LIGHT_FRAME, "2": AboveGrade.BRICK_VENEER, "3": AboveGrade.CONCRETE_OR_MASONRY}
KINDS = {
    "slab-on-grade": Foundation.SLAB,
    "crawl-space": Foundation.CRAWL_SPACE,
    "basement": Foundation.BASEMENT,
}


def printed_rows() -> Iterator[object]:
    lines = (Path(__file__).parent / "footing_tables.txt").read_text(encoding="utf-8").splitlines()
    for line in lines:
        if line.startswith("#"):
            continue
        year, table, snow, stories, kind, *sizes = line.split()
        name = f"IRC {year} R403.1({table}) {snow} psf {stories} {kind}"
        yield pytest.param(year, table, float(snow), int(stories), kind, sizes, id=name)


def edition(year: str) -> Edition:
    found = footing_code.edition_of(f"IRC {year}")
    assert found is not None
    return found


def size(year: str, table: str, snow: float, stories: int, kind: str, bearing: float, across_ft: int = 32) -> Asked:
    building = BuildingSpec(stories, WALLS[table], KINDS[kind], Length.feet(across_ft), snow)
    answer = footing_code.asked(edition(year), building, KINDS[kind], bearing)
    assert isinstance(answer, Asked)
    return answer


@pytest.mark.parametrize(("year", "table", "snow", "stories", "kind", "printed"), list(printed_rows()))
def test_every_cell_of_a_printed_row(
    year: str, table: str, snow: float, stories: int, kind: str, printed: list[str]
) -> None:
    answers = [size(year, table, snow, stories, kind, bearing) for bearing in BEARING]
    assert [f"{answer.width:g}x{answer.thickness:g}" for answer in answers] == printed
    assert {str(answer.source) for answer in answers} == {f"IRC {year} Table R403.1({table})"}


@pytest.mark.parametrize(
    ("year", "across", "width", "thickness"),
    [
        ("2018", 32, 28, 9),
        ("2018", 34, 30, 10),
        ("2018", 35, 32, 11),  # a step begun counts
        ("2018", 40, 36, 13),
        ("2018", 30, 26, 8),
        ("2018", 29, 26, 8),  # only whole steps are taken off
        ("2018", 20, 16, 6),
        ("2018", 12, 12, 6),
        ("2021", 32, 24, 8),
        ("2021", 33, 26, 9),
        ("2021", 36, 26, 9),
        ("2021", 40, 28, 10),
        ("2021", 28, 22, 7),
        ("2021", 25, 22, 7),
        ("2021", 16, 16, 6),
    ],
)
def test_width_of_the_building(year: str, across: int, width: int, thickness: int) -> None:
    """Footnote b of the 2018 tables: 2 in and 1 in for every 2 ft; footnotes c and d of 2021: for every 4 ft. From the
    row 50 psf, 3 stories with basement, 1,500 psf (28 x 9 and 24 x 8)."""
    answer = size(year, "1", 50, 3, "basement", 1500, across)
    assert (answer.width, answer.thickness) == (width, thickness)


def test_width_is_interpolated_between_bearing_values_and_never_beyond() -> None:
    """Footnote a of the 2021 tables. 24 in at 1,500 and 18 in at 2,000 psf: 21 in half way, thickness of the weaker."""
    half = size("2021", "1", 50, 3, "basement", 1750)
    assert (half.width, half.thickness) == (pytest.approx(21.0), 8.0)
    assert size("2021", "1", 50, 3, "basement", 6000).width == size("2021", "1", 50, 3, "basement", 4000).width
    building = BuildingSpec(3, AboveGrade.LIGHT_FRAME, Foundation.BASEMENT, Length.feet(32), 50)
    weak = footing_code.asked(edition("2021"), building, Foundation.BASEMENT, 1499)
    assert isinstance(weak, footing_code.Refused) and "engineer" in weak.sentence


@pytest.mark.parametrize(
    ("year", "snow", "row"),
    [("2018", 20, 18), ("2018", 21, 19), ("2018", 25, 19), ("2018", 31, 21), ("2021", 25, 16), ("2021", 51, 19)],
)
def test_snow_between_rows_takes_the_heavier(year: str, snow: float, row: int) -> None:
    """Rows of R403.1(1), 1 story with basement, 1,500 psf: 18, 19, 21, 24 (2018) and 16, 16, 18, 19 (2021)."""
    assert size(year, "1", snow, 1, "basement", 1500).width == row


@pytest.mark.parametrize(("limit", "value"), [("width", 12.0), ("thickness", 6.0), ("projection", 2.0)])
def test_least_sizes_of_irc_2021_r403_1_1(limit: str, value: float) -> None:
    assert getattr(footing_code, f"LEAST_{limit.upper()}_IN") == value


NBC_ROWS = [
    (1, AboveGrade.LIGHT_FRAME, 250, 200),
    (2, AboveGrade.LIGHT_FRAME, 350, 350),
    (1, AboveGrade.BRICK_VENEER, 250 + 65, 200),
    (2, AboveGrade.BRICK_VENEER, 350 + 2 * 65, 350),
    (1, AboveGrade.CONCRETE_OR_MASONRY, 250 + 150, 200),
    (2, AboveGrade.CONCRETE_OR_MASONRY, 350 + 2 * 150, 350),
]


@pytest.mark.parametrize(
    ("floors", "walls", "outer_mm", "inner_mm"),
    NBC_ROWS,
    ids=[f"NBC 2023 Alberta 9.15.3.4 and 9.15.3.5 {walls} {floors}" for floors, walls, _, _ in NBC_ROWS],
)
def test_canadian_strip_footings(floors: int, walls: AboveGrade, outer_mm: int, inner_mm: int) -> None:
    """Read in the public text of the 2023 Alberta edition, pages 9-96 and 9-97; 100 mm thick at least (9.15.3.8)."""
    building = BuildingSpec(floors, walls, Foundation.BASEMENT, Length.feet(30))
    for inner, printed in ((False, outer_mm), (True, inner_mm)):
        answer = footing_nbc.asked_of(building, 2000, inner=inner, wet=False)
        wet = footing_nbc.asked_of(building, 2000, inner=inner, wet=True)
        assert isinstance(answer, Asked) and isinstance(wet, Asked)
        assert answer.width * 25.4 == pytest.approx(printed) and answer.thickness * 25.4 == pytest.approx(100)
        assert wet.width == pytest.approx(2 * answer.width)  # 9.15.3.4.(3)
