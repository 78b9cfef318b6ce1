"""Reading ledgers: all of it, in order, with the same number of queries for any number of houses."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections import queries, states
from inspections.models import EvidenceItem, Presentation, SignOff, WorkDone
from jobs.models import House, HouseStage, PlanRevision, Role
from takeoff.plan import Stage
from tests.factories import FirmFactory, HouseFactory
from tests.inspections.world import changed, facts, lock_revision

F = Stage.FOOTING


def test_a_ledger_holds_what_was_recorded_in_order(site):
    first = site.present(F, "hole", "A", "B")
    rejection = site.reject(first, legs=["B"])
    closed = site.close(rejection)
    found = queries.ledger(site.house)
    assert found.revision == 1 and found.facts == facts()
    assert [s.kind for s in found.stages] == list(Stage)
    (presented,), (signed,), (put_right,) = found.presented, found.signed, found.closed
    assert (presented.pk, presented.legs, presented.by, presented.revision) == (
        first.pk,
        ("A", "B"),
        site.cast.field_lead.pk,
        1,
    )
    assert (signed.pk, signed.legs, signed.released, signed.presentation, signed.reason, signed.role) == (
        rejection.pk,
        ("B",),
        False,
        first.pk,
        "Lap is short.",
        Role.INSPECTOR,
    )
    assert (put_right.pk, put_right.sign_off, put_right.legs) == (closed.pk, rejection.pk, ("B",))


def test_choices_come_with_their_presentation(site):
    site.present(Stage.FINAL_BACKFILL, "held_foot", "A")
    (presented,) = queries.ledger(site.house).presented
    assert presented.choices == {"held_by": "slab"}


def test_the_latest_revision_is_in_force_and_a_house_without_one_has_none(site):
    site.lock(changed(facts(), "A"))
    both = queries.ledgers([site.house, site.cast.strange_house])
    assert list(both) == [site.house.pk, site.cast.strange_house.pk]
    assert (both[site.house.pk].revision, both[site.cast.strange_house.pk].revision) == (2, None)
    assert both[site.cast.strange_house.pk].facts is None
    assert states.next_moves(both[site.cast.strange_house.pk]) == []


def test_records_of_one_house_stay_out_of_another(site):
    site.present(F, "hole", "A")
    lock_revision(site.cast.strange_house, site.cast.stranger)
    assert queries.ledger(site.cast.strange_house).presented == ()


def _many_houses(count: int, person) -> list[House]:
    """Houses with a revision and one record of each kind, made quickly."""
    firm = FirmFactory()
    houses = House.objects.bulk_create(House(firm=firm, name=f"Lot {n}") for n in range(count))
    template = lock_revision(HouseFactory(firm=firm), person)
    stages = HouseStage.objects.bulk_create(
        HouseStage(house=h, position=n, kind=kind, title=kind) for h in houses for n, kind in enumerate(Stage, 1)
    )
    footings = {s.house_id: s for s in stages if s.kind == F}
    revisions = PlanRevision.objects.bulk_create(
        PlanRevision(
            house=h,
            number=number,
            document={},
            digest="",
            facts=template.facts,
            frozen={},
            engine_version="test",
            locked_by=person,
        )
        for h in houses
        for number in (1, 2)
    )
    common = [
        {"house": r.house, "stage": footings[r.house_id], "revision": r, "legs": ["A"], "by": person, "role": "builder"}
        for r in revisions
        if r.number == 2
    ]
    shown = Presentation.objects.bulk_create(
        Presentation(**c, point="hole", fingerprints={"A": "A-footing-1"}, digest="") for c in common
    )
    EvidenceItem.objects.bulk_create(
        EvidenceItem(house=p.house, presentation=p, key="k", kind="choice", text="x") for p in shown
    )
    SignOff.objects.bulk_create(
        SignOff(**c, point="hole", presentation=p, decision="released", fingerprints={"A": "A-footing-1"}, digest="")
        for c, p in zip(common, shown, strict=True)
    )
    WorkDone.objects.bulk_create(WorkDone(**c, operation="pour_footing", digest="") for c in common)
    return houses


@pytest.mark.look
@pytest.mark.slow
def test_three_hundred_houses_take_as_many_queries_as_three(cast):
    houses = _many_houses(300, cast.builder)
    counts = []
    for some in (houses[:3], houses):
        with CaptureQueriesContext(
            connection,
        ) as asked:
            found = queries.ledgers(some)
        counts.append(len(asked))
        assert len(found) == len(some)
        assert all(len(x.presented) == len(x.signed) == len(x.done) == 1 for x in found.values())
        assert all(x.presented[0].choices == {"k": "x"} and x.revision == 2 for x in found.values())
        assert not any("frozen" in q["sql"] or "document" in q["sql"] for q in asked.captured_queries)
    assert counts == [9, 9]


def test_no_house_takes_no_query(db, django_assert_num_queries):
    with django_assert_num_queries(0):
        assert queries.ledgers([]) == {}


def test_ids_of_records_are_made_where_none_was_sent(site):
    assert isinstance(site.present(F, "hole", "A").client_id, uuid.UUID)
