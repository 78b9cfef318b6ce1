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


def test_what_is_no_length_is_shown_as_typed():
    assert of_documents(document("16-0"), document("16-14")) == [Row("leg A, length", "16'-0\"", "16-14")]
