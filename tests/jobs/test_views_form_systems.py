"""The form systems pages."""

import dataclasses

import pytest

from jobs import actions, form_data
from jobs.models import FormSystemRecord, PlanDraft
from takeoff.forms import GENERIC_16, CornerLegs
from takeoff.units import Length

TYPED = {
    "version": "1",
    "name": "Yard block",
    "face_height": "18",
    "length": "48",
    "foam": "2 5/8",
    "web_spacing": '8"',
    "handed": "reversible",
    "half_height": "9",
    "ledge_projection": "",
    "ledge_height": "",
    "least_radius": "5-0",
    "foam_r_per_in": "4.2",
    "units_per_bundle": "10",
    "corners_per_bundle": "6",
    "rated_pressure_psf": "650",
    "web_percent": "1.5",
    "note": "",
    "corners-TOTAL_FORMS": "3",
    "corners-INITIAL_FORMS": "0",
    "corners-0-core": "8",
    "corners-0-long": "41",
    "corners-0-short": "25",
    "corners-1-core": "6",
    "corners-1-long": "39",
    "corners-1-short": "23",
    "corners-2-core": "",
    "corners-2-long": "",
    "corners-2-short": "",
    "corners_45-TOTAL_FORMS": "2",
    "corners_45-INITIAL_FORMS": "0",
    "corners_45-0-core": "8",
    "corners_45-0-long": "21",
    "corners_45-0-short": "21",
    "corners_45-1-core": "",
    "corners_45-1-long": "",
    "corners_45-1-short": "",
}
NEW, LIST = "/form-systems/new", "/form-systems/"


def stored(cast, key):
    return form_data.from_data(FormSystemRecord.objects.get(firm=cast.firm, key=key).data)


def test_list_shows_sizes_and_a_drawing_of_each(clients):
    page = clients["builder"].get(LIST).content.decode()
    assert "Generic sixteen (invented)" in page
    assert "Generic eighteen (invented)" in page
    assert page.count("<svg") >= 2
    assert "6&quot; core 30&quot; by 18&quot;, 8&quot; core 32&quot; by 20&quot;" in page
    assert "A 4 in core below grade is in no code table" in page


def test_added_as_typed(clients, cast):
    assert clients["builder"].post(NEW, TYPED).url == LIST
    system = stored(cast, "yard-block")
    assert system.foam == Length.inches("2.625")
    assert system.half_height == Length.inches(9)
    assert system.ledge_projection is None
    assert (system.handed, system.web_displacement) == (False, 0.015)
    assert (system.least_radius, system.ledge_height) == (Length.feet(5), None)
    assert system.foam_r_per_in == 4.2
    assert system.corners_45 == (CornerLegs(Length.inches(8), Length.inches(21), Length.inches(21)),)
    assert system.corners == (
        CornerLegs(Length.inches(6), Length.inches(39), Length.inches(23)),
        CornerLegs(Length.inches(8), Length.inches(41), Length.inches(25)),
    )


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"face_height": "16 miles"}, "“16 miles” is not a length"),
        ({"face_height": "-16"}, "face height is between"),
        ({"half_height": "18"}, "The half-height unit (18&quot;) must be lower than the face height (18&quot;)"),
        (
            {"corners-0-short": "12"},
            "8&quot; core: the short corner leg (12&quot;) must be longer than the wall is thick",
        ),
        ({"corners-0-core": "6"}, "The 6&quot; core is there twice"),
        ({"corners-0-long": ""}, "This row has other values"),
        ({"corners-0-long": "20"}, "The long leg (20&quot;) must be longer than the short one (25&quot;)"),
        ({"corners_45-0-core": "10"}, "45 degree corner: the system is not made with a 10&quot; core"),
        ({"corners_45-0-long": ""}, "This row has other values"),
        ({"corners_45-0-long": "20"}, "The long leg (20&quot;) must be longer than the short one (21&quot;)"),
        (
            {"foam": "12", "corners-0-short": "38", "corners-1-short": "38", "corners_45-0-short": "13"},
            "the short leg of the 45 degree corner (13&quot;) must be longer than 13 1/4&quot;",
        ),
        (
            {"corners_45-1-core": "8", "corners_45-1-long": "22", "corners_45-1-short": "20"},
            "The 8&quot; 45 degree corner is there twice",
        ),
        ({"foam_r_per_in": "40"}, "give a number from 0.5 to 10"),
        ({"least_radius": "2"}, "least radius is between"),
        ({"name": "new"}, "cannot be used as a name"),
        ({"name": "???"}, "cannot be used as a name"),
        ({"name": "Generic 16"}, "There already is a form system"),
        ({"rated_pressure_psf": "nan"}, "That is not a number; give a number from 50 to 5,000 psf"),
        (
            {f"corners-{n}-{field}": "" for n in (0, 1) for field in ("core", "long", "short")},
            "Give at least one core with its corner legs",
        ),
    ],
)
def test_wrong_input_gets_a_sentence_and_stays(clients, wrong, sentence):
    answer = clients["builder"].post(NEW, TYPED | wrong)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "foam" in wrong or 'value="2 5/8"' in page
    assert "corners-1-short" in wrong or 'value="23"' in page


def test_form_set_that_is_broken_is_refused(clients):
    answer = clients["builder"].post(NEW, TYPED | {"corners-TOTAL_FORMS": "many"})
    assert answer.status_code == 422


def test_saving_what_the_page_shows_changes_nothing(clients, cast):
    metric = dataclasses.replace(GENERIC_16, key="metric", name="Metric block", foam=Length.mm("66.7"))
    actions.add_form_system(by=cast.builder, firm=cast.firm, system=metric)
    page = clients["builder"].get("/form-systems/metric")
    form, corners, flat = (page.context[name] for name in ("form", "corners", "flat_corners"))
    sent = {"corners-TOTAL_FORMS": len(corners.forms), "corners-INITIAL_FORMS": 4}
    sent |= {"corners_45-TOTAL_FORMS": len(flat.forms), "corners_45-INITIAL_FORMS": 3}
    for part in (form, *corners.forms, *flat.forms):
        for bound in part:
            value = part.fields[bound.name].prepare_value(bound.value())
            sent[bound.html_name] = "" if value is None else value
    assert clients["builder"].post("/form-systems/metric", sent).url == LIST
    assert FormSystemRecord.objects.get(firm=cast.firm, key="metric").version == 1
    assert stored(cast, "metric") == metric


def test_stale_page_shows_both(clients, cast):
    record = FormSystemRecord.objects.get(firm=cast.firm, key="generic-16")
    corners = (*GENERIC_16.corners[1:],)
    flat = (*GENERIC_16.corners_45[1:],)
    changed = dataclasses.replace(
        GENERIC_16, units_per_bundle=11, corners=corners, corners_45=flat, web_displacement=0.02
    )
    actions.edit_form_system(by=cast.builder, record=record, version=1, system=changed)
    answer = clients["builder"].post("/form-systems/generic-16", TYPED)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Bodil Builder saved this page after you opened it" in page
    assert "Saved meanwhile: <strong>11</strong>" in page
    assert "Saved meanwhile: <strong>2.0%</strong>" in page
    assert "Saved meanwhile: <strong>6&quot; core 36&quot; by 20&quot;" in page
    assert "Saved meanwhile: <strong>8&quot; core 32&quot; by 20&quot;" in page
    assert 'value="2 5/8"' in page
    assert stored(cast, "generic-16") == changed


def test_retired_and_offered_again(clients, cast):
    url = "/form-systems/generic-18"
    clients["builder"].post(url, {"do": "retire"})
    assert "<h2>Retired</h2>" in clients["builder"].get(LIST).content.decode()
    twice = clients["builder"].post(url, {"do": "retire"}, follow=True)
    assert "already is retired" in twice.content.decode()
    clients["builder"].post(url, {"do": "restore"})
    assert "<h2>Retired</h2>" not in clients["builder"].get(LIST).content.decode()


def test_face_heights_mixed_on_one_house_are_told(clients, cast):
    legs = [{"name": "A", "form": "generic-16"}, {"name": "B", "form": "generic-18"}]
    draft = PlanDraft.objects.create(house=cast.house, document={"walks": [{"legs": legs}]})
    sentence = (
        "Lot 12, the plan being walked: units of 16&quot; (Generic sixteen (invented)) "
        "and 18&quot; (Generic eighteen (invented))"
    )
    assert sentence in clients["builder"].get(LIST).content.decode()

    draft.document = {"leg_defaults": {"form": "generic-16"}, "walks": [{"legs": [{"name": "A"}]}]}
    draft.save()
    assert "are used on one house" not in clients["builder"].get(LIST).content.decode()
