"""One house from a firm's first page to buried walls, told through pages alone: five people, forms as they stand.

Behaviour of this program; the order of the trade it follows is checked in its own tests.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from inspections import queries, states
from inspections.models import EvidenceItem, Presentation, SignOff, WorkDone
from jobs.models import House
from takeoff.drawings.tracker import PartState
from takeoff.plan import Stage
from tests.inspections.crew import INVITED, PASSWORD, Crew
from tests.inspections.visitor import Page, Visitor, fresh

#: A rectangle of 24 by 16 ft, walked left round: name, length, and what the leg has of its own.
WALK = (("A", "24-0", {}), ("B", "16-0", {}), ("C", "24-0", {"grade_outside": "93-0"}), ("D", "16-0", {}))
LEVELS = {
    "footing_top": "86-0",
    "frost_top": "90-0",
    "wall_top": "98-0",
    "grade_outside": "97-0",
    "grade_inside": "90-0",
}


# -- beginnings ------------------------------------------------------------------------------------------
def start(firm: str, name: str) -> tuple[Visitor, House]:
    """A builder signs up and adds a house with its papers and ground."""
    builder = Visitor()
    page = builder.open("/start")
    refused = builder.press(
        page, "Start the firm", 422, firm_name=firm, name=name, email="no address", password="short"
    )
    assert any("Enter a valid email" in said for said in refused.troubles)
    email = f"{name.split()[0].lower()}@{firm.split()[0].lower()}.example"
    page = builder.press(page, "Start the firm", firm_name=firm, name=name, email=email, password=PASSWORD)
    assert page.heading == "New house"
    page = builder.press(
        page, "Add the house", name=f"Lot 7 of {firm}", lot="7", address="7 Larch Hollow", permit_number="27-0099",
        jurisdiction="Township of Coldwater", frost_depth="4-0", exterior_grade="97-0", soil_class="GM",
    )  # fmt: skip
    return builder, House.objects.get(name=f"Lot 7 of {firm}")


def gather(builder: Visitor, house: House) -> Crew:
    """Four people are invited and take their links up with logins of their own."""
    crew = Crew(builder, house)
    for role, name in INVITED.items():
        page = builder.open(f"{crew.home}people")
        email = f"{name.split()[0].lower()}@coldwater.example"
        page = builder.press(page, "^Invite$", role=role, email=email, name=name)
        link = re.search(r"http://testserver(/invitations/[\w-]+)", page.text)
        assert link, "the link stands on the page"
        crew.people[role] = Visitor()
        page = crew.people[role].press(
            crew.people[role].open(link[1]), "^Make my login and take it up$", name=name, password=PASSWORD
        )
        assert page.heading == house.name
    return crew


def walk(crew: Crew) -> None:
    """The wall is walked leg by leg, misses its start once, and is locked."""
    address, builder = f"{crew.home}plan", crew.builder
    head = {"drawing": "S-1 A", "dimensions_to": "outside_of_foam"}
    typed: dict[str, Any] = head | {f"leg_defaults.{name}": level for name, level in LEVELS.items()}
    page = builder.open(address)
    for number, (_, length, own) in enumerate(WALK):
        at = f"walks.0.legs.{number}"
        typed |= {f"{at}.length": "17-0" if number == 3 else length, f"{at}.turn": "90 left"}
        typed |= {f"{at}.{name}": level for name, level in own.items()}
        page = builder.press(page, "^Add a leg" if number < 3 else "^Save$", **typed)
        typed = {}
    assert "Open" in page.text and "1'-0\"" in page.text
    refused = builder.press(page, "^Lock revision A$", 422)
    assert any("1'-0\"" in said for said in refused.troubles)
    page = builder.press(refused, "^Lock revision A$", **{"walks.0.legs.3.length": "16-0", "note": "First issue"})
    assert page.heading == "Plan revision A"


# -- what is looked at between ------------------------------------------------------------------------------
def states_of(crew: Crew, kind: Stage) -> dict[str, str]:
    """Section -> state in a stage."""
    found = states.part_states(queries.ledger(crew.house))
    return {section: state.value for (section, k), state in found.items() if k is kind}


def standings(crew: Crew, kind: Stage, key: str) -> dict[str, str]:
    """Leg -> how a point stands there, as its page says it."""
    page = crew.inspector.open(crew.point(kind, key))
    listed = re.search(r'<ul class="standings">(.*?)</ul>', page.text, re.S)
    assert listed
    out: dict[str, str] = {}
    for line in re.findall(r"<li>(.*?)</li>", listed[1], re.S):
        words = " ".join(re.sub(r"<[^>]+>", " ", line).split())
        said = re.match(r"(.+?) Legs? ([A-D](?:, [A-D])*(?: and [A-D])?)(?= |$)", words)
        assert said, words
        out |= dict.fromkeys(re.findall(r"[A-D]", said[2]), said[1])
    return out


VOID, RELEASED = "Release void: plan changed", "Released"


def on(word: str, *legs: str, others: str = RELEASED) -> dict[str, str]:
    """All four legs: these stand so, the others otherwise."""
    return {name: word if name in legs else others for name, _, _ in WALK}


def records() -> tuple[int, ...]:
    """How many of everything."""
    return tuple(m.objects.count() for m in (Presentation, SignOff, WorkDone, EvidenceItem))


def refused(crew: Crew, who: str, url: str, data: dict[str, Any], status: int, said: str, htmx: bool = False) -> Page:
    """A post that must be refused with this sentence, leaving nothing."""
    before = records()
    page = crew.people[who].post(url, data, status, htmx)
    assert any(said in trouble for trouble in page.troubles), page.troubles
    assert records() == before
    return page


# -- chapters -------------------------------------------------------------------------------------------------
def nobody_takes_the_inspectors_place(crew: Crew) -> None:
    """The builder's own firm cannot be the inspector, by invitation or by posting to the inspector's point."""
    page = crew.builder.open(f"{crew.home}people")
    own = crew.builder.press(page, "^Invite$", 422, role="inspector", email="hedda@rimefield.example", name="Hedda")
    assert any("Rimefield Builders" in said for said in own.troubles), own.troubles
    steel = crew.point(Stage.FOOTING, "footing_steel")
    waiting = Presentation.objects.get(point="footing_steel")
    body = {"presentation": [waiting.pk], "decision": ["released"], "revision": ["1"], "legs": ["A", "B", "C", "D"]}
    refused(crew, "builder", f"{steel}sign", body, 403, "Only the inspector may release or reject")
    assert crew.builder.open(steel).form("^Release$") is None


def nobody_releases_what_they_presented(crew: Crew) -> None:
    """The field lead may release sleeves, but not those the field lead presented."""
    url = crew.point(Stage.FOOTING, "under_footing")
    page = crew.field_lead.open(url)
    assert page.form("^Release$") is None and "yourself" in page.text
    waiting = Presentation.objects.get(point="under_footing")
    body = {"presentation": [waiting.pk], "decision": ["released"], "revision": ["1"], "legs": ["A"]}
    refused(crew, "field_lead", f"{url}sign", body, 403, "yourself; somebody else must release it")


def footing_up_to_the_pour(crew: Crew) -> None:
    """All is presented; the steel is rejected without a reason (refused), then with one, put right and released."""
    assert crew.check() == 7
    nobody_takes_the_inspectors_place(crew)
    nobody_releases_what_they_presented(crew)
    steel = crew.point(Stage.FOOTING, "footing_steel")
    page = crew.inspector.open(steel)
    again = crew.inspector.press(page, "^Reject$", 422)
    assert "Say why it is rejected: what is wrong, and what would be accepted." in again.troubles
    crew.reject(steel, "inspector", "Lap at the corner of B and C is 20 in.", legs=["B", "C"])
    assert standings(crew, Stage.FOOTING, "footing_steel") == on("Rejected", "B", "C", others="Presented")
    crew.sign()
    assert "Lap at the corner of B and C is 20 in." in crew.field_lead.open("/today/").text
    assert any("its correction is open" in said for said in crew.held())
    crew.put_right(steel, "Bars added, lap is 40 in now.")
    assert any("must be presented and released again" in said for said in crew.held())
    crew.check()
    crew.sign("inspector")


def tried_to_pour_while_held(crew: Crew) -> None:
    """The gate closes behind an open page: refused by page, by htmx, and under an id that was used before."""
    stage = crew.stage(Stage.FOOTING)
    page = crew.field_lead.open(stage)
    form = page.form("^Record: footing concrete placed")
    assert form
    body = form.data({}, form.buttons[-1])
    hole = crew.point(Stage.FOOTING, "hole")
    crew.reject(hole, "inspector", "Water in the corner of D.", legs=["D"])
    said = "“Hole dry, unfrozen, on undisturbed ground” was rejected on leg D; its correction is open, and "
    for htmx in (False, True):
        answer = refused(crew, "field_lead", form.action, body, 409, said, htmx)
        assert answer.form("^Record: footing") is None or "may go on alone" in answer.text
    assert "Held" in crew.builder.open(stage).text
    used = str(Presentation.objects.latest("pk").client_id)
    refused(crew, "field_lead", form.action, body | {"client_id": [used]}, 409, "id was already used")
    refused(crew, "inspector", form.action, body, 403, "Only the field lead or the builder may record")
    refused(crew, "field_lead", form.action, body | {"revision": [""]}, 422, "Load the page again.")
    refused(crew, "field_lead", form.action, body | {"legs": ["Q"]}, 422, "Leg Q is not among those")
    crew.put_right(hole, "Pumped dry, pump stays on.")
    crew.check()
    crew.sign("inspector")


def poured_once(crew: Crew) -> None:
    """The pour is recorded; its body sent again is answered and recorded once; another pour is refused."""
    assert crew.work("footing concrete placed") == 1
    url, body = crew.field_lead.sent
    before = records()
    crew.field_lead.post(url, body)
    assert records() == before and WorkDone.objects.count() == 1
    for htmx in (False, True):
        anew = {**body, "client_id": ["0b6b2f8e-1f6c-4e57-9f0b-0a4c6a1d2e3f"]}
        refused(crew, "field_lead", url, anew, 409, "Already done on legs A, B, C and D; ", htmx)


def footing_top_is_low(crew: Crew) -> None:
    """Leg B is shot 3/4 in low: asked why, shown to the builder, and in the course plan."""
    url = crew.point(Stage.FOOTING, "footing_top")
    low = {"levels-at-b": "85-11 1/4"}
    page = crew.present(url, status=422, **low)
    assert any(said.startswith("Leg B: “Level") and "85-11 1/4" in said for said in page.troubles), page.troubles
    assert 'value="85-11 1/4"' in page.text, "what was typed stays"
    crew.present(url, deviation="Finisher went low at the step; to be grouted.", **low)
    assert crew.sign() == 1
    stage = crew.builder.open(crew.stage(Stage.FOOTING))
    assert 'Leg B poured 3/4" low' in stage.text or "Leg B poured 3/4&quot; low" in stage.text
    assert states_of(crew, Stage.FOOTING) == {"main": "released"}


def frost_wall(crew: Crew) -> None:
    """A release is superseded by a later rejection; the plan moves the ground at D; work goes on once that is shown
    and released again."""
    crew.round("frost wall stacking begun")
    layout = crew.point(Stage.FROST_WALL, "frost_layout")
    crew.reject(layout, "inspector", "Core line at A is 1 in off.", legs=["A"])
    assert SignOff.objects.latest("pk").supersedes.count() == 1
    assert standings(crew, Stage.FROST_WALL, "frost_layout") == on("Rejected", "A")
    crew.put_right(layout, "Line snapped again from the pins.")
    crew.check()
    crew.sign()
    revise(crew, "Ground raised at the drive", **{"walks.0.legs.3.grade_outside": "97-4"})
    for key in ("stakes", "hole", "footing_steel", "footing_top"):
        assert standings(crew, Stage.FOOTING, key) == on(VOID, "D"), key
    assert standings(crew, Stage.FROST_WALL, "frost_layout") == on(RELEASED)
    page = crew.field_lead.open(crew.stage(Stage.FROST_WALL))
    assert "was given before the plan changed there; the field lead" in page.text
    crew.round("frost wall poured")
    assert standings(crew, Stage.FOOTING, "hole") == on(RELEASED)
    crew.check()
    crew.sign()


def revise(crew: Crew, note: str, **typed: str) -> Page:
    """The builder changes the plan and locks the next revision; a press of the button sends the form as it stands."""
    page = crew.builder.open(f"{crew.home}plan")
    for name in [n for n in typed if ".openings." in n][:1]:
        page = crew.builder.press(page, "^Add a window or door leg B$")
        assert any(f.name == name for f in page.form("^Lock revision").fields)
    return crew.builder.press(page, "^Lock revision", note=note, **typed)


def frost_backfill(crew: Crew) -> None:
    """Strength and balance are asked on every leg, the low one too."""
    crew.check(but=["frost_strength"])
    crew.sign()
    assert any("“Strong enough to be filled against” is not presented on legs A, B, C and D" in x for x in crew.held())
    crew.check()
    crew.sign()
    assert any("not known to be strong enough: 500 psi needed, filled on both sides" in x for x in crew.held())
    crew.cylinder(Stage.FROST_WALL, "A", 450, hours_ago=20)
    assert any("the weakest cylinder beside it broke at 450 psi" in x for x in crew.held())
    crew.cylinder(Stage.FROST_WALL, "A", 900)
    crew.round("frost wall backfilled")
    assert states_of(crew, Stage.FROST_WALL) == {"main": "buried"}
    assert states_of(crew, Stage.FROST_BACKFILL) == {"main": "released"}


def full_wall(crew: Crew) -> None:
    """A window drawn into leg B while the wall is stacked voids the full wall on B alone; a split voids nothing."""
    crew.round("full-height wall stacking begun")
    crew.check()
    crew.sign("inspector", but=["wall_steel"])
    window = {"width": "3-0", "height": "3-0", "sill": "93-0", "offset": "6-0"}
    revise(crew, "Egress window", **{f"walks.0.legs.1.openings.0.{name}": x for name, x in window.items()})
    assert standings(crew, Stage.FULL_WALL, "cold_joint") == on(VOID, "B")
    for kind, key in (
        (Stage.FOOTING, "hole"),
        (Stage.FROST_WALL, "frost_steel"),
        (Stage.FROST_BACKFILL, "frost_drain"),
    ):
        assert standings(crew, kind, key) == on(RELEASED)
    split_off(crew)
    crew.check()
    crew.sign()
    crew.round("full-height wall poured")
    crew.check()
    crew.sign()
    assert states_of(crew, Stage.FULL_WALL) == {"main": "released", "porch": "released"}


def split_off(crew: Crew) -> None:
    """Legs C and D become a section of their own; everything that was released still is."""
    before = {key: standings(crew, kind, key) for kind, key in KEPT}
    page = crew.builder.open(f"{crew.home}sections/")
    nameless = crew.builder.press(page, "^Split them off$", 422, legs=["C", "D"], name="")
    assert "Give the new section a name." in nameless.troubles
    page = crew.builder.press(page, "^Split them off$", legs=["C", "D"], name="Porch")
    assert "no release is void by it" in page.text
    assert {key: standings(crew, kind, key) for kind, key in KEPT} == before


KEPT = (
    (Stage.FOOTING, "footing_steel"),
    (Stage.FROST_WALL, "frost_steel"),
    (Stage.FROST_BACKFILL, "frost_membrane"),
    (Stage.FULL_WALL, "cold_joint"),
)


def final_backfill(crew: Crew) -> None:
    """Leg C stands under less than 4 ft of fill: nobody asks what holds it, but strength is asked."""
    for key in ("held_foot", "held_top"):
        assert crew.field_lead.open(crew.point(Stage.FINAL_BACKFILL, key)).form("Present it").choices("legs") == [
            "A", "B", "D",
        ], key  # fmt: skip
    crew.check(but=["strength"])
    crew.sign()
    stage = crew.field_lead.open(crew.stage(Stage.FINAL_BACKFILL))
    assert stage.form("^Record") is None
    said = " ".join(crew.held())
    assert "“Strong enough to be filled against” is not presented on leg" in said and "Held at its" not in said
    strength = crew.point(Stage.FINAL_BACKFILL, "strength")
    crew.present(strength, legs=["A", "B", "D"])
    crew.release(strength, "engineer")
    assert any("not known to be strong enough" in x for x in crew.held())
    for leg in ("A", "C"):  # one for each section, poured apart since the split
        crew.cylinder(Stage.FULL_WALL, leg, 3100)
    form = crew.field_lead.open(crew.stage(Stage.FINAL_BACKFILL)).form("^Record: full-height wall backfilled")
    assert form, "legs that are strong and held may be filled"
    body = form.data({}, form.buttons[-1]) | {"legs": ["C"]}
    refused(
        crew, "field_lead", form.action, body, 409, "“Strong enough to be filled against” is not presented on leg C"
    )
    crew.round("full-height wall backfilled")
    crew.check()
    crew.sign()


def all_is_signed_and_buried(crew: Crew) -> None:
    """Nothing is left on anybody's list, and the drawing's parts are all released or buried."""
    through = {PartState.RELEASED, PartState.BURIED}
    assert set(states.part_states(queries.ledger(crew.house)).values()) == through
    assert "signed and buried" in crew.builder.open(crew.home).text
    assert "Nothing is left to check on this house." in crew.field_lead.open("/today/").text
    for who in ("inspector", "engineer", "surveyor", "builder"):
        assert "Nothing waits for you." in crew.people[who].open("/asked/").text
    assert crew.house.revisions.count() == 4


def all_pages_of(crew: Crew) -> set[str]:
    """Every page anybody was on, and those behind the links of the house, its stages and revisions."""
    found: set[str] = set()
    for visitor in crew.people.values():
        found |= visitor.seen
    for page in (crew.home, f"{crew.home}revisions/", *(crew.stage(kind) for kind in Stage)):
        found |= {href for href, _ in crew.builder.open(page).links if href.startswith(crew.home)}
    found |= {f"/evidence/{pk}/" for pk in EvidenceItem.objects.exclude(file="").values_list("pk", flat=True)[:5]}
    return {url.partition("#")[0] for url in found if url.startswith((crew.home, "/evidence/"))}


def a_neighbour_sees_nothing(crew: Crew) -> None:
    """A second builder on the same server: every address of the house is as if it were not there."""
    other, house = start("Saltmarsh Homes", "Olaf Saltmarsh")
    pages = all_pages_of(crew)
    assert len(pages) > 60
    for url in sorted(pages):
        assert other.client.get(url).status_code == 404, url
    for visitor in crew.people.values():
        url, data = visitor.sent
        if url.startswith(crew.home):
            assert other.client.post(url, fresh(data)).status_code == 404, url
    before = records()
    for url in ("/board/", "/today/", "/asked/"):
        assert crew.house.name not in other.open(url).text
    assert crew.builder.client.get(f"/houses/{house.pk}/").status_code == 404
    assert records() == before


@pytest.mark.slow
def test_a_house_from_the_first_page_to_buried_walls(db):
    builder, house = start("Rimefield Builders", "Hedda Rimefield")
    crew = gather(builder, house)
    walk(crew)
    footing_up_to_the_pour(crew)
    tried_to_pour_while_held(crew)
    poured_once(crew)
    footing_top_is_low(crew)
    frost_wall(crew)
    frost_backfill(crew)
    full_wall(crew)
    crew.round("membrane covered")
    final_backfill(crew)
    all_is_signed_and_buried(crew)
    a_neighbour_sees_nothing(crew)
