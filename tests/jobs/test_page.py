"""How pages write lengths, amounts and states, and where a person can go."""

import re
from types import SimpleNamespace

import pytest
from django import forms
from django.conf import settings
from django.template.loader import render_to_string
from django.test import RequestFactory

from jobs.templatetags import page
from takeoff.drawings.tracker import PartState
from takeoff.results import Unit
from takeoff.units import Length


@pytest.mark.parametrize(
    ("amount", "unit", "written"),
    [
        (41.2537, "yd3", "41.25 yd³"),
        (1634.25, "ft", "1,634.2 ft"),
        (1240.4, "ft2", "1,240 ft²"),
        (412, "each", "412"),
        (12.34, "each", "12.3"),
        (30, "in", "30 in"),
        (7.25, "in", "7.25 in"),
        (0, "yd3", "0.00 yd³"),
        (0.002, "yd3", "under 0.01 yd³"),
        (55, "F", "55.00 °F"),
    ],
)
def test_an_amount_is_written_with_the_decimals_of_its_unit(amount, unit, written):
    assert page.quantity(amount, unit) == written


def test_an_amount_is_read_from_a_quantity_or_from_a_stored_one():
    assert page.quantity(SimpleNamespace(amount=2.5, unit=Unit.YD3)) == "2.50 yd³"
    assert page.quantity({"amount": 2.5, "unit": "yd3"}) == "2.50 yd³"
    assert page.quantity({"amount": None, "unit": "yd3"}) == ""


def test_every_unit_of_the_engine_has_its_decimals():
    assert {unit.value for unit in Unit} == set(page.DECIMALS)


def test_raised_figures_are_set_only_after_units():
    assert page.typeset("12 ft2 x 3 in = 0.11 yd3; leg A3, #5") == "12 ft² x 3 in = 0.11 yd³; leg A3, #5"


def test_a_length_is_written_as_said_on_site():
    assert page.feet_inches(Length.feet(28, "4.5")) == "28'-4 1/2\""
    assert page.feet_inches(Length.mm(8650), "m") == "8.650 m"
    assert page.feet_inches(None) == ""


def test_every_state_has_its_word_and_a_sign_of_its_own():
    pictures = {}
    for state in PartState:
        shown = render_to_string("_parts/state.html", {"state": state})
        assert f'<span class="state-word">{state.value.capitalize()}</span>' in shown
        pictures[state] = re.sub(r'class="[^"]*"', "", shown[shown.index("<svg") : shown.index("</svg>")])
    assert [state.value for state in PartState] == list(page.STATES)
    assert len(set(pictures.values())) == len(PartState)


class LegForm(forms.Form):
    """A form with one of each kind of field."""

    length = forms.CharField(label="Length", help_text="As spoken.")
    face = forms.ChoiceField(choices=[("foam", "foam"), ("core", "core")], widget=forms.RadioSelect)
    dry = forms.BooleanField(label="Pumped dry")
    client_id = forms.UUIDField(widget=forms.HiddenInput)


def test_a_form_with_errors_keeps_what_was_typed_and_points_at_each_field():
    form = LegForm({"length": "28-14 <b>", "client_id": "5f1a0c1e-7a0b-4e3b-9a55-0a6b6f2f9d11"})
    form.is_valid()
    form.add_error("length", "12 in or more after the feet.")
    field = render_to_string("_parts/field.html", {"field": form["length"]})
    assert 'value="28-14 &lt;b&gt;"' in field
    assert 'aria-describedby="id_length_helptext id_length_error"' in field
    assert 'id="id_length_error"' in field and 'id="id_length_helptext"' in field
    summary = render_to_string("_parts/errors.html", {"form": form})
    assert 'href="#id_length"' in summary and 'href="#id_face_0"' in summary and 'href="#id_dry"' in summary
    assert 'id="id_face_0"' in render_to_string("_parts/field.html", {"field": form["face"]})


def test_a_record_keeps_its_id_when_the_form_comes_back():
    kept = "5f1a0c1e-7a0b-4e3b-9a55-0a6b6f2f9d11"
    assert f'value="{kept}"' in render_to_string("_parts/client_id.html", {"form": LegForm({"client_id": kept})})
    fresh = [render_to_string("_parts/client_id.html", {"form": LegForm()}) for _ in range(2)]
    assert fresh[0] != fresh[1] and re.search(r'name="client_id" value="[0-9a-f-]{36}"', fresh[0])


def test_a_held_gate_gives_every_reason_and_an_open_one_none():
    reasons = ["No release of the steel.", SimpleNamespace(sentence="A correction is open.", url="/mend")]
    held = render_to_string("_parts/gate.html", {"open": False, "what": "Pour", "reasons": reasons})
    assert "Held" in held and "No release of the steel." in held and '<a href="/mend">A correction is open.</a>' in held
    released = render_to_string("_parts/gate.html", {"open": True, "what": "Pour", "reasons": reasons})
    assert "Open" in released and "release of the steel" not in released


@pytest.mark.parametrize("name", ["400.html", "403.html", "403_csrf.html", "404.html", "500.html"])
def test_pages_for_what_went_wrong_need_nothing_to_be_shown(name):
    shown = render_to_string(name)
    assert shown.count("<h1>") == 1 and 'href="/"' in shown and "app.css" in shown


# -- navigation ------------------------------------------------------------------------------------
@pytest.mark.django_db
@pytest.mark.parametrize(
    ("part", "places"),
    [
        ("builder", ["Houses", "Today", "Asked of me", "Form systems", "Firm", "Account"]),
        ("field_lead", ["Houses", "Today", "Asked of me", "Account"]),
        ("inspector", ["Houses", "Asked of me", "Account"]),
        ("engineer", ["Houses", "Asked of me", "Account"]),
    ],
)
def test_the_navigation_shows_what_a_person_has(cast, monkeypatch, django_assert_num_queries, part, places):
    monkeypatch.setattr(page, "reverse", lambda name: f"/{name}/")
    request = RequestFactory().get("/houses/3/")
    request.user = cast.person(part)
    with django_assert_num_queries(2):
        items = page.nav_items({"request": request})
    assert [item.label for item in items] == places
    assert [item.label for item in items if item.current] == ["Houses"]


def test_nobody_in_particular_is_led_nowhere():
    assert page.nav_items({}) == []


# -- colours ---------------------------------------------------------------------------------------
def tokens(css: str) -> dict[str, str]:
    """Hex colours by token name."""
    return dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6});", css))


def luminance(colour: str) -> float:
    """Relative luminance of '#rrggbb' (WCAG 2.2, 'relative luminance'; formula from memory)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, 'contrast ratio'; formula from memory)."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_known_ends():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # the usual example just below 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_text_and_edges_can_be_read_in_both_themes(theme):
    """WCAG 2.2, 1.4.3 (text 4.5 to 1) and 1.4.11 (edges of inputs, signs 3 to 1)."""
    css = (settings.BASE_DIR / "static" / "app.css").read_text()
    light, dark = css.split("@media (prefers-color-scheme: dark)", 1)
    colours = tokens(light) if theme == "light" else tokens(light) | tokens(dark.split("\n}\n", 1)[0])
    for ground in ("paper", "sheet", "tone"):
        for ink in ("ink", "pale", "accent", "go"):
            assert contrast(colours[ink], colours[ground]) >= 4.5, f"{ink} on {ground}"
        assert contrast(colours["edge"], colours[ground]) >= 3, f"edge on {ground}"
    assert contrast(colours["paper"], colours["pale"]) >= 4.5  # a primary button under the pointer
