"""Evidence complete and of the right kind; readings beside the plan's numbers."""

import pytest

from inspections.exceptions import EvidenceRefused, OutsideTolerance
from inspections.process import Evidence, EvidenceKind
from inspections.readings import Given, check, in_words, within
from takeoff.plan import Stage
from takeoff.units import Length
from tests.inspections.world import PHOTO, criterion

F = Stage.FOOTING
LAP = Evidence("lap", "Shortest lap", EvidenceKind.MEASUREMENT, True, "lap", "in")
HELD = Evidence("held", "Held by", EvidenceKind.CHOICE, choices=(("slab", "Slab placed"), ("strut", "Struts")))
ONE_OF_EACH = {
    EvidenceKind.MEASUREMENT: LAP,
    EvidenceKind.LEVELS: Evidence("level", "Level", EvidenceKind.LEVELS, unit="in"),
    EvidenceKind.PHOTO: Evidence("photo", "Photo", EvidenceKind.PHOTO),
    EvidenceKind.TICKET: Evidence("ticket", "Ticket", EvidenceKind.TICKET),
    EvidenceKind.CHOICE: HELD,
    EvidenceKind.CHECK: Evidence("dry", "Dry", EvidenceKind.CHECK),
    EvidenceKind.TEXT: Evidence("why", "Known by", EvidenceKind.TEXT),
}


def refusal(asked: Evidence, *given: Given, legs=("A",)) -> str:
    with pytest.raises(EvidenceRefused) as refused:
        check([asked], given, legs=legs)
    return str(refused.value)


@pytest.mark.parametrize("kind", EvidenceKind)
def test_what_is_required_and_not_given_is_missing(kind):
    assert refusal(ONE_OF_EACH[kind]).endswith("is missing.")
    assert refusal(ONE_OF_EACH[kind], Given(ONE_OF_EACH[kind].key, text="   ")).endswith("is missing.")


@pytest.mark.parametrize(
    ("kind", "given", "said"),
    [
        (EvidenceKind.MEASUREMENT, {"text": "a lot"}, "“Shortest lap”: “a lot” is not a number; give it in inches."),
        (EvidenceKind.MEASUREMENT, {"number": float("nan"), "text": "nan"}, "“nan” is not a number"),
        (EvidenceKind.MEASUREMENT, {"number": 1.0, "leg": "Z"}, "Leg Z: “Shortest lap”: this leg is not among those"),
        (EvidenceKind.LEVELS, {"number": 1.0}, "a level belongs to one leg"),
        (EvidenceKind.PHOTO, {"text": "see phone"}, "a photo is asked for, not words."),
        (EvidenceKind.PHOTO, {"file": b"words"}, "“Photo”: The file is not a picture"),
        (EvidenceKind.CHOICE, {"text": "hope"}, "choose one of Slab placed, Struts."),
        (EvidenceKind.CHECK, {"text": "no"}, "“Dry”: tick it once it is so."),
        (EvidenceKind.TEXT, {"number": 3.0}, "words are asked for, not a number."),
        (EvidenceKind.TEXT, {"file": PHOTO}, "no file is asked for here."),
    ],
)
def test_the_wrong_kind_is_refused_in_words(kind, given, said):
    asked = ONE_OF_EACH[kind]
    assert said in refusal(asked, Given(asked.key, **given))


def test_what_is_not_asked_for_is_refused():
    assert "“mood” is not asked for here." in refusal(LAP, Given("lap", number=30.0), Given("mood", text="good"))


def test_one_answer_each_but_several_photos():
    assert refusal(HELD, Given("held", text="slab"), Given("held", text="strut")).endswith("is given twice.")
    photo = ONE_OF_EACH[EvidenceKind.PHOTO]
    assert len(check([photo], [Given("photo", file=PHOTO)] * 3, legs=())) == 3
    assert "at most 8 files" in refusal(photo, *[Given("photo", file=PHOTO)] * 9)


def test_a_reading_may_be_given_once_for_all_legs_or_for_each():
    assert len(check([LAP], [Given("lap", number=30.0)], legs=("A", "B"))) == 1
    assert len(check([LAP], [Given("lap", "A", 30.0), Given("lap", "B", 31.0)], legs=("A", "B"))) == 2
    assert refusal(LAP, Given("lap", "A", 30.0), legs=("A", "B")) == "Leg B: “Shortest lap” is missing."


@pytest.mark.parametrize(
    ("sense", "value", "tolerance", "inside", "outside"),
    [
        ("at least", 30.0, 0.0, [30.0, 31.0], [29.99, -30.0]),
        ("at most", 18.0, 0.0, [18.0, 0.0], [18.01]),
        ("is", 0.0, 0.25, [0.0, 0.25, -0.25], [0.26, -0.26]),
        ("at least", 38.1, 0.0, [0.1 * 381], []),  # a float's last digit is nobody's fault
    ],
)
def test_within_a_number_of_the_plan(sense, value, tolerance, inside, outside):
    number = criterion("lap", value, sense, F, tolerance=tolerance)
    assert all(within(number, x) for x in inside)
    assert not any(within(number, x) for x in outside)


def test_numbers_read_as_said_on_site():
    assert in_words(criterion("lap", 30.0, "at least", F)) == 'at least 30"'
    assert in_words(criterion("top", 0.0, "is", F, tolerance=0.25)) == '± 1/4"'


def test_a_reading_of_one_leg_meets_that_legs_number_only():
    numbers = [criterion("lap", 30.0, "at least", F, legs=("A",)), criterion("lap", 45.0, "at least", F, legs=("B",))]
    given = [Given("lap", "A", 32.0), Given("lap", "B", 44.0)]
    with pytest.raises(OutsideTolerance) as refused:
        check([LAP], given, legs=("A", "B"), criteria=numbers)
    assert [(p.key, p.leg) for p in refused.value.problems] == [("lap", "B")]
    first, second = check([LAP], given, legs=("A", "B"), criteria=numbers, deviation="Engineer's letter of Nov 3.")
    assert (first.within, first.required, second.within, second.required) == (
        True,
        'at least 30"',
        False,
        'at least 45"',
    )


def test_a_level_in_the_wrong_unit_is_said_as_it_was_taken():
    shot = Evidence("level", "Level", EvidenceKind.LEVELS, criterion="top", unit="in")
    most = [criterion("top", 0.25, "at most", F)]
    given = [Given("level", "A", 1031.75 * 12, "1031.75"), Given("level", "B", 1031.75, "85-11 3/4")]
    planned = {leg: Length.inches("1032") for leg in "AB"}
    with pytest.raises(OutsideTolerance) as refused:
        check([shot], given, legs=("A", "B"), criteria=most, planned=planned)
    (problem,) = refused.value.problems
    assert problem.leg == "A"
    assert 'reads 1031.75, taken as 1031\'-9", the plan asks 86\'-0" ± 1/4"' in problem.sentence
