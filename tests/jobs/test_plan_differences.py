"""Two plans compared by what they say, not by how it was typed."""

from __future__ import annotations

from jobs.plan_differences import Row, of_documents


def document(length: str, bare: str = "in", face: str = "outside_of_foam") -> dict:
    """A walk of one leg."""
    return {
        "dimensions_to": face,
        "bare_numbers_are": bare,
        "walks": [{"name": "house", "legs": [{"name": "A", "length": length}]}],
    }


def test_a_length_typed_another_way_is_no_difference():
    assert of_documents(document("28-4 1/2"), document('340.5"')) == []
    assert of_documents(document("192"), document("4.8768", bare="m")) == [Row("bare numbers are", "inches", "metres")]


def test_lengths_and_choices_are_shown_as_a_person_reads_them():
    rows = of_documents(document("192"), document("17-0", face="centre_line"))
    assert rows == [
        Row("dimensions to", "outside of foam", "centre line of the core"),
        Row("leg A, length", "16'-0\"", "17'-0\""),
    ]


def test_the_specification_is_called_as_on_its_page():
    old = document("16-0") | {"spec": {"building": {"snow_psf": 30}, "bars": {"also_stock": ["30-0"]}}}
    new = document("16-0") | {
        "spec": {
            "building": {"snow_psf": 50, "walls": "brick_veneer"},
            "bars": {"also_stock": "360, 40 ft", "vertical_spacing": '18"'},
        }
    }
    assert of_documents(old, new) == [
        Row("specification, bars, other stock lengths on hand", "30'-0\"", "30'-0\", 40'-0\""),
        Row("specification, building, snow on the ground or load on the roof, the larger (psf)", "30", "50"),
        Row("specification, bars, uprights, spacing", "", "1'-6\""),
        Row("specification, building, walls that stand on it", "", "light frame with brick veneer"),
    ]


def test_a_pad_and_the_way_of_an_odd_course_are_called_by_their_names():
    old = document("16-0") | {"sections": [{"key": "main", "name": "Main"}]}
    new = document("16-0") | {
        "sections": [{"key": "main", "name": "Main", "rest_way": "pour_line"}],
        "pads": [{"name": "F1", "length": "36", "count": 2}],
    }
    assert of_documents(old, new) == [
        Row("section Main, an odd course is made of", "", "a whole course, concrete stopped inside it"),
        Row("pad F1", "", "name F1, count 2, length 3'-0\""),
    ]


def test_what_is_no_length_is_shown_as_typed():
    assert of_documents(document("16-0"), document("16-14")) == [Row("leg A, length", "16'-0\"", "16-14")]
