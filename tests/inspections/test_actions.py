"""Records: who, from where, with what; and that each is written once or not at all."""

from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.db import connection

from inspections import actions, queries
from inspections.exceptions import (
    EvidenceRefused,
    GateHeld,
    NoSuchThing,
    NotYours,
    OutsideTolerance,
    StaleRevision,
    TextMissing,
    WrongStanding,
)
from inspections.models import CorrectionClosed, EvidenceItem, Presentation, SignOff, WorkDone
from inspections.readings import Given
from inspections.standing import Standing
from jobs import events
from jobs.exceptions import ReusedRecordId
from jobs.models import Event, Role
from takeoff.plan import Stage
from tests.inspections.world import PHOTO, Site, changed, criterion, evidence_for, facts

F, W = Stage.FOOTING, Stage.FROST_WALL


def rows() -> tuple[int, ...]:
    """How many records of each kind there are."""
    models = (Presentation, SignOff, CorrectionClosed, WorkDone, EvidenceItem, Event)
    return tuple(model.objects.count() for model in models)


def standing(site: Site, key: str, leg: str, kind: Stage = F) -> Standing:
    """How a point stands on a leg now."""
    ledger = queries.ledger(site.house)
    stage = next(s for s in ledger.stages if s.kind is kind)
    return ledger.standing(stage, site.point(kind, key), leg).standing


@pytest.mark.slow
def test_a_whole_house_is_buried(site):
    for kind in (F, W, Stage.FROST_BACKFILL):
        site.through(kind, "A", "B", "G", "P")
    for kind in (Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL):
        site.through(kind, "A", "B")
    assert WorkDone.objects.count() == 8
    assert Event.objects.filter(house=site.house).count() == sum(rows()[:4])


# -- what a record says
def test_a_presentation_says_who_when_with_what_and_leaves_an_event(site):
    presentation = site.present(F, "hole", "B", "A", note=" Pumped since six. ")
    assert (presentation.by, presentation.role, presentation.legs) == (site.cast.field_lead, "field_lead", ["A", "B"])
    assert (presentation.note, presentation.revision) == ("Pumped since six.", site.revision)
    assert presentation.fingerprints == {"A": "A-footing-1", "B": "B-footing-1"}
    event = Event.objects.get(client_id=presentation.client_id)
    assert (event.verb, event.house, event.stage) == ("present", site.house, site.stage(F))
    assert event.summary == "Presented “Hole dry, unfrozen, on undisturbed ground” on legs A and B"
    assert events.subject_of(event) == presentation


def test_a_photo_is_kept_with_its_hash(site):
    site.present(F, "hole", "A")
    photo = EvidenceItem.objects.get(kind="photo")
    assert photo.file.name.startswith(f"evidence/{site.house.pk}/") and photo.file.name.endswith(".jpg")
    assert len(photo.sha256) == 64 and default_storage.exists(photo.file.name)


def test_a_sign_off_keeps_what_it_was_given_for_and_names_what_it_supersedes(site):
    first = site.release(site.present(F, "hole", "A", "B"))
    assert first.fingerprints == {"A": "A-footing-1", "B": "B-footing-1"}
    assert not first.supersedes.exists()
    second = site.reject(first.presentation, legs=["B"])
    assert list(second.supersedes.all()) == [first]
    assert list(first.superseded_by.all()) == [second]
    assert (standing(site, "hole", "A"), standing(site, "hole", "B")) == (Standing.RELEASED, Standing.REJECTED)


# -- where a move may start from
def _to(site: Site, wanted: Standing) -> tuple[Presentation, SignOff | None]:
    """Bring the hole of leg A to a standing."""
    presentation = site.present(F, "hole", "A")
    sign_off = None
    if wanted in (Standing.RELEASED, Standing.VOID):
        sign_off = site.release(presentation)
    if wanted in (Standing.REJECTED, Standing.CORRECTED):
        sign_off = site.reject(presentation)
    if wanted is Standing.CORRECTED:
        site.close(sign_off)
    if wanted in (Standing.VOID, Standing.OUTDATED):
        site.lock(changed(facts(), "A"))
    return presentation, sign_off


MOVES = {
    # from:               present, release, reject, close
    Standing.PRESENTED: (True, True, True, None),
    Standing.OUTDATED: (True, False, True, None),
    Standing.RELEASED: (False, False, True, False),
    Standing.VOID: (True, False, True, False),
    Standing.REJECTED: (False, False, False, True),
    Standing.CORRECTED: (True, False, False, False),
}


@pytest.mark.parametrize("start", MOVES)
@pytest.mark.parametrize("move", ["present", "release", "reject", "close"])
def test_each_move_starts_only_where_it_may(site, start, move):
    presentation, sign_off = _to(site, start)
    assert standing(site, "hole", "A") is start
    allowed = MOVES[start][("present", "release", "reject", "close").index(move)]
    attempt = {
        "present": lambda: site.present(F, "hole", "A"),
        "release": lambda: site.release(presentation),
        "reject": lambda: site.reject(presentation),
        "close": lambda: site.close(sign_off),
    }[move]
    before = rows()
    if allowed:
        attempt()
        assert rows() != before
    elif allowed is False:
        with pytest.raises(WrongStanding):
            attempt()
        assert rows() == before


def test_only_the_newest_presentation_is_ruled_on(site):
    old = site.present(F, "hole", "A", "B")
    new = site.present(F, "hole", "B")
    with pytest.raises(WrongStanding, match="presented again on leg B meanwhile"):
        site.release(old)
    site.release(old, legs=["A"])
    site.release(new)
    assert (standing(site, "hole", "A"), standing(site, "hole", "B")) == (Standing.RELEASED, Standing.RELEASED)


def test_a_leg_that_was_not_presented_is_not_released_with_the_others(site):
    with pytest.raises(NoSuchThing, match="not presented on leg B"):
        site.release(site.present(F, "hole", "A"), legs=["A", "B"])


def test_a_correction_is_closed_leg_by_leg(site):
    rejection = site.reject(site.present(F, "hole", "A", "B"))
    site.close(rejection, legs=["A"], evidence=[Given("photo", file=PHOTO)])
    assert (standing(site, "hole", "A"), standing(site, "hole", "B")) == (Standing.CORRECTED, Standing.REJECTED)
    with pytest.raises(WrongStanding, match=r"No correction of .* is open from this rejection on leg A"):
        site.close(rejection)
    assert EvidenceItem.objects.filter(closure__isnull=False).count() == 1


def test_a_point_of_the_house_is_presented_without_legs(site):
    with pytest.raises(NoSuchThing, match="whole house"):
        site.present(F, "permit", "A")
    assert site.passed(F, "permit").legs == []


def test_a_point_is_not_presented_before_the_work_it_is_looked_at_after(site):
    with pytest.raises(
        WrongStanding, match=r"looked at after the work: .*“Place footing concrete” is not done on leg A"
    ):
        site.present(F, "footing_top", "A")
    with pytest.raises(WrongStanding, match="Stack the frost wall"):
        site.present(W, "frost_steel", "A")


@pytest.mark.parametrize(
    ("kind", "key", "legs", "said"),
    [
        (F, "hole", (), "Name the legs"),
        (F, "hole", ("Z",), "Leg Z is not part of"),
        (Stage.FULL_WALL, "wall_steel", ("G",), "Leg G is not part of"),
        (Stage.FULL_WALL, "openings", ("A",), "Leg A has nothing for"),
    ],
)
def test_legs_must_be_there(site, kind, key, legs, said):
    with pytest.raises(NoSuchThing, match=said):
        site.present(kind, key, *legs)


def test_words_are_asked_for_where_they_matter(site):
    presentation = site.present(F, "hole", "A")
    with pytest.raises(TextMissing, match="Say why it is rejected"):
        site.reject(presentation, "  ")
    with pytest.raises(TextMissing, match="what was done"):
        site.close(site.reject(presentation), "")


def test_a_stage_of_another_house_is_not_found(site):
    with pytest.raises(NoSuchThing):
        site.present(F, "hole", "A", stage=site.cast.strange_house.stages.first())


def test_whoever_may_not_is_told_so_and_nothing_is_written(site):
    presentation, before = site.present(F, "hole", "A"), rows()
    with pytest.raises(NotYours, match="Only the inspector or the engineer of record may release"):
        site.release(presentation, by=site.cast.builder, role=Role.BUILDER)
    with pytest.raises(NotYours, match="You are not the inspector"):
        site.release(presentation, by=site.cast.stranger, role=Role.INSPECTOR)
    assert rows() == (1, 0, 0, 0, before[4], 1)


# -- work
def test_held_work_is_refused_with_every_reason_and_nothing_written(site):
    site.through(F, "A", until="pour_footing")
    before = rows()
    with pytest.raises(GateHeld) as held:
        site.work(F, "pour_footing", "A", "B")
    gate = held.value.gate
    assert gate.open_legs == ("A",)
    assert {r.about for r in gate.reasons} == {"stakes", "hole", "under_footing", "footing_dowels", "footing_steel"}
    assert str(held.value).startswith("Footing: “Stakes and setbacks” is not presented on leg B;")
    assert rows() == before


def test_work_on_no_leg_is_refused(site):
    with pytest.raises(GateHeld):
        site.work(F, "pour_footing")


# -- evidence
def test_all_that_is_missing_is_told_at_once(site):
    before = rows()
    with pytest.raises(EvidenceRefused) as refused:
        site.present(F, "hole", "A", evidence=[Given("pumped_dry", text="yes"), Given("depth", text="four feet")])
    assert {p.key for p in refused.value.problems} == {"unfrozen", "undisturbed", "depth", "photo"}
    assert "“four feet” is not a number; give it in inches." in str(refused.value)
    assert rows() == before


NUMBERS = [
    criterion("footing.width", 20.0, "at least", F),
    criterion("footing.width", 24.0, "at least", F, legs=("B",)),
    criterion("wall.top", 0.0, "is", W, tolerance=0.25),
]


@pytest.mark.parametrize(
    ("legs", "read", "ok"),
    [
        (("A",), 20.0, True),
        (("A",), 19.9, False),
        (("B",), 20.0, False),
        (("A", "B"), 23.9, False),
        (("B",), 24.0, True),
    ],
)
def test_a_reading_is_compared_with_the_plans_number_for_every_leg_presented(cast, legs, read, ok):
    site = Site(cast, criteria=NUMBERS)
    width = evidence_for(site.point(F, "footing_steel"), legs, width={"number": read, "text": f"{read}"})
    if not ok:
        with pytest.raises(OutsideTolerance, match=r"“Narrowest width between forms” reads .*, the plan asks at least"):
            site.present(F, "footing_steel", *legs, evidence=width)
    site.present(
        F, "footing_steel", *legs, evidence=width, deviation="" if ok else "Engineer accepts, letter of Nov 3."
    )
    item = EvidenceItem.objects.get(key="width")
    assert item.within is ok and item.required.startswith("at least 2")


def test_a_reading_without_a_number_in_the_plan_is_kept_and_not_judged(site):
    site.present(F, "footing_steel", "A")
    assert EvidenceItem.objects.get(key="width").within is None


def test_files_of_a_record_that_fails_do_not_stay_behind(site, monkeypatch, settings):
    def full(*args, **kwargs):
        raise OSError("no space left")

    real, calls = EvidenceItem.save, []

    def save(self, *args, **kwargs):
        calls.append(1)
        return full() if self.key == "photo" and len(calls) > 5 else real(self, *args, **kwargs)

    monkeypatch.setattr(EvidenceItem, "save", save)
    two = (*evidence_for(site.point(F, "hole")), Given("photo", file=PHOTO))
    with pytest.raises(OSError, match="no space"):
        site.present(F, "hole", "A", evidence=two)
    assert Presentation.objects.count() == 0
    assert [p for p in settings.MEDIA_ROOT.rglob("*") if p.is_file()] == []


# -- stale pages
def test_a_page_of_an_older_plan_is_refused_only_where_the_plan_changed(site):
    site.lock(changed(facts(), "A", stages=[F]))
    site.present(F, "hole", "B", revision=1)
    with pytest.raises(StaleRevision, match="revision B is in force and differs on leg A"):
        site.present(F, "hole", "A", revision=1)
    with pytest.raises(StaleRevision):
        site.present(F, "hole", "B", revision=7)


def test_what_was_shown_on_an_older_plan_is_not_released_on_the_new_one(site):
    presentation = site.present(F, "hole", "A")
    site.lock(changed(facts(), "A"))
    with pytest.raises(WrongStanding, match=r"The plan changed on leg A after .* was presented"):
        site.release(presentation)


def test_a_release_given_on_an_older_plan_stands_where_nothing_changed(site):
    site.passed(F, "hole", "A", "B")
    site.lock(changed(facts(), "B", stages=[F]))
    assert (standing(site, "hole", "A"), standing(site, "hole", "B")) == (Standing.RELEASED, Standing.VOID)


# -- sent twice
def test_the_same_record_sent_twice_counts_once(site):
    client_id = uuid4()
    first = site.present(F, "hole", "A", client_id=client_id)
    before = rows()
    assert site.present(F, "hole", "A", client_id=client_id) == first
    sign_id, close_id = uuid4(), uuid4()
    rejection = site.reject(first, client_id=sign_id)
    closed = site.close(rejection, client_id=close_id)
    after = rows()
    assert site.reject(first, client_id=sign_id) == rejection
    assert site.close(rejection, client_id=close_id) == closed
    assert rows() == after == tuple(a + b for a, b in zip(before, (0, 1, 1, 0, 0, 2), strict=True))


def test_work_sent_twice_counts_once_though_the_second_finds_it_done(site):
    site.through(F, "A", until="pour_footing")
    client_id = uuid4()
    first = site.work(F, "pour_footing", "A", client_id=client_id)
    assert site.work(F, "pour_footing", "A", client_id=client_id) == first


@pytest.mark.parametrize(
    "other",
    [
        {"note": "something else"},
        {"evidence": ()},
        {"point": "stakes"},
        {"legs": ("A", "B")},
        {"revision": 2},
    ],
)
def test_the_same_id_with_another_content_is_refused(site, other):
    client_id = uuid4()
    site.present(F, "hole", "A", client_id=client_id)
    before = rows()
    with pytest.raises(ReusedRecordId):
        site.present(F, "hole", "A", **{"client_id": client_id, **other})
    assert rows() == before


def test_the_same_id_from_another_person_or_for_another_deed_is_refused(site):
    client_id = uuid4()
    presentation = site.present(F, "hole", "A", client_id=client_id)
    with pytest.raises(ReusedRecordId):
        site.present(F, "hole", "A", client_id=client_id, by=site.cast.builder, role=Role.BUILDER)
    with pytest.raises(ReusedRecordId):
        site.release(presentation, client_id=client_id)


def test_two_arrivals_at_the_same_moment_meet_at_the_unique_id(site, monkeypatch):
    """The second looked for an earlier record before the first was written."""
    client_id, answers, real = uuid4(), [None], events.find
    first = site.present(F, "hole", "A", client_id=client_id)
    before = rows()
    monkeypatch.setattr(events, "find", lambda i: answers.pop() if answers else real(i))
    assert site.present(F, "hole", "A", client_id=client_id) == first
    assert rows() == before


@pytest.mark.django_db(transaction=True)
@pytest.mark.slow
def test_two_people_who_release_and_reject_at_the_same_moment_are_put_in_order(cast):
    """Real threads: the house is locked, so the later one rules on what the earlier left."""
    import threading

    site = Site(cast)
    presentation = site.present(F, "hole", "A")
    said: list[str] = []

    def attempt(move, **more):
        try:
            move(presentation, **more)
            said.append("done")
        except WrongStanding:
            said.append("refused")
        finally:
            connection.close()

    engineer = {"by": cast.engineer, "role": Role.ENGINEER}
    threads = [
        threading.Thread(target=attempt, args=[site.release]),
        threading.Thread(target=attempt, args=[site.release], kwargs=engineer),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said) == ["done", "refused"]
    assert SignOff.objects.count() == 1


def test_actions_take_only_named_arguments():
    for action in (actions.present, actions.release, actions.reject, actions.close_correction, actions.do_work):
        with pytest.raises(TypeError, match="positional"):
            action.__wrapped__(None)
