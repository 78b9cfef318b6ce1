"""Footings of plans against the code's tables: which row a leg is read in, what is said, what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff import footing, footing_code
from takeoff.plan import Plan, Stage
from takeoff.problems import Severity
from takeoff.site import AboveGrade, BuildingSpec, Foundation
from takeoff.units import Length
from tests.takeoff import plans
from tests.takeoff.ground import placed

HOUSE = BuildingSpec(2, AboveGrade.LIGHT_FRAME, Foundation.BASEMENT, Length.feet(28), 50)


def with_house(
    plan: Plan, building: BuildingSpec = HOUSE, bearing: float = 2000, edition: str = "IRC 2021", wide: int = 20
) -> Plan:
    site = replace(plan.site, bearing_psf=bearing, code_edition=edition)
    spec = replace(plan.spec, building=building, footing=replace(plan.spec.footing, width=Length.inches(wide)))
    return replace(plan, site=site, spec=spec)


def check(plan: Plan) -> footing_code.CodeCheck:
    return footing_code.check(plan, placed(plan))


@pytest.mark.parametrize(
    ("building", "words"),
    [
        (BuildingSpec(), "stories, width and snow load are not said"),
        (BuildingSpec(stories=2, width=Length.feet(28)), "snow load is not said"),
        (replace(HOUSE, stories=0), "stories are not said"),
        (replace(HOUSE, width=Length(0)), "width is not said"),
    ],
)
def test_what_is_not_said_is_named_once_and_nothing_is_checked(building: BuildingSpec, words: str) -> None:
    got = check(with_house(plans.garage(), building))
    (note,) = got.problems
    assert note.severity is Severity.NOTE and words in note.sentence and note.path == "spec.building"
    assert got.verdicts == ()


@pytest.mark.parametrize(
    ("text", "year"),
    [("IRC 2018", "2018"), ("2021 IRC, State of Minnesota", "2021"), ("irc 2024", "2024"), ("IRC 2015", None),
     ("NBC 2020", None), ("IBC 2021", None), ("", None)],
)  # fmt: skip
def test_editions_are_read_from_what_a_person_wrote(text: str, year: str | None) -> None:
    found = footing_code.edition_of(text)
    assert (found and found.year) == year


def test_an_edition_not_carried_is_said() -> None:
    (note,) = check(with_house(plans.rectangle(), edition="Homestead code 1998")).problems
    assert "Homestead code 1998" in note.sentence and "not carried" in note.sentence and note.severity is Severity.NOTE


def test_a_footing_that_holds_says_what_was_asked_beside_its_width() -> None:
    """2 story with basement, 50 psf, 2,000 psf, 32 ft: 15 x 6 (IRC 2021 R403.1(1)); 28 ft takes 2 in off. The wall is
    12 ft high: 4 ft more of 8 in at 150 pcf weigh 400 lb/ft, 2.4 in at 2,000 psf."""
    plan = with_house(plans.rectangle())
    (verdict,) = check(plan).verdicts
    assert (verdict.asked.width, verdict.asked.thickness) == (13.0, 6.0)
    assert verdict.heavier == pytest.approx(2.4)
    assert verdict.holds and verdict.legs == ("A", "B", "C", "D")
    criteria = footing.footings(plan, placed(plan)).criteria
    (width,) = [c for c in criteria if c.key == "footing.width"]
    assert width.value == 20.0 and width.stage is Stage.FOOTING
    assert width.text == '20" wide or more (IRC 2021 Table R403.1(1) asks 15 1/2")'
    assert verdict.words.startswith(
        'asked 13" x 6" by IRC 2021 Table R403.1(1) (2 stories, basement, 50 psf, 2,000 psf'
    )
    assert '2 1/2" more for 4 ft of wall' in verdict.words


def test_a_low_wall_is_not_heavier_than_the_table_expects() -> None:
    low = plans.rectangle(frost_top=None, footing_top=plans.at("90-0"))
    (verdict,) = check(with_house(low)).verdicts
    assert verdict.heavier == 0.0 and "above the 8 ft" not in verdict.words


def test_a_footing_too_narrow_or_too_thin_is_told_with_table_and_row() -> None:
    """3 stories of concrete, 1,500 psf, 70 psf, 40 ft wide: far more than 20 x 10."""
    big = BuildingSpec(3, AboveGrade.CONCRETE_OR_MASONRY, Foundation.BASEMENT, Length.feet(40), 70)
    got = check(with_house(plans.rectangle(), big, bearing=1500))
    (told,) = got.problems
    assert told.severity is Severity.WARNING and told.leg == "A" and told.path == "spec.footing"
    assert '20" x 10"' in told.sentence and "Table R403.1(3)" in told.sentence and "3 stories" in told.sentence
    assert not got.verdicts[0].holds


def test_a_garage_beside_a_basement_is_read_as_slab_on_grade() -> None:
    got = check(with_house(plans.garage()))
    main, garage = got.of("A"), got.of("G2")
    assert main is not None and "basement" in main.asked.row
    assert garage is not None and "slab-on-grade" in garage.asked.row and garage.legs == ("G1", "G2", "G3")


def test_frost_walls_alone_hold_up_the_house_itself() -> None:
    walls = plans.plan(plans.ring(*(plans.frost(n, x) for n, x in zip("ABCD", ("40-0", "28-0") * 2, strict=True))))
    crawl = replace(HOUSE, foundation=Foundation.CRAWL_SPACE)
    (verdict,) = check(with_house(walls, crawl)).verdicts
    assert "crawl space" in verdict.asked.row


def test_an_inner_wall_is_for_the_engineer() -> None:
    got = check(with_house(plans.tee()))
    assert got.of("T1") is None
    (note,) = got.problems
    assert note.severity is Severity.NOTE and note.leg == "T1" and "both sides" in note.sentence


@pytest.mark.parametrize(
    ("building", "bearing", "words"),
    [
        (HOUSE, 1400, "no column under 1,500 psf"),
        (replace(HOUSE, snow_psf=85), 2000, "no row for a snow load of 85 psf"),
        (replace(HOUSE, stories=4), 2000, "no row for 4 stories"),
    ],
)
def test_beyond_the_table_an_engineer_is_asked_once(building: BuildingSpec, bearing: float, words: str) -> None:
    (told,) = check(with_house(plans.two_cores(), building, bearing)).problems
    assert told.severity is Severity.ENGINEER and words in told.sentence


def test_canada_asks_by_floors_and_what_is_built_above() -> None:
    """2 floors: 350 mm, and 65 mm for each storey of veneer, 480 mm; an inner wall 350 mm."""
    veneer = replace(HOUSE, walls=AboveGrade.BRICK_VENEER, snow_psf=-1)
    got = check(with_house(plans.tee(), veneer, edition="NBC 2020"))
    outer, inner = got.of("A"), got.of("T1")
    assert outer is not None and outer.asked.width * 25.4 == pytest.approx(480) and outer.heavier == 0.0
    assert inner is not None and inner.asked.width * 25.4 == pytest.approx(350)
    assert outer.holds and "480 mm" in outer.words and got.problems == ()


def test_ground_water_near_a_footing_doubles_its_width_in_canada() -> None:
    """Bottom at 85'-2"; water 10 in under it is nearer than the footing is wide, in silty sand but not in clay."""
    plan = with_house(plans.rectangle(), edition="National Building Code 2023 Alberta Edition")
    wet = replace(plan, site=replace(plan.site, ground_water=plans.at("84-4")))
    (told,) = check(wet).problems
    assert "twice as wide" in told.sentence and "700 mm" in told.sentence
    assert check(replace(wet, site=replace(wet.site, soil_class="CL"))).problems == ()
    assert check(replace(wet, site=replace(wet.site, ground_water=plans.at("80-0")))).problems == ()


@pytest.mark.parametrize(
    ("building", "bearing", "words"),
    [
        (HOUSE, 1500, "75 kPa"),
        (replace(HOUSE, stories=3), 2000, "more than 2"),
        (replace(HOUSE, width=Length.feet(34)), 2000, "4.9 m"),
    ],
)
def test_canada_beyond_part_9(building: BuildingSpec, bearing: float, words: str) -> None:
    (told,) = check(with_house(plans.rectangle(), building, bearing, "NBC 2020")).problems
    assert told.severity is Severity.ENGINEER and words in told.sentence


def test_wider_building_never_asks_for_less() -> None:
    edition = footing_code.edition_of("IRC 2021")
    assert edition is not None
    widths = [footing_code.for_building_width(16, 6, edition, float(feet))[0] for feet in range(12, 60)]
    assert widths == sorted(widths) and min(widths) == 12.0
