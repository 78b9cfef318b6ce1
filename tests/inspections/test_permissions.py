"""Who may do what, as a table; and that roles end, that firms do not inspect themselves, that nobody releases alone."""

import pytest
from django.utils import timezone

from inspections import permissions, queries
from inspections.stages import BY_KIND, STAGES
from inspections.standing import WHOLE_HOUSE
from jobs.models import FirmMember, HouseMember, Role
from takeoff.plan import Stage
from tests.factories import HouseMemberFactory, PersonFactory

PARTS = ("builder", "field_lead", "inspector", "engineer", "surveyor", "stranger")
#: point -> roles that may present, roles that may release; as a builder would say it
TABLE = {
    (Stage.FOOTING, "permit"): ("field_lead builder", "builder inspector"),
    (Stage.FOOTING, "stakes"): ("field_lead builder", "surveyor inspector"),
    (Stage.FOOTING, "hole"): ("field_lead builder", "inspector engineer"),
    (Stage.FOOTING, "footing_steel"): ("field_lead builder", "inspector"),
    (Stage.FOOTING, "footing_dowels"): ("field_lead builder", "engineer"),
    (Stage.FOOTING, "footing_top"): ("field_lead builder", "builder surveyor"),
    (Stage.FROST_BACKFILL, "frost_strength"): ("field_lead builder engineer", "engineer builder"),
    (Stage.FULL_WALL, "pour_go"): ("field_lead", "builder"),
    (Stage.FULL_WALL, "wall_steel"): ("field_lead builder", "inspector"),
    (Stage.FINAL_BACKFILL, "held_top"): ("field_lead builder engineer", "builder engineer"),
    (Stage.FINAL_BACKFILL, "pre_backfill"): ("field_lead builder", "inspector"),
}


@pytest.mark.parametrize(("where", "who"), TABLE.items(), ids=lambda x: x[1] if isinstance(x[0], Stage) else "")
def test_who_may_present_release_and_reject(cast, where, who):
    point = BY_KIND[where[0]].point(where[1])
    ledger = queries.ledger(cast.house)
    stage = next(s for s in ledger.stages if s.kind is where[0])
    may_present, may_release, may_reject = [], [], []
    for role in Role:
        person, legs = cast.person(role.value), ["A"]
        if not permissions.may_present(person, cast.house, point, role):
            may_present.append(role.value)
        if not permissions.may_sign(person, cast.house, point, role, ledger=ledger, stage=stage, legs=legs):
            may_release.append(role.value)
        if not permissions.may_reject(person, cast.house, point, role):
            may_reject.append(role.value)
    presents, releases = (set(roles.split()) for roles in who)
    assert (set(may_present), set(may_release), set(may_reject)) == (presents, releases, releases)


def test_work_and_corrections_are_recorded_by_the_builder_and_the_field_lead(cast):
    operation = BY_KIND[Stage.FOOTING].operations[0]
    for role in Role:
        person, ours = cast.person(role.value), role in (Role.BUILDER, Role.FIELD_LEAD)
        assert (permissions.may_do(person, cast.house, operation, role) == []) is ours
        assert (permissions.may_close(person, cast.house, role) == []) is ours


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("role", Role)
def test_a_role_chosen_must_be_held_on_the_house(cast, part, role):
    problems = permissions.may_close(cast.person(part), cast.house, role)
    assert (f"not {permissions._as(role)} on this house" in " ".join(problems)) is (part != role.value)


def test_a_role_that_ended_does_not_count(cast):
    HouseMember.objects.filter(person=cast.inspector).update(ended_at=timezone.now())
    assert permissions.roles(cast.inspector, cast.house) == frozenset()


def test_a_role_on_another_house_does_not_count(cast):
    HouseMemberFactory(house=cast.strange_house, person=cast.field_lead, role=Role.INSPECTOR)
    assert permissions.roles(cast.field_lead, cast.house) == {Role.FIELD_LEAD}


def test_an_administrator_of_the_site_has_no_role(cast):
    root = PersonFactory(is_staff=True, is_superuser=True)
    assert permissions.roles(root, cast.house) == frozenset()
    assert permissions.may_close(root, cast.house, Role.BUILDER) == ["You are not the builder on this house."]


def test_the_builders_firm_does_not_inspect_its_own_house(cast):
    colleague = PersonFactory()
    FirmMember.objects.create(firm=cast.firm, person=colleague)
    HouseMemberFactory(house=cast.house, person=colleague, role=Role.INSPECTOR)
    hole = BY_KIND[Stage.FOOTING].point("hole")
    assert permissions.roles(colleague, cast.house) == {Role.BUILDER}
    assert permissions.may_reject(colleague, cast.house, hole, Role.INSPECTOR) == [
        "Nobody of the builder's firm can act as inspector on its own house."
    ]


def test_an_inspector_who_joins_the_firm_stops_inspecting_its_houses(cast):
    FirmMember.objects.create(firm=cast.firm, person=cast.inspector)
    assert Role.INSPECTOR not in permissions.roles(cast.inspector, cast.house)


def test_nobody_releases_what_they_presented_whatever_their_roles(site):
    lead = site.cast.field_lead
    HouseMemberFactory(house=site.house, person=lead, role=Role.INSPECTOR)
    site.present(Stage.FOOTING, "hole", "A", "B")
    ledger = queries.ledger(site.house)
    stage, hole = ledger.stages[0], site.point(Stage.FOOTING, "hole")

    def problems(*legs):
        return permissions.may_sign(lead, site.house, hole, Role.INSPECTOR, ledger=ledger, stage=stage, legs=legs)

    yourself = f"You presented “{hole.title}” on leg A yourself; somebody else must release it."
    assert problems("A") == [yourself]
    assert problems("A", "G") == [yourself]
    assert problems("G") == []
    assert permissions.may_reject(lead, site.house, hole, Role.INSPECTOR) == []


def test_presenting_it_once_counts_even_when_somebody_else_presented_it_anew(site):
    site.present(Stage.FOOTING, "permit", by=site.cast.builder, role=Role.BUILDER)
    site.present(Stage.FOOTING, "permit")
    ledger, permit = queries.ledger(site.house), site.point(Stage.FOOTING, "permit")
    assert permissions.presented_by(site.cast.builder, ledger, ledger.stages[0], permit, [WHOLE_HOUSE]) == (
        WHOLE_HOUSE,
    )


def test_every_point_can_be_presented_by_one_role_and_released_by_another():
    for stage in STAGES:
        for point in stage.points:
            assert any(a != b for a in point.presents for b in point.releases), point.key
