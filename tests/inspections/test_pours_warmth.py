"""A logger's file, what keeps a wall warm and the supplier's curve, written down on the page of the pour."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from inspections.pours.curve_text import curve_text, read_curve
from inspections.pours.forms_warmth import LARGEST, decoded
from inspections.pours.models import LoggerFile, MixAgreed, ProtectionSet, StrengthEstimate
from jobs.models import Event
from takeoff.plan import Stage
from tests.inspections.real import RealSite
from tests.inspections.test_pours_pages import ZONE, ago, agree, page_url, send, text, today
from tests.inspections.test_pours_strength import give_weather, log, poured


@pytest.fixture
def site(cast) -> RealSite:
    """Kettle Road, its walls poured two days ago."""
    site = RealSite(cast, "kettle-road")
    poured(site, days_ago=2)
    return site


def upload(client: Any, site: RealSite, content: str | bytes, name: str = "core.csv", **said: Any) -> Any:
    data = content.encode() if isinstance(content, str) else content
    file = SimpleUploadedFile(name, data, content_type="text/csv")
    return send(client, site, "logger", **{"place": "core_middle", "file": file, **said})


def by_clock(hours_ago: range, head: str = "time,temp (F)") -> str:
    rows = [f"{today() - timedelta(hours=h):%Y-%m-%d %H:%M},{60 + 40 / h:.1f}" for h in reversed(hours_ago)]
    return "\n".join([head, *rows])


# -- loggers ----
def test_a_file_with_clock_times_begins_by_its_own_clock(site, clients):
    answer = upload(clients["field_lead"], site, by_clock(range(1, 60)))
    kept = LoggerFile.objects.get()
    assert kept.name == "core.csv" and abs(timezone.now() - timedelta(hours=59) - kept.begun) < timedelta(minutes=2)
    assert "core.csv , core, mid height: 4" in text(answer) and "readings after placing" in text(answer)
    assert "By the temperatures read:" in text(answer)
    assert send(clients["engineer"], site, "estimate", reason="Read every hour.").status_code == 200
    inputs = StrengthEstimate.objects.get().inputs
    assert inputs["loggers"][0]["name"] == "core.csv" and 40 <= inputs["loggers"][0]["readings"] <= 48
    assert len(inputs["readings"]["core_middle"]) <= 48 and inputs["mix"] == "not told: a usual one is taken"


def test_a_file_that_counts_hours_asks_when_it_was_started_and_takes_c(site, clients):
    lines = "hours;temp (C)\n" + "\n".join(f"{h};{20 - h / 10}" for h in range(30))
    answer = upload(clients["builder"], site, lines)
    assert answer.status_code == 422 and "say when its hour 0 was" in text(answer) and "29;17.1" in text(answer)
    day = f"{today() - timedelta(days=4):%Y-%m-%d}"
    # what was brought stays in the form: it is sent again without choosing the file
    answer = send(
        clients["builder"], site, "logger", place="core_top", text=lines, name="core.csv", day=day, begun="23:59"
    )
    assert answer.status_code == 200 and LoggerFile.objects.get().begun.astimezone(ZONE).strftime("%H:%M") == "23:59"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("time,temp (F)\n2026-01-05 10:00,60\nyesterday,61\n", "Line 3 cannot be read as a time and a temperature"),
        ("time,temp (F)\n2026-01-05 10:00,60\n2026-01-05 09:00,61\n", "Line 3 is not later than the line before it"),
        ("time,temp (F)\n2026-01-05 10:00,60\n2026-01-05 11:00,-999\n", "Line 3: concrete of -999 °F cannot be"),
        ("time,temp\n2026-01-05 10:00,60\n2026-01-05 11:00,61\n", "does not say whether it is F or C"),
        ("time,temp (F)\n2126-01-05 10:00,60\n2126-01-05 11:00,61\n", "which is still to come"),
        (b"PK\x03\x04\0\0", "This is no text."),
        ("time,temp (F)\n" + "x" * LARGEST, f"at most {LARGEST:,} are taken"),
        ("", "The file is empty."),
    ],
    ids=["a line", "order", "no such concrete", "unit", "to come", "a workbook", "too large", "empty"],
)
def test_what_cannot_be_read_is_said_with_its_line_and_nothing_typed_is_lost(content, said, site, clients):
    answer = upload(clients["field_lead"], site, content, note="In the sleeve by the window")
    assert answer.status_code == 422 and said in text(answer) and "In the sleeve by the window" in text(answer)
    assert not LoggerFile.objects.exists()


def test_neither_file_nor_lines_is_said_beside_the_file(site, clients):
    answer = send(clients["field_lead"], site, "logger", place="core_middle")
    assert answer.status_code == 422 and "Choose the logger's file, or paste its lines." in text(answer)


@pytest.mark.parametrize("coding", ["utf-8-sig", "utf-16", "cp1252"])
def test_files_come_in_the_codings_of_loggers(coding):
    assert decoded("time,core °F\n".encode(coding)) == "time,core °F\n"


def test_sent_twice_a_file_counts_once(site, clients):
    client_id, lines = str(uuid4()), by_clock(range(1, 20))
    for _ in range(2):
        assert upload(clients["field_lead"], site, lines, client_id=client_id).status_code == 200
    assert LoggerFile.objects.count() == 1 and Event.objects.filter(summary__contains="Logger file").count() == 1


def test_a_file_put_at_the_wrong_place_is_corrected_by_a_later_record(site, clients):
    upload(clients["field_lead"], site, by_clock(range(1, 20)))
    wrong = LoggerFile.objects.get()
    form = clients["field_lead"].get(f"{page_url(site)}?correct=logger&record={wrong.pk}")
    assert f'name="replaces" value="{wrong.pk}"' in form.content.decode() and wrong.text.splitlines()[3] in text(form)
    send(clients["field_lead"], site, "logger", place="face", text=wrong.text, name=wrong.name, replaces=wrong.pk)
    assert LoggerFile.objects.get(replaced_by=None).place == "face"


# -- protection ----
def test_protection_is_written_down_and_ends_when_it_is_taken_off(site, clients):
    lead, day = clients["field_lead"], f"{today() - timedelta(hours=30):%Y-%m-%d}"
    when = f"{today() - timedelta(hours=30):%H:%M}"
    give_weather(site, 30.0, 20.0)
    answer = send(lead, site, "protection", side_r="5", air_f="50", when=when, day=day)
    kept = ProtectionSet.objects.get()
    assert (kept.side_r, kept.top_r, kept.air_f) == (5.0, 0.0, 50.0)
    said = text(answer)
    assert "R 5 on both sides, air heated to 50 °F ," in said and "is taken to stay on until it is written down" in said
    log(site, "moment", {"what": "unprotected", "when": timezone.now() - timedelta(minutes=2)})
    assert "is taken to stay on until it is written down" not in text(lead.get(page_url(site)))


def test_protection_of_nothing_is_asked_again(site, clients):
    answer = send(clients["builder"], site, "protection", side_r="0", when=ago(1))
    assert answer.status_code == 422 and "write down “protection taken off” instead" in text(answer)
    answer = send(clients["builder"], site, "protection", side_r="R5", when=ago(1))
    assert answer.status_code == 422 and 'value="R5"' in answer.content.decode()


# -- the supplier's curve ----
@pytest.mark.parametrize(
    ("typed", "points"),
    [
        ("3 days 1800 psi\n7 days 2600 psi", [[3.0, 1800.0], [7.0, 2600.0]]),
        ("28d: 4,050\n\n12 h 400 psi", [[0.5, 400.0], [28.0, 4050.0]]),
        ("1 day 6.5 MPa\n3 13 MPa", [[1.0, 942.7], [3.0, 1885.5]]),  # 1 MPa is 145.0377 psi
    ],
)
def test_a_curve_is_read_as_it_is_typed_and_shown_to_be_read_again(typed, points):
    assert read_curve(typed) == points and read_curve(curve_text(points)) == points


def test_each_line_of_a_curve_that_cannot_be_is_named():
    with pytest.raises(ValidationError) as wrong:
        read_curve("3 days 1800 psi\nseven 2600\n7 days 90000 psi\n0 days 5 psi")
    assert [each[:7] for each in wrong.value.messages] == ["Line 2,", "Line 3,", "Line 4,"]


def test_a_mix_is_agreed_with_its_cement_and_its_curve_and_kept_by_the_next_agreement(site, clients):
    builder = clients["builder"]
    answer = agree(builder, site, cement_lb="500", water_ratio="0.5", curve="1 day 900\n7 days 2850")
    assert MixAgreed.objects.get().curve == [[1.0, 900.0], [7.0, 2850.0]]
    assert "500 lb with other binders in a yard; water by cement 0.50" in text(answer)
    form = builder.get(page_url(site)).content.decode()
    assert "1 day 900 psi\n7 days 2850 psi" in form and 'value="500"' in form
    answer = agree(builder, site, curve="7 days 2850\n3 days 2900")
    assert answer.status_code == 422 and "strength must grow with age" in text(answer) and "3 days 2900" in text(answer)
    assert agree(builder, site, water_ratio="0.5").status_code == 200


def test_the_supplier_and_the_laboratory_change_the_curve_of_the_estimate(site, clients):
    log(site, "temperature", {"place": "core_middle", "value_f": 66.0, "taken": timezone.now() - timedelta(hours=12)})
    assert "A usual curve for the strength specified, not this mix's." in text(clients["builder"].get(page_url(site)))
    agree(clients["builder"], site, curve="1 day 900\n28 days 4050")
    end = timezone.now() - timedelta(hours=1)
    said = {"specimen": "L1", "psi": 9000.0, "cured": "lab", "cast": end - timedelta(days=1), "broken": end}
    log(site, "cylinder", said, by="engineer")
    told = text(clients["builder"].get(page_url(site)))
    assert "By the supplier's own curve." in told and "too far to be believed" in told


# -- who, where ----
@pytest.mark.parametrize("kind", ["logger", "protection"])
def test_who_may_write_of_warmth_and_only_of_a_wall(kind, site, clients):
    for part in ("builder", "field_lead"):
        assert send(clients[part], site, kind).status_code == 422, part
        assert send(clients[part], site, kind, Stage.FOOTING).status_code == 404, part
    for part in ("inspector", "engineer", "surveyor"):
        assert send(clients[part], site, kind).status_code == 403, part
    assert send(clients["stranger"], site, kind).status_code == 404
    footing = clients["builder"].get(page_url(site, Stage.FOOTING)).content.decode()
    assert f'id="{kind}-form"' not in footing and "Strength by age" not in footing
