"""Pages of the plan: typed, kept, told, locked, read by everybody on the house, files in and out."""

from __future__ import annotations

import json
from html import unescape
from html.parser import HTMLParser

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from jobs import plans
from jobs.models import PlanDraft, PlanRevision, Role
from jobs.plan_forms import plan_part
from takeoff.planfile import write_plan
from takeoff.units import Length
from tests.takeoff.plans import l_shape, rectangle, tee

READERS = [role.value for role in Role]


class Fields(HTMLParser):
    """What a browser would send back of a page's plan form."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: dict[str, str] = {}
        self.select = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list) -> None:
        a = dict(attrs)
        if tag == "input" and a.get("name") and (a.get("type") != "radio" or "checked" in a):
            self.found[a["name"]] = a.get("value") or ""
        elif tag == "select":
            self.select = a["name"]
            self.found[self.select] = ""
        elif tag == "option" and "selected" in a:
            self.found[self.select] = a.get("value", "")


@pytest.fixture
def url(house) -> str:
    """The plan's page."""
    return reverse("jobs:plan_edit", args=[house.pk])


@pytest.fixture
def preview(house) -> str:
    """Where the plan is sent while typing."""
    return reverse("jobs:plan_preview", args=[house.pk])


def fields(client, url: str) -> dict[str, str]:
    """The plan's form as loaded."""
    return Fields(client.get(url).content.decode()).found


def live(client, url: str, data: dict):
    """Sent by htmx while typing."""
    return client.post(url, data, headers={"HX-Request": "true", "HX-Target": "plan-view"})


def text(answer) -> str:
    """The page."""
    return answer.content.decode()


# -- walking ---------------------------------------------------------------------------------------
class TestWalking:
    """The draft keeps what is typed; the page says what is wrong with it."""

    def test_a_page_saved_untouched_says_the_same(self, clients, cast, url, preview):
        document = write_plan(l_shape())
        plans.replace_draft(by=cast.builder, house=cast.house, document=document, why="x")
        live(clients["builder"], preview, fields(clients["builder"], url))
        kept = plan_part(PlanDraft.objects.get().document)
        assert plans.read_and_compute(plans.complete(cast.house, kept))[0].plan == (
            plans.read_and_compute(plans.complete(cast.house, document))[0].plan
        )

    @pytest.mark.parametrize("part", ["builder", "field_lead"])
    def test_typing_is_kept_and_drawn(self, clients, url, preview, part):
        data = fields(clients[part], url) | {"walks.0.legs.0.length": "28-4 1/2", "walks.0.legs.0.turn": "90 left"}
        answer = live(clients[part], preview, data)
        assert answer.status_code == 200
        assert "28&#x27;-4 1/2" in text(answer) or "28'-4 1/2" in text(answer)
        leg = PlanDraft.objects.get().document["walks"][0]["legs"][0]
        assert leg == {"name": "A", "length": "28-4 1/2", "turn": "90 left"}

    def test_what_is_wrong_stays_typed_and_is_told(self, clients, url, preview):
        data = fields(clients["builder"], url) | {"walks.0.legs.0.length": "28-14"}
        assert "12 in or more after the feet" in text(live(clients["builder"], preview, data))
        page = text(clients["builder"].get(url))
        assert 'value="28-14"' in page and "12 in or more after the feet" in page
        assert 'aria-invalid="true"' in page

    def test_each_answer_carries_the_version_to_go_on_with(self, clients, url, preview):
        data = fields(clients["builder"], url) | {"title": "Lot 12, walked"}
        answer = text(live(clients["builder"], preview, data))
        assert f'id="plan-version" value="{PlanDraft.objects.get().version}"' in answer

    def test_markup_in_a_name_is_text(self, clients, url, preview):
        data = fields(clients["builder"], url) | {
            "walks.0.legs.0.name": "<script>1</script>",
            "walks.0.legs.0.length": "9-0",
        }
        assert "<script>1" not in text(live(clients["builder"], preview, data))
        assert "<script>1" not in text(clients["builder"].get(url))

    def test_without_scripts_a_button_saves_and_leads_back_to_what_it_made(self, clients, url):
        data = fields(clients["builder"], url) | {"walks.0.legs.0.length": "28-0", "do": "add:walks.0.legs"}
        answer = clients["builder"].post(url, data)
        assert answer.status_code == 302
        assert answer.url.endswith("?open=walks.0.legs.1#at-walks-0-legs-1")
        page = text(clients["builder"].get(answer.url.split("#")[0]))
        assert 'value="28-0"' in page and 'data-leg="walks.0.legs.1" open' in page

    def test_an_unknown_button_is_told_and_keeps_what_was_typed(self, clients, url):
        data = fields(clients["builder"], url) | {"title": "Kept", "do": "explode:walks.0"}
        answer = clients["builder"].post(url, data, follow=True)
        assert "not there any more" in text(answer) or "not known" in text(answer)
        assert PlanDraft.objects.get().document["title"] == "Kept"

    def test_taken_out_and_put_back(self, clients, url):
        data = fields(clients["builder"], url) | {"walks.0.legs.0.length": "28-0", "do": "remove:walks.0.legs.0"}
        page = text(clients["builder"].post(url, data, follow=True))
        assert "Put back leg A" in page
        clients["builder"].post(url, Fields(page).found | {"do": "put_back"})
        assert PlanDraft.objects.get().document["walks"][0]["legs"] == [{"name": "A", "length": "28-0"}]

    def test_a_pad_is_added_typed_and_taken_out_without_scripts(self, clients, cast, url, preview):
        plans.replace_draft(by=cast.builder, house=cast.house, document=write_plan(l_shape()), why="x")
        answer = clients["builder"].post(url, fields(clients["builder"], url) | {"do": "add:pads"}, follow=True)
        data = Fields(text(answer)).found
        assert data["pads.0.name"] == "F1"
        typed = {"length": "3-0", "width": "3-6", "thickness": "12", "top": "85-0", "count": "2", "bar_size": "5"}
        live(clients["builder"], preview, data | {f"pads.0.{name}": value for name, value in typed.items()})
        plan = plans.read_and_compute(plans.complete(cast.house, PlanDraft.objects.get().document))[0].plan
        (pad,) = plan.pads
        assert (pad.name, pad.count, pad.width, pad.bar_size) == ("F1", 2, Length.inches(42), 5)
        data = fields(clients["builder"], url)
        page = text(clients["builder"].post(url, data | {"do": "remove:pads.0"}, follow=True))
        assert "Put back pad F1" in page and not PlanDraft.objects.get().document["pads"]
        clients["builder"].post(url, Fields(page).found | {"do": "put_back"})
        assert PlanDraft.objects.get().document["pads"][0]["width"] == "3-6"

    def test_a_renamed_leg_takes_along_the_spur_that_hangs_on_it(self, clients, cast, url, preview):
        plans.replace_draft(by=cast.builder, house=cast.house, document=write_plan(tee()), why="x")
        data = fields(clients["builder"], url)
        leg = data["walks.1.starts_on.leg"]
        at = next(k for k, v in data.items() if k.startswith("walks.0.legs.") and k.endswith("._was") and v == leg)
        for typed in ("N", "", "North"):  # typed letter by letter, wiped out, typed anew, on one page
            live(clients["builder"], preview, data | {at.replace("_was", "name"): typed})
        document = PlanDraft.objects.get().document
        assert document["walks"][1]["starts_on"]["leg"] == "North"
        assert plans.read_and_compute(plans.complete(cast.house, document))[1] is not None

    def test_a_small_error_asks_for_the_two_legs_that_take_it(self, clients, cast, url, preview):
        document = write_plan(l_shape())
        document["walks"][0]["legs"][0]["length"] = "40-0 3/8"
        document["walks"][0]["legs"][2]["length"] = "16-0"
        plans.replace_draft(by=cast.builder, house=cast.house, document=document, why="x")
        page = text(clients["builder"].get(url))
        assert "name the two legs" in page and "Name the two legs that take it" in page
        data = fields(clients["builder"], url) | {
            "closure.0._rest": "",
            "closure.0.walk": "house",
            "closure.0.legs.0": "A",
            "closure.0.legs.1": "B",
        }
        answer = text(live(clients["builder"], preview, data))
        assert "taken up by the legs named for it: A -0&#x27;-0 3/8&quot;" in answer
        assert "Adjusted to close ring house" in answer

    def test_a_post_that_holds_no_plan_changes_nothing(self, clients, url, preview):
        for address in (url, preview):
            assert clients["builder"].post(address, {"do": "save"}).status_code == 400
        assert not PlanDraft.objects.exists()


class TestStale:
    """Two pages on one plan: the later is told, both are kept."""

    @pytest.fixture
    def two(self, clients, url, preview) -> dict[str, str]:
        """The field lead's page, older than what the builder has stored meanwhile."""
        theirs = fields(clients["field_lead"], url)
        live(clients["builder"], preview, fields(clients["builder"], url) | {"walks.0.legs.0.length": "40-0"})
        return theirs | {"walks.0.legs.0.length": "41-0"}

    def test_told_with_both_values_and_nothing_saved(self, clients, preview, two):
        answer = live(clients["field_lead"], preview, two)
        page = text(answer)
        assert answer.status_code == 409
        assert "Bodil Builder walked on with this plan" in page
        assert "Keep mine" in page and "Take the newer" in page
        assert "40'-0\"" in unescape(page) and "41'-0\"" in unescape(page)
        assert PlanDraft.objects.get().document["walks"][0]["legs"][0]["length"] == "40-0"

    def test_told_without_scripts_too_with_everything_typed(self, clients, url, two):
        answer = clients["field_lead"].post(url, two | {"do": "add:walks.0.legs"})
        assert answer.status_code == 409
        assert Fields(text(answer)).found["walks.0.legs.0.length"] == "41-0"

    @pytest.mark.parametrize(("verb", "kept", "aside"), [("mine", "41-0", "40-0"), ("theirs", "40-0", "41-0")])
    def test_either_is_kept_and_the_other_set_aside(self, clients, url, two, verb, kept, aside):
        clients["field_lead"].post(url, two | {"do": f"{verb}:1"})
        document = PlanDraft.objects.get().document
        assert document["walks"][0]["legs"][0]["length"] == kept
        assert document["_set_aside"][0]["document"]["walks"][0]["legs"][0]["length"] == aside
        clients["field_lead"].post(url, fields(clients["field_lead"], url) | {"do": "aside:0"})
        document = PlanDraft.objects.get().document
        assert document["walks"][0]["legs"][0]["length"] == aside
        assert document["_set_aside"][0]["document"]["walks"][0]["legs"][0]["length"] == kept

    def test_the_choice_itself_may_be_too_old(self, clients, url, preview, two):
        builder = fields(clients["builder"], url)
        live(clients["builder"], preview, builder | {"walks.0.legs.0.length": "42-0"})
        answer = clients["field_lead"].post(url, two | {"do": "mine:1"})
        assert answer.status_code == 409
        assert PlanDraft.objects.get().document["walks"][0]["legs"][0]["length"] == "42-0"


class TestSpecification:
    """What is not geometry, on a page of its own."""

    def test_kept_with_the_plan_and_told_when_wrong(self, clients, cast, house):
        url = reverse("jobs:plan_spec", args=[house.pk])
        data = fields(clients["builder"], url) | {"spec.concrete.slump_in": "six", "spec.footing.width": "2-0"}
        answer = clients["builder"].post(url, data)
        assert answer.status_code == 422
        assert 'value="six"' in text(answer) and 'href="#at-spec-concrete-slump_in"' in text(answer)
        answer = clients["builder"].post(url, fields(clients["builder"], url) | {"spec.concrete.slump_in": "6"})
        assert answer.status_code == 302
        assert PlanDraft.objects.get().document["spec"] == {"concrete": {"slump_in": 6}, "footing": {"width": "2-0"}}

    def test_the_building_stock_lengths_and_yes_or_no_are_kept(self, clients, cast, house):
        url = reverse("jobs:plan_spec", args=[house.pk])
        page = text(clients["builder"].get(url))
        assert "Building above" in page and "Wall as heat meets it" in page
        typed = {"building.stories": "2", "building.width": "28-0", "assembly.marine": "true"}
        typed |= {"bars.also_stock": "30', 40'", "bars.top_held": "braced"}
        data = fields(clients["builder"], url) | {f"spec.{name}": value for name, value in typed.items()}
        assert clients["builder"].post(url, data).status_code == 302
        spec = PlanDraft.objects.get().document["spec"]
        assert spec["building"] == {"stories": 2, "width": "28-0"} and spec["assembly"] == {"marine": True}
        assert spec["bars"] == {"also_stock": "30', 40'", "top_held": "braced"}
        assert fields(clients["builder"], url)["spec.assembly.marine"] == "true"

    def test_the_walk_does_not_lose_it(self, clients, cast, house, url, preview):
        plans.replace_draft(by=cast.builder, house=house, document={"spec": {"bars": {"grade_ksi": 40}}}, why="x")
        live(clients["builder"], preview, fields(clients["builder"], url) | {"title": "Walked"})
        assert PlanDraft.objects.get().document["spec"] == {"bars": {"grade_ksi": 40}}

    def test_an_older_page_is_told_and_keeps_what_was_typed(self, clients, cast, house):
        url = reverse("jobs:plan_spec", args=[house.pk])
        data = fields(clients["builder"], url) | {"spec.concrete.slump_in": "6"}
        plans.replace_draft(by=cast.field_lead, house=house, document={"spec": {"concrete": {"slump_in": 5}}}, why="x")
        answer = clients["builder"].post(url, data)
        assert answer.status_code == 409
        assert "Somebody was quicker" in text(
            answer
        ) and 'name="spec.concrete.slump_in" id="at-spec-concrete-slump_in" value="6"' in text(answer)


# -- locking and reading ---------------------------------------------------------------------------
class TestLocking:
    """The button at the end of the page."""

    @pytest.fixture
    def walked(self, cast, house) -> None:
        """An L-shaped house, walked."""
        plans.replace_draft(by=cast.builder, house=house, document=write_plan(l_shape()), why="x")

    def test_locks_what_is_on_the_page(self, clients, house, url, walked):
        data = fields(clients["field_lead"], url) | {"title": "As on the page", "note": "First issue"}
        answer = clients["field_lead"].post(reverse("jobs:plan_lock", args=[house.pk]), data)
        revision = PlanRevision.objects.get()
        assert answer.url == reverse("jobs:revision", args=[house.pk, 1])
        assert (revision.document["title"], revision.note) == ("As on the page", "First issue")

    def test_a_plan_with_blockers_is_refused_with_all_of_them(self, clients, house, url, walked):
        data = fields(clients["builder"], url) | {"walks.0.legs.0.length": "", "walks.0.legs.1.turn": ""}
        answer = clients["builder"].post(reverse("jobs:plan_lock", args=[house.pk]), data | {"note": "kept note"})
        page = text(answer)
        assert answer.status_code == 422
        assert "2 things stand in the way" in page and 'href="#at-walks-0-legs-0-length"' in page
        assert 'value="kept note"' in page
        assert not PlanRevision.objects.exists()

    def test_locking_again_says_that_nothing_changed(self, clients, house, url, walked):
        lock = reverse("jobs:plan_lock", args=[house.pk])
        clients["builder"].post(lock, fields(clients["builder"], url))
        answer = clients["builder"].post(lock, fields(clients["builder"], url), follow=True)
        assert "Nothing has changed since revision A; no new revision was made." in text(answer)
        assert "<strong>Nothing has changed since revision A.</strong>" in text(clients["builder"].get(url))
        assert PlanRevision.objects.count() == 1


class TestReading:
    """Everybody on the house reads revisions."""

    @pytest.fixture
    def locked(self, cast, house) -> None:
        """Revisions A and B: the house, and the house with its leg A and E two feet longer."""
        document = write_plan(l_shape())
        plans.lock(by=cast.builder, house=house, document=document, note="First issue")
        legs = document["walks"][0]["legs"]
        legs[0]["length"], legs[4]["length"] = "42-0", "26-0"
        plans.lock(by=cast.builder, house=house, document=document, note="Two feet longer")

    @pytest.mark.parametrize("part", READERS)
    def test_list_revision_leg_comparison_and_file(self, clients, house, locked, part):
        client = clients[part]
        assert "Two feet longer" in text(client.get(reverse("jobs:revisions", args=[house.pk])))
        page = text(client.get(reverse("jobs:revision", args=[house.pk, 1])))
        assert "superseded" in page and "Footing concrete" in page and "To be found on site" in page
        leg = text(client.get(reverse("jobs:revision_elevation", args=[house.pk, 2, "A"])))
        assert "42'-0&quot;" in leg or "42'-0\"" in leg
        assert "Bars, as cut" in leg and "Courses, from the top down" in leg
        compared = text(client.get(reverse("jobs:revision_compare", args=[house.pk, 2, 1])))
        assert "Leg A, length" in compared and "Footing concrete" in compared
        file = client.get(reverse("jobs:revision_json", args=[house.pk, 2]))
        assert file["Content-Type"].startswith("application/json")
        assert file["Content-Disposition"].startswith("attachment;")
        assert json.loads(file.content)["walks"][0]["legs"][0]["length"] == "42-0"

    def test_only_who_walks_is_offered_to_walk(self, clients, house, locked):
        page = reverse("jobs:revisions", args=[house.pk])
        assert reverse("jobs:plan_edit", args=[house.pk]) in text(clients["builder"].get(page))
        assert reverse("jobs:plan_edit", args=[house.pk]) not in text(clients["inspector"].get(page))

    def test_no_such_leg_or_revision(self, clients, house, locked):
        for name, args in (("revision", [9]), ("revision_elevation", [1, "Z"]), ("revision_compare", [1, 9])):
            assert clients["builder"].get(reverse(f"jobs:{name}", args=[house.pk, *args])).status_code == 404

    def test_a_leg_may_be_called_anything(self, clients, cast, house):
        document = write_plan(rectangle())
        document["walks"][0]["legs"][0]["name"] = "South / garage & <1>"
        plans.lock(by=cast.builder, house=house, document=document)
        page = text(clients["builder"].get(reverse("jobs:revision", args=[house.pk, 1])))
        assert "South / garage &amp; &lt;1&gt;" in page
        leg = reverse("jobs:revision_elevation", args=[house.pk, 1, "South / garage & <1>"])
        assert clients["builder"].get(leg).status_code == 200

    def test_walking_on_from_a_revision_sets_the_draft_aside(self, clients, cast, house, locked):
        plans.replace_draft(by=cast.builder, house=house, document={"title": "half walked"}, why="x")
        clients["builder"].post(reverse("jobs:revision_start", args=[house.pk, 1]))
        document = PlanDraft.objects.get().document
        assert document["walks"][0]["legs"][0]["length"] == "40'-0\""
        assert document["_set_aside"][0]["document"]["title"] == "half walked"


class TestFiles:
    """A plan goes out as a file and comes in as one."""

    def upload(self, client, house, content: bytes, **more: str):
        """Send a file."""
        file = SimpleUploadedFile("plan.json", content, "application/json")
        return client.post(reverse("jobs:plan_import", args=[house.pk]), {"file": file, **more})

    def test_into_an_empty_plan_at_once(self, clients, house):
        answer = self.upload(clients["builder"], house, json.dumps(write_plan(l_shape())).encode())
        assert answer.url == reverse("jobs:plan_edit", args=[house.pk])
        assert len(PlanDraft.objects.get().document["walks"][0]["legs"]) == 6

    def test_over_a_begun_plan_only_when_confirmed_and_then_it_is_set_aside(self, clients, cast, house):
        begun = {"title": "begun", "walks": [{"name": "house", "legs": [{"name": "A", "length": "9-0"}]}]}
        plans.replace_draft(by=cast.builder, house=house, document=begun, why="x")
        answer = self.upload(clients["builder"], house, json.dumps(write_plan(l_shape())).encode())
        assert answer.status_code == 200 and "Put the file in its place" in text(answer)
        assert PlanDraft.objects.get().document["title"] == "begun"
        data = Fields(text(answer)).found
        clients["builder"].post(reverse("jobs:plan_import", args=[house.pk]), data)
        document = PlanDraft.objects.get().document
        assert len(document["walks"][0]["legs"]) == 6
        assert document["_set_aside"][0]["document"]["title"] == "begun"

    def test_right_or_wrong_its_fields_are_taken_over_and_told(self, clients, house):
        document = write_plan(l_shape())
        document["walks"][0]["legs"][0]["length"] = "somewhat long"
        answer = self.upload(clients["builder"], house, json.dumps(document).encode())
        assert "“somewhat long” is not a length" in text(clients["builder"].get(answer.url))

    def test_whose_form_system_and_ground_are_used_is_told(self, clients, cast, house):
        house.site.frost_depth = Length.feet(5)
        house.site.save()
        document = write_plan(l_shape())
        document["forms"][0]["face_height"] = '17"'
        answer = self.upload(clients["builder"], house, json.dumps(document).encode())
        page = text(clients["builder"].get(answer.url))
        assert "not the file&#x27;s: face height: 17&quot;" in page
        assert "The ground of the house is used, not the file&#x27;s: " in page and "frost depth" in page

    @pytest.mark.parametrize("content", [b"<script>alert(1)</script>", b"[" * 90_000, b"{}", b"x" * 1_000_001])
    def test_what_is_no_plan_is_refused_and_changes_nothing(self, clients, house, content):
        answer = self.upload(clients["builder"], house, content)
        assert answer.status_code == 422 and "Not read in" in text(answer)
        assert "<script>alert" not in text(answer)
        assert not PlanDraft.objects.exists()

    def test_what_goes_out_comes_in_the_same(self, clients, cast, house):
        plans.replace_draft(by=cast.builder, house=house, document=write_plan(l_shape()), why="x")
        file = clients["builder"].get(reverse("jobs:plan_export", args=[house.pk]))
        before = plans.read_and_compute(json.loads(file.content))[0].plan
        PlanDraft.objects.all().delete()
        self.upload(clients["builder"], house, file.content)
        assert plans.read_and_compute(plans.complete(house, plans.draft_of(house)[0]))[0].plan == before
