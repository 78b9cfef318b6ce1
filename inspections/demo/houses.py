"""The three houses: one deep in frost-wall trouble, one waiting for its floor deck, one just out of the ground."""

from __future__ import annotations

from datetime import date, timedelta

from inspections.demo.pour_day import pour_of
from inspections.demo.story import People, Story, example
from inspections.demo.winter import give_lately
from inspections.stages import BY_KIND
from jobs import actions, plans
from jobs.details import HouseDetails
from jobs.models import Firm, House, Role
from takeoff.plan import Stage
from takeoff.site import Site
from takeoff.units import parse_length

TOWNSHIP = "Township of Tamarack Fork"
MAIN = tuple("ABCDEFGHIJ")


def tell(firm: Firm, people: People, today: date) -> list[House]:
    """Build all three; returns them."""
    return [juniper_bend(firm, people, today), kettle_road(firm, people, today), saltlick_lane(firm, people, today)]


def juniper_bend(firm: Firm, people: People, today: date) -> House:
    """A walk-out basement with a bay and a round porch: footings in, frost wall steel rejected on one leg."""
    details = HouseDetails(
        name="Juniper Bend", lot="14", address="41 Juniper Bend Road",
        jurisdiction=TOWNSHIP, permit_number="TF-26-0418",
        dig_date=today - timedelta(days=12), buried_by_date=today + timedelta(days=30),
    )  # fmt: skip
    site = Site("SM", 45.0, 2000.0, parse_length("4-0"), parse_length("84-0"), parse_length("97-0"))
    story = _begin(firm, people, details, site, "juniper-bend", days_ago=11)
    story.through(Stage.FOOTING, (*MAIN, "K"))
    story.days_ago = 4
    story.pass_points(Stage.FROST_WALL, ["frost_layout"], (*MAIN, "K"))
    story.do(Stage.FROST_WALL, "stack_frost_wall", (*MAIN, "K"))
    _finish_porch(story)
    story.days_ago = 1.2
    steel = story.present(Stage.FROST_WALL, "frost_steel", MAIN, note="Dowels at the step on F re-bent by hand.")
    story.reject(
        steel,
        "Leg F, lower step: two dowels stand outside the core and lap 22 in. The plan asks 38. Reset them and show me.",
        legs=("F",),
    )
    story.release(steel, "Seen on site, clean.", legs=tuple(x for x in MAIN if x not in "FJ"))
    story.pass_points(Stage.FROST_WALL, ["frost_openings", "frost_anchors"], MAIN)
    _plan_dates(story, today, start=-12)
    return story.house


def _finish_porch(story: Story) -> None:
    """The porch moves at its own pace: poured already, its drain and membrane shown to the inspector."""
    row = BY_KIND[Stage.FROST_WALL]
    story.pass_points(Stage.FROST_WALL, [p.key for p in row.points if p.before == "pour_frost_wall"], ("K",))
    story.do(Stage.FROST_WALL, "pour_frost_wall", ("K",))
    story.pass_points(Stage.FROST_WALL, [p.key for p in row.points if not p.before], ("K",))
    story.cylinder(Stage.FROST_WALL, ("K",), "JB-P1", 1180, days=2)
    story.pass_points(Stage.FROST_BACKFILL, ["frost_strength", "frost_balance"], ("K",))
    story.present(Stage.FROST_BACKFILL, "frost_membrane", ("K",))


def kettle_road(firm: Firm, people: People, today: date) -> House:
    """A plain basement: waterproofed, waiting for the floor deck before the ground goes back."""
    details = HouseDetails(
        name="Kettle Road", lot="9", address="7 Kettle Road", jurisdiction=TOWNSHIP, permit_number="TF-26-0377",
        dig_date=today - timedelta(days=40), buried_by_date=today + timedelta(days=6),
    )  # fmt: skip
    site = Site("ML", 45.0, 1500.0, parse_length("4-0"), None, parse_length("97-6"))
    kinds = (Stage.FOOTING, Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL)
    story = _begin(firm, people, details, site, "kettle-road", days_ago=38, kinds=kinds)
    legs = ("South", "East", "North", "West")
    for kind, days in ((Stage.FOOTING, 36), (Stage.FULL_WALL, 24), (Stage.WATERPROOFING, 9)):
        story.days_ago = days
        story.through(kind, legs)
    give_lately(story.house, people.field_lead, today)
    pour_of(story, Stage.FULL_WALL, legs, days_ago=16, loads=(9.0, 9.0, 9.0, 3.5))
    story.days_ago = 2
    story.cylinder(Stage.FULL_WALL, legs, "KR-W3", 2710, days=14)
    story.cylinder(Stage.FULL_WALL, legs, "KR-W4", 2640, days=14)
    strength = story.present(
        Stage.FINAL_BACKFILL, "strength", legs, reason="Cylinders of the wall pour broke at 2,640 psi after 14 days."
    )
    story.release(strength, "Enough for this fill, with the deck on.")
    story.pass_points(Stage.FINAL_BACKFILL, ["held_foot"], legs)
    story.present(Stage.FINAL_BACKFILL, "pre_backfill", legs)
    _plan_dates(story, today, start=-40)
    return story.house


def saltlick_lane(firm: Firm, people: People, today: date) -> House:
    """A basement with a garage: the hole is open, water stood in it, the footing steel waits for the inspector."""
    details = HouseDetails(
        name="Saltlick Lane", lot="22", address="118 Saltlick Lane", jurisdiction=TOWNSHIP, permit_number="TF-26-0455",
        dig_date=today - timedelta(days=3), buried_by_date=today + timedelta(days=45),
    )  # fmt: skip
    site = Site("SC", 60.0, 2000.0, parse_length("4-0"), parse_length("85-6"), parse_length("97-0"))
    story = _begin(firm, people, details, site, "saltlick-lane", days_ago=3)
    legs = ("A", "B", "C", "D", "G1", "G2", "G3")
    story.pass_points(Stage.FOOTING, ["permit", "stakes"], legs)
    hole = story.present(Stage.FOOTING, "hole", legs)
    rejected = story.reject(
        hole, "Four inches of water along C and soft mud under it. Pump it, dig to firm ground.", legs=("C",)
    )
    story.release(hole, legs=tuple(x for x in legs if x != "C"))
    story.days_ago = 1.5
    story.correct(rejected, "Pumped overnight, mud dug out, 4 in of compacted gravel put in.")
    story.release(story.present(Stage.FOOTING, "hole", ("C",), note="Second look at C."), "Firm now.")
    story.pass_points(Stage.FOOTING, ["under_footing", "footing_dowels"], legs)
    story.days_ago = 0.4
    story.present(Stage.FOOTING, "footing_steel", legs)
    _plan_dates(story, today, start=-3)
    return story.house


def _begin(
    firm: Firm, people: People, details: HouseDetails, site: Site, plan: str, *, days_ago: float,
    kinds: tuple[Stage, ...] = tuple(Stage),
) -> Story:  # fmt: skip
    house = actions.add_house(by=people.builder, firm=firm, house=details, site=site, kinds=kinds)
    for role in (Role.FIELD_LEAD, Role.INSPECTOR, Role.ENGINEER, Role.SURVEYOR):
        person = people.of(role)
        invitation = actions.invite(by=people.builder, house=house, email=person.email, role=role, name=person.name)
        actions.accept_invitation(by=person, invitation=invitation)
    document = example(plan)
    plans.save_draft(by=people.builder, house=house, document=document, version=0)
    revision = plans.lock(by=people.builder, house=house, note="As approved")
    return Story(house, revision, people, days_ago)


def _plan_dates(story: Story, today: date, start: int) -> None:
    """Planned dates a week apart, so that the board has something due."""
    day = today + timedelta(days=start)
    for stage in story.house.stages.order_by("position"):
        actions.date_stage(
            by=story.people.builder, house=story.house, stage=stage, start=day, end=day + timedelta(days=5)
        )
        day += timedelta(days=7)
