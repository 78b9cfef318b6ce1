"""The weather of a house and the page of its pour window: given by people, kept as it came, decided by the engine."""

from __future__ import annotations

import json
import re
import uuid
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from html import unescape
from zoneinfo import ZoneInfo

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.winter.conditions import ConditionsForm
from jobs.models import Event, House
from jobs.weather.records import WeatherSource
from takeoff.plan import Stage
from tests.factories import HouseFactory
from tests.inspections.real import RealSite

CHICAGO = ZoneInfo("America/Chicago")


@pytest.fixture
def site(cast) -> RealSite:
    return RealSite(cast, "saltlick-lane")


@dataclass(frozen=True)
class Bare:
    """A house without a locked plan."""

    house: House


@pytest.fixture
def bare(cast) -> Bare:
    return Bare(cast.house)


def url(site, name: str = "weather", kind: Stage = Stage.FROST_WALL) -> str:
    return reverse(f"inspections:{name}", args=[site.house.pk, site.house.stages.get(kind=kind).pk])


def words(answer) -> str:
    """What a page says, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def today() -> date:
    return timezone.now().astimezone(CHICAGO).date()


def days(*pairs: tuple[float, float], wind: float | None = None, **more: str) -> dict[str, str]:
    """Highs and lows from today on, as the form sends them."""
    data = {"first": today().isoformat(), "client_id": str(uuid.uuid4()), "device_at": ""}
    for n, (high, low) in enumerate(pairs):
        data |= {f"high_{n}": f"{high}", f"low_{n}": f"{low}"}
        if wind is not None:
            data[f"wind_{n}"] = f"{wind}"
    return {**data, **more}


def give(client, site, *pairs, **more):
    return client.post(url(site, "weather_typed"), days(*pairs, **more), follow=True)


def csv_of(hours: int, air: float = 50.0, head: str = "time,temp (F),wind (mph)") -> SimpleUploadedFile:
    start = datetime.combine(today(), datetime.min.time())
    rows = [f"{start + timedelta(hours=n):%Y-%m-%d %H:%M},{air},5" for n in range(hours)]
    return SimpleUploadedFile("logger.csv", "\n".join([head, *rows]).encode(), "text/csv")


# -- giving weather ----------------------------------------------------------------------------------------
def test_typed_days_are_kept_with_who_and_an_event(bare, clients, cast):
    answer = give(clients["field_lead"], bare, *[(50, 45)] * 13)
    row = WeatherSource.objects.get()
    assert answer.status_code == 200 and "Typed highs and lows" in words(answer)
    assert (row.kind, row.by, row.house) == ("typed", cast.field_lead, bare.house)
    assert Event.objects.filter(verb="add_weather", subject_id=row.pk, house=bare.house).count() == 1


def test_sent_twice_is_kept_once(bare, clients):
    data = days(*[(50, 45)] * 5)
    for _ in range(2):
        assert clients["builder"].post(url(bare, "weather_typed"), data).status_code == 302
    assert WeatherSource.objects.count() == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"low_1": "60"}, "The low of 60 °F is above the high of 50 °F"),
        ({"high_1": "", "low_1": ""}, "is missing between the days typed"),
        ({"high_1": ""}, "Type the high of this day too"),
        ({"low_0": "minus"}, "That is not a number"),
        ({"low_0": "-300"}, "That is too small"),
        ({f"{part}_{n}": "" for part in ("high", "low") for n in range(3)}, "at least one day"),
    ],
    ids=["upside down", "gap", "half a day", "no number", "too cold", "nothing"],
)
def test_bad_days_are_told_and_nothing_is_kept(bare, clients, changed, said):
    answer = clients["builder"].post(url(bare, "weather_typed"), days(*[(50, 45)] * 3) | changed)
    assert answer.status_code == 422 and said in words(answer)
    assert not WeatherSource.objects.exists()
    assert changed.get("low_1") != "60" or 'value="60"' in answer.content.decode()


def test_a_csv_file_is_read_and_kept_with_its_name(bare, clients):
    answer = clients["builder"].post(url(bare, "weather_file"), {"file": csv_of(400)}, follow=True)
    row = WeatherSource.objects.get()
    assert (row.kind, row.name) == ("csv", "logger.csv") and "logger.csv" in words(answer)
    assert row.last_at - row.first_at == timedelta(hours=399)


EPW_HEAD = "LOCATION,Tamarack Fork,MN,USA,invented,000000,46.0,-93.0,-6.0,300.0\n" + "HEAD\n" * 7


def epw(year: int) -> SimpleUploadedFile:
    """The first and the last eleven days of a typical year at 5 C."""
    lines = []
    for month, first in ((1, 1), (12, 21)):
        for n in range(11 * 24):
            cells = ["0"] * 35
            cells[0:5] = [str(year), str(month), str(first + n // 24), str(n % 24 + 1), "60"]
            cells[6], cells[21], cells[22] = "5.0", "2.0", "5"
            lines.append(",".join(cells))
    return SimpleUploadedFile("fork.epw", (EPW_HEAD + "\n".join(lines)).encode())


def test_a_typical_year_goes_on_over_new_year(bare, clients):
    assert clients["builder"].post(url(bare, "weather_file"), {"file": epw(2021)}).status_code == 302
    year = today().year
    answer = clients["builder"].get(url(bare) + f"?from_day={year}-12-28&thickness_in=8")
    shown = words(answer)
    assert "Typical year of Tamarack Fork" in shown and "not a forecast" in shown
    assert "Jan 6" in shown and "forecast ends" not in shown


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (SimpleUploadedFile("a.csv", b"time,temp\n2027-01-05 06:00,20"), "does not say its unit"),
        (SimpleUploadedFile("a.csv", b"time,temp (F)\n2027-01-05 06:00,cold"), "Line 2: “cold” is no number."),
        (SimpleUploadedFile("a.csv", b"time,temp (F)\nsometime,20"), "Line 2: “sometime” is no time"),
        (SimpleUploadedFile("a.bin", bytes(range(256))), "not text"),
        (SimpleUploadedFile("a.csv", b"   "), "head line"),
        (SimpleUploadedFile("a.csv", b""), "empty"),
        (SimpleUploadedFile("a.epw", EPW_HEAD.encode() + b"2021,1,1,1,60,0,warm"), "Line 9"),
        (SimpleUploadedFile("a.csv", b"x" * 4_000_001), "at most 4,000,000 are accepted"),
        (SimpleUploadedFile("a.csv", b"time,temp (F)" + b"\n1" * 8_901), "at most a year of hours is accepted"),
    ],
    ids=["no unit", "no number", "no time", "binary", "blank", "empty", "epw", "large", "long"],
)
def test_a_bad_file_is_told_by_its_line_and_nothing_is_kept(bare, clients, file, said):
    file.seek(0)
    answer = clients["builder"].post(url(bare, "weather_file"), {"file": file})
    assert answer.status_code == 422 and said in words(answer)
    assert not WeatherSource.objects.exists()


@pytest.mark.parametrize("part", ["inspector", "engineer", "surveyor"])
def test_others_look_but_give_nothing(bare, clients, part):
    assert give(clients[part], bare, (50, 45)).status_code == 404
    answer = clients[part].get(url(bare))
    assert answer.status_code == 200 and "Keep these days" not in words(answer)


@pytest.mark.parametrize("kind", [Stage.WATERPROOFING, Stage.FINAL_BACKFILL])
def test_stages_that_are_not_poured_have_no_such_page(bare, clients, kind):
    assert clients["builder"].get(url(bare, kind=kind)).status_code == 404
    assert "Weather, forms, concrete order" not in words(clients["builder"].get(url(bare, "stage", kind)))


def test_the_stage_leads_to_it(bare, clients):
    assert url(bare) in clients["builder"].get(url(bare, "stage")).content.decode()


def test_weather_is_neither_changed_nor_deleted(bare, clients):
    give(clients["builder"], bare, (50, 45))
    row = WeatherSource.objects.get()
    with pytest.raises(ValidationError, match="cannot be changed"):
        row.save()
    with pytest.raises(IntegrityError, match="cannot be changed"), transaction.atomic():
        WeatherSource.objects.update(name="other")


# -- deciding ----------------------------------------------------------------------------------------------
def test_warm_days_are_a_go_with_windows(site, clients):
    give(clients["builder"], site, *[(60, 50)] * 13)
    shown = words(clients["builder"].get(url(site)))
    assert "Best windows" in shown and "10 h, air" in shown and ": go No protection asked" in shown
    assert "A guide's answer to a forecast, not a permission" in shown
    assert "Nobody has said yet that ground, forms and steel are free" in shown


def test_cold_days_go_by_the_thickness_of_the_plan(site, clients):
    """A core of 6 to 8 in is under 12 in: 55 F as placed and kept (ACI 306R, restated by UFGS 03311)."""
    give(clients["builder"], site, *[(39, 28)] * 13)
    bare = words(clients["builder"].get(url(site)))
    assert "Covers are not on site" in bare and "may be poured in these days" in bare
    assert re.search(r"With covers, heat and a base kept warm one would begin \w{3} \w{3} \d+, \d+:00 am", bare)
    ready = words(clients["builder"].get(url(site) + "?asked=1&covers=on&base_warm=on&pump=on&ground=clear"))
    assert "Covers: keep the concrete at 55 °F or more for 72 h" in ready
    assert "55 to 75 °F in cold weather" in ready and "Nobody has said yet" not in ready


def test_a_thick_section_may_be_colder(site, clients):
    """From 12 in 50 F is enough (ACI 306R, restated by UFGS 03311)."""
    give(clients["builder"], site, *[(39, 28)] * 13)
    shown = words(clients["builder"].get(url(site) + "?thickness_in=14&covers=on&base_warm=on"))
    assert "50 to 70 °F in cold weather" in shown and "keep the concrete at 50 °F" in shown


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("concrete_f=", "Ask the plant"),
        ("concrete_f=50&covers=on", "Concrete of 50 °F is too cold"),
        ("ground=frozen", "frozen"),
        ("wind_mph=5", "over 5: no boom"),
        ("guide=canada&covers=on&base_warm=on", "keep the concrete at 50 °F or more for 72 h"),
    ],
)
def test_each_input_in_sight_decides(site, clients, query, said):
    give(clients["builder"], site, *[(39, 28)] * 13, wind=10)
    assert said in words(clients["builder"].get(url(site) + "?" + query))


def test_the_latest_weather_is_shown_and_an_older_one_can_be_chosen(site, clients):
    give(clients["builder"], site, *[(39, 28)] * 13)
    old = WeatherSource.objects.get()
    give(clients["builder"], site, *[(70, 60)] * 13)
    assert "60 to 70 °F" in words(clients["builder"].get(url(site)))
    assert "28 to 39 °F" in words(clients["builder"].get(url(site) + f"?weather={old.pk}"))


def test_weather_of_another_house_cannot_be_chosen(site, clients, cast):
    give(clients["builder"], site, *[(39, 28)] * 13)
    other = HouseFactory(firm=cast.strange_firm)
    strange = WeatherSource.objects.create(
        house=other, kind="typed", text="[]", source="strange", by=cast.stranger
    )  # fmt: skip
    answer = clients["builder"].get(url(site) + f"?weather={strange.pk}")
    assert answer.status_code == 422 and "strange" not in words(answer)


def test_days_past_the_weather_are_told(site, clients):
    give(clients["builder"], site, *[(39, 28)] * 3)
    later = today() + timedelta(days=30)
    assert "This weather has no hour from" in words(clients["builder"].get(url(site) + f"?from_day={later}"))


def test_a_past_day_is_said_to_be_past(bare, clients):
    give(clients["builder"], bare, *[(39, 28)] * 3)
    before = today() - timedelta(days=1)
    said = words(clients["builder"].get(url(bare) + f"?thickness_in=8&from_day={before}"))
    assert "Looked at from a day that is past" in said
    assert "a day that is past" not in words(clients["builder"].get(url(bare) + "?thickness_in=8"))


def test_without_a_plan_the_thickness_is_asked(bare, clients):
    give(clients["builder"], bare, *[(60, 50)] * 13)
    assert "Type the least thickness" in words(clients["builder"].get(url(bare)))
    assert "Best windows" in words(clients["builder"].get(url(bare) + "?thickness_in=8&concrete_f=60"))


@pytest.mark.parametrize("query", ["thickness_in=-1", "wind_mph=gale", "from_day=someday", "guide=x", "pour_hour=99"])
def test_what_cannot_be_is_told_beside_its_field(site, clients, query):
    give(clients["builder"], site, *[(60, 50)] * 13)
    answer = clients["builder"].get(url(site) + "?" + query)
    assert answer.status_code == 422 and "Not worked out yet" in words(answer)


@pytest.mark.parametrize(("hours", "told"), [(3, False), (23, False), (30, True)])
def test_weather_older_than_a_day_is_told(bare, clients, cast, hours, told):
    days_typed = [{"on": f"{today() + timedelta(days=n)}", "high_f": 50, "low_f": 45, "wind_mph": 5} for n in range(9)]
    WeatherSource.objects.create(
        house=bare.house, kind="typed", text=json.dumps(days_typed), source="typed", by=cast.builder,
        at=timezone.now() - timedelta(hours=hours),
    )  # fmt: skip
    said = words(clients["builder"].get(url(bare) + "?thickness_in=8"))
    assert f"{hours} hours old" in said and ("before a truck is ordered by it" in said) is told


PAGES = ("weather", "weather_decide", "weather_forms", "weather_order", "weather_strength")
NAMES = st.sampled_from(list(ConditionsForm.base_fields))
TYPED = st.one_of(
    st.sampled_from(["", "0", "-1", "nan", "inf", "1e9", "32", "60", "2027-03-14", "0001-01-01", "9999-12-31", "on"]),
    st.text(max_size=6),
    st.floats(-1e3, 1e4).map(str),
)


@pytest.mark.look
def test_nothing_typed_in_an_address_breaks_a_page(site, clients):
    give(clients["builder"], site, *[(39, 28)] * 13)

    @settings(max_examples=20, deadline=None)
    @given(
        st.sampled_from(PAGES), st.dictionaries(st.sampled_from(list(ConditionsForm.base_fields)), TYPED, max_size=4)
    )
    def holds(name, typed):
        answer = clients["builder"].get(url(site, name), {**typed, "asked": "1"})
        assert answer.status_code in (200, 422), typed
        assert answer.status_code == 200 or "Not worked out yet" in words(answer)

    holds()


def test_no_file_breaks_the_page(bare, clients):
    @settings(max_examples=20, deadline=None)
    @given(
        st.one_of(
            st.binary(max_size=80),
            st.text(max_size=80).map(str.encode),
            st.lists(st.text("0123456789-:T ,.;FCtempime\n", max_size=30), max_size=6).map(
                lambda rows: "\n".join(["time,temp (F)", *rows]).encode()
            ),
            st.text(max_size=60).map(lambda tail: (EPW_HEAD + tail).encode()),
        )
    )
    def holds(content):
        file = SimpleUploadedFile("any.csv", content)
        before = WeatherSource.objects.count()
        answer = clients["builder"].post(url(bare, "weather_file"), {"file": file})
        assert answer.status_code in (302, 422)
        assert WeatherSource.objects.count() - before == (answer.status_code == 302)

    holds()


def test_typed_days_stand_in_the_form_the_next_time(site, clients):
    give(clients["builder"], site, (61, 47))
    assert 'value="61"' in clients["builder"].get(url(site)).content.decode()
