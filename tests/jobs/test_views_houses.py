"""Pages of a house: papers, ground, stages. Nothing typed is ever lost."""

from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from jobs import actions
from jobs.details import HouseDetails
from jobs.models import Event, House
from takeoff.plan import Stage
from takeoff.site import Site
from takeoff.units import Length

PAPERS = {"name": "Lot 7", "lot": "7", "address": "7 Ridge Road", "timezone": "America/Chicago", "version": "1"}
GROUND = {
    "soil_class": "ML",
    "equivalent_fluid_pcf": "60",
    "bearing_psf": "1500",
    "frost_depth": "4' 6\"",
    "ground_water": "88.5",
    "exterior_grade": "98-4",
    "code_edition": "IRC 2021",
    "version": "1",
}


class TestNewHouse:
    """A house and its ground on one page."""

    url = "/houses/new"

    def test_saved_with_levels_read_in_the_unit_the_field_names(self, clients):
        answer = clients["builder"].post(self.url, PAPERS | GROUND)
        house = House.objects.get(name="Lot 7")
        assert answer.url == reverse("inspections:house", args=[house.pk])
        assert house.site.frost_depth == Length.feet(4, 6)
        assert house.site.ground_water == Length.feet("88.5")
        assert house.site.exterior_grade == Length.feet(98, 4)

    def test_wrong_length_is_quoted_and_everything_typed_stays(self, clients):
        answer = clients["builder"].post(self.url, PAPERS | GROUND | {"frost_depth": "four feet"})
        page = answer.content.decode()
        assert answer.status_code == 422
        assert "“four feet” is not a length" in page
        assert 'value="four feet"' in page
        assert 'value="7 Ridge Road"' in page
        assert not House.objects.filter(name="Lot 7").exists()

    def test_proposed_load_names_its_source_and_saves_nothing(self, clients):
        answer = clients["builder"].post(self.url, PAPERS | GROUND | {"propose_active": "1"})
        page = answer.content.decode()
        assert "Proposed: 45 psf per ft of depth, active pressure, for ML" in page
        assert "IBC 2021 Table 1610.1" in page
        assert 'name="equivalent_fluid_pcf" value="45"' in page
        assert 'value="7 Ridge Road"' in page
        assert not House.objects.filter(name="Lot 7").exists()

    def test_sent_twice_counts_once(self, clients):
        form = PAPERS | GROUND | {"client_id": str(uuid4())}
        urls = {clients["builder"].post(self.url, form).url for _ in range(2)}
        assert len(urls) == 1
        assert House.objects.filter(name="Lot 7").count() == 1

    def test_page_comes_with_an_id_for_the_record(self, clients):
        answer = clients["builder"].get(self.url)
        assert answer.status_code == 200
        assert b'name="client_id" value="' in answer.content


class TestPapers:
    """Editing what the papers say."""

    def url(self, house):
        return reverse("jobs:house_edit", args=[house.pk])

    def test_saved(self, clients, house):
        answer = clients["builder"].post(self.url(house), PAPERS | {"dig_date": "2026-11-03"})
        assert answer.url == f"/houses/{house.pk}/"
        house.refresh_from_db()
        assert (house.lot, house.version) == ("7", 2)

    def test_dates_out_of_order(self, clients, house):
        dates = {"dig_date": "2026-11-09", "buried_by_date": "2026-11-03"}
        answer = clients["builder"].post(self.url(house), PAPERS | dates)
        assert answer.status_code == 422
        assert "is before the dig date (Nov 9, 2026); give a day on or after Nov 9, 2026." in answer.content.decode()

    def test_stale_page_shows_both_and_then_saves(self, clients, cast, house):
        actions.edit_house(
            by=cast.builder, house=house, version=1, changed=HouseDetails(name="Lot 12", address="12 Ridge Road")
        )
        typed = PAPERS | {"name": "Lot 12", "address": "12 Ridge Rd"}
        answer = clients["builder"].post(self.url(house), typed)
        page = answer.content.decode()
        assert answer.status_code == 409
        assert "Bodil Builder saved this page after you opened it" in page
        assert "address: nothing → 12 Ridge Road" in page
        assert "Saved meanwhile: <strong>12 Ridge Road</strong>" in page
        assert 'value="12 Ridge Rd"' in page
        assert 'name="version" value="2"' in page
        house.refresh_from_db()
        assert house.address == "12 Ridge Road"

        clients["builder"].post(self.url(house), typed | {"version": "2"})
        house.refresh_from_db()
        assert house.address == "12 Ridge Rd"

    def test_zone_that_is_not_offered_is_kept(self, clients, house):
        House.objects.filter(pk=house.pk).update(timezone="America/Winnipeg")
        clients["builder"].post(self.url(house), PAPERS | {"timezone": "America/Winnipeg"})
        house.refresh_from_db()
        assert (house.name, house.timezone) == ("Lot 7", "America/Winnipeg")

    def test_time_on_the_device_is_kept(self, clients, house):
        clients["builder"].post(self.url(house), PAPERS | {"device_at": "2026-11-03T12:00:00.000Z"})
        assert Event.objects.get(verb="edit_house").device_at == datetime(2026, 11, 3, 12, tzinfo=UTC)

    @pytest.mark.parametrize("version", ["", "0", "x"])
    def test_page_without_its_version_overwrites_nothing(self, clients, house, version):
        answer = clients["builder"].post(self.url(house), PAPERS | {"version": version})
        assert answer.status_code in (409, 422)
        house.refresh_from_db()
        assert house.name == "Lot 12"


class TestGround:
    """Editing the ground."""

    def url(self, house):
        return reverse("jobs:site_edit", args=[house.pk])

    def test_saved(self, clients, house):
        assert clients["builder"].post(self.url(house), GROUND).status_code == 302
        house.site.refresh_from_db()
        assert (house.site.soil_class, house.site.equivalent_fluid_pcf) == ("ML", 60.0)

    def test_saving_what_the_page_shows_changes_nothing(self, clients, cast, house):
        """Metric levels too: they are shown as they are kept."""
        site = Site(ground_water=Length.mm(26955), frost_depth=Length.mm("1219.2"))
        actions.edit_site(by=cast.builder, house=house, version=1, changed=site)
        form = clients["builder"].get(self.url(house)).context["form"]
        shown = {name: form[name].value() for name in form.fields}
        sent = {name: form.fields[name].prepare_value(value) for name, value in shown.items() if value is not None}
        assert clients["builder"].post(self.url(house), sent).status_code == 302
        assert Event.objects.filter(house=house, verb="edit_site").count() == 1

    def test_soil_not_in_the_table(self, clients, house):
        answer = clients["builder"].post(self.url(house), GROUND | {"soil_class": "XX"})
        assert "“XX” is not a soil symbol of IRC Table R405.1" in answer.content.decode()

    @pytest.mark.parametrize("depth", ["-1", "21'", "nan"])
    def test_frost_depth_out_of_reason(self, clients, house, depth):
        answer = clients["builder"].post(self.url(house), GROUND | {"frost_depth": depth})
        assert answer.status_code == 422
        assert f'value="{depth}"'.replace("'", "&#x27;") in answer.content.decode()

    @pytest.mark.parametrize("load", ["0", "-5", "nan", "inf", "1e9", "much"])
    def test_loads_out_of_reason(self, clients, house, load):
        answer = clients["builder"].post(self.url(house), GROUND | {"equivalent_fluid_pcf": load})
        assert answer.status_code == 422

    @pytest.mark.parametrize(
        ("symbol", "button", "value"),
        [("SM", "propose_active", "45"), ("SM", "propose_at_rest", "60"), ("CL", "propose_at_rest", "100")],
    )
    def test_loads_as_printed_in_ibc_1610_1(self, clients, house, symbol, button, value):
        answer = clients["builder"].post(self.url(house), GROUND | {"soil_class": symbol, button: "1"})
        assert f'name="equivalent_fluid_pcf" value="{value}"' in answer.content.decode()

    @pytest.mark.parametrize("symbol", ["CH", "Pt", ""])
    def test_no_load_where_the_table_gives_none(self, clients, house, symbol):
        answer = clients["builder"].post(self.url(house), GROUND | {"soil_class": symbol, "propose_active": "1"})
        page = answer.content.decode()
        assert "gives no load for" in page
        assert 'name="equivalent_fluid_pcf" value="60"' in page

    def test_stale(self, clients, cast, house):
        actions.edit_site(by=cast.builder, house=house, version=1, changed=Site(frost_depth=Length.feet(5)))
        page = clients["builder"].post(self.url(house), GROUND).content.decode()
        assert "Saved meanwhile: <strong>5&#x27;-0&quot;</strong>" in page
        assert 'value="4&#x27; 6&quot;"' in page


class TestStages:
    """Dealing the stages."""

    @pytest.fixture
    def url(self, house):
        return reverse("jobs:stages_edit", args=[house.pk])

    def order(self, house):
        return [s.kind for s in house.stages.order_by("position")]

    def test_later_and_earlier(self, clients, house, url):
        first = house.stages.first()
        clients["builder"].post(url, {"do": "later", "stage": first.pk})
        assert self.order(house)[:2] == [Stage.FROST_WALL, Stage.FOOTING]
        clients["builder"].post(url, {"do": "earlier", "stage": first.pk})
        assert self.order(house) == list(Stage)

    def test_left_out(self, clients, house, url):
        clients["builder"].post(url, {"do": "remove", "stage": house.stages.get(kind=Stage.FROST_WALL).pk})
        assert Stage.FROST_WALL not in self.order(house)

    def test_added(self, clients, house, url):
        new = {"do": "add", "new-kind": "full_wall", "new-title": "Second pour", "new-after": "4"}
        clients["builder"].post(url, new)
        assert house.stages.get(position=5).title == "Second pour"

    def test_added_sent_twice_counts_once(self, clients, house, url):
        new = {"do": "add", "new-kind": "full_wall", "new-after": "4", "new-client_id": str(uuid4())}
        for _ in range(2):
            clients["builder"].post(url, new)
        assert house.stages.count() == 7

    def test_dated_and_renamed(self, clients, house, url):
        stage = house.stages.first()
        days = {f"s{stage.pk}-title": "Footings", f"s{stage.pk}-start": "2026-11-03", f"s{stage.pk}-end": "2026-11-05"}
        clients["builder"].post(url, {"do": "save", "stage": stage.pk} | days)
        stage.refresh_from_db()
        assert (stage.title, stage.planned_end_date.isoformat()) == ("Footings", "2026-11-05")

    def test_end_before_start_keeps_what_was_typed(self, clients, house, url):
        stage = house.stages.first()
        days = {f"s{stage.pk}-title": "Footings", f"s{stage.pk}-start": "2026-11-05", f"s{stage.pk}-end": "2026-11-03"}
        answer = clients["builder"].post(url, {"do": "save", "stage": stage.pk} | days)
        page = answer.content.decode()
        assert answer.status_code == 422
        assert "The end of Footings (Nov 3, 2026) is before the start of Footings (Nov 5, 2026)" in page
        assert 'value="Footings"' in page

    @pytest.mark.parametrize("pk", ["", "x", "0", "9" * 40])
    def test_stage_that_is_not_there(self, clients, url, pk):
        assert clients["builder"].post(url, {"do": "remove", "stage": pk}).status_code == 404

    def test_stage_of_another_house(self, clients, cast, url):
        theirs = cast.strange_house.stages.first()
        assert clients["builder"].post(url, {"do": "remove", "stage": theirs.pk}).status_code == 404


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-3", "That is too small; give a number from 1 to 500 psf per ft of depth."),
        ("9000", "That is too large; give a number from 1 to 500 psf per ft of depth."),
        ("heavy", "That is not a number; give a number from 1 to 500 psf per ft of depth."),
    ],
)
def test_a_number_out_of_range_says_what_is_accepted(clients, cast, typed, sentence):
    answer = clients["builder"].post(reverse("jobs:site_edit", args=[cast.house.pk]), {"equivalent_fluid_pcf": typed})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert f"Equivalent fluid density: {sentence}" in page and f'value="{typed}"' in page
