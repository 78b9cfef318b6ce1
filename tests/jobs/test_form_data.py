"""Form systems as stored, and in words."""

import dataclasses

import pytest

from jobs import form_data
from takeoff.forms import GENERIC_16, GENERIC_18, GENERIC_SYSTEMS
from takeoff.units import Length


@pytest.mark.parametrize("system", GENERIC_SYSTEMS, ids=lambda s: s.key)
def test_stored_reads_back_the_same(system):
    assert form_data.from_data(form_data.to_data(system)) == system


def test_odd_lengths_read_back_to_the_nanometre():
    system = dataclasses.replace(GENERIC_16, foam=Length(60_325_001), half_height=None, ledge_projection=None)
    assert form_data.from_data(form_data.to_data(system)) == system


def test_broken_data_says_what_is_wrong():
    with pytest.raises(ValueError, match="face height"):
        form_data.from_data(form_data.to_data(GENERIC_16) | {"face_height": "tall"})


def test_every_field_that_differs_is_told():
    told = form_data.differences(GENERIC_16, dataclasses.replace(GENERIC_16, half_height=None, web_displacement=0.015))
    assert told == {
        "half_height": 'half-height unit: 8" → none',
        "web_displacement": "web displacement: 0.0% → 1.5%",
    }


def test_every_field_but_the_key_has_a_label():
    assert set(form_data.LABELS) == {f.name for f in dataclasses.fields(GENERIC_16)} - {"key"}


@pytest.mark.parametrize(
    "document",
    [
        {"walks": [{"legs": [{"form": "generic-16"}, {"form": "generic-18"}]}]},
        {"leg_defaults": {"form": "generic-18"}, "walks": [{"legs": [{"form": "generic-16"}, {}]}]},
        {"sections": [{"leg_defaults": {"form": "generic-18"}}], "walks": [{"legs": [{"form": "generic-16"}]}]},
    ],
)
def test_mixed_face_heights_are_found_wherever_they_are_named(document):
    assert form_data.mixed_heights(document, GENERIC_SYSTEMS).startswith('units of 16" (Generic sixteen')


@pytest.mark.parametrize(
    "document",
    [{}, None, [], {"walks": "x"}, {"walks": [{"legs": [{"form": 3}, {"form": "generic-16"}, {"form": "gone"}]}]}],
)
def test_no_mixture_no_sentence(document):
    assert form_data.mixed_heights(document, (GENERIC_16, GENERIC_18)) == ""


def test_a_plan_is_read_with_the_form_systems_it_carries():
    """Same keys, other heights than the firm's own; what cannot be read is passed over."""
    tall = dataclasses.replace(GENERIC_18, key="generic-16", name="Tall")
    document = {
        "walks": [{"legs": [{"form": "generic-16"}, {"form": "generic-18"}]}],
        "forms": [form_data.to_data(tall), {"key": "broken"}, 3],
    }
    assert form_data.mixed_heights(document, GENERIC_SYSTEMS) == ""
    assert form_data.mixed_heights({**document, "forms": "none"}, GENERIC_SYSTEMS) != ""
