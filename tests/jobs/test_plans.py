"""Drafts kept as typed, revisions locked, facts for gates, sections split."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from pathlib import Path
from uuid import uuid4

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.http import Http404

from jobs import plans
from jobs.exceptions import Refused, StalePage
from jobs.frozen import facts_from_json, frozen_from_json
from jobs.models import Event, FormSystemRecord, PlanDraft, PlanRevision
from takeoff import fingerprint
from takeoff.compute import compute
from takeoff.plan import Stage
from takeoff.planfile import read_plan, write_plan
from takeoff.stages import leg_stages
from takeoff.units import Length
from tests.takeoff.plans import garage, l_shape, rectangle, walkout

EXAMPLES = sorted((settings.BASE_DIR / "jobs" / "examples").glob("*.json"))


def example(name: str) -> dict:
    """One of the plans that come with the program."""
    return json.loads((settings.BASE_DIR / "jobs" / "examples" / f"{name}.json").read_text())


@pytest.fixture
def document() -> dict:
    """An L-shaped house as a document."""
    return write_plan(l_shape())


# -- facts -----------------------------------------------------------------------------------------
def test_facts_say_of_every_leg_what_gates_ask():
    takeoff = compute(walkout())
    facts = plans.facts_of(takeoff)
    assert [leg.name for leg in facts.legs] == [leg.name for leg in takeoff.plan.legs()]
    for leg in facts.legs:
        walked = takeoff.plan.leg(leg.name)
        assert leg.stages == frozenset(leg_stages(takeoff.plan)[leg.name])
        assert leg.openings == len(walked.openings)
        for stage, value in leg.fingerprints.items():
            assert value == fingerprint.leg_inputs(takeoff.plan, leg.name, stage)
        fills = leg.stages & {Stage.FROST_BACKFILL, Stage.FINAL_BACKFILL}
        assert set(leg.unbalanced_before_in) == fills
        assert all(leg.unbalanced_after_in[k] <= leg.unbalanced_before_in[k] for k in fills)


def test_what_an_engineer_must_decide_is_among_the_facts():
    plan = rectangle(core=Length.inches(4))
    facts = plans.facts_of(compute(plan))
    assert facts.engineer_required
    assert any("an engineer must decide" in sentence for sentence in facts.engineer_required)
    assert all("engineer" in sentence for sentence in facts.engineer_required if "core" in sentence)


# -- locking ---------------------------------------------------------------------------------------
@pytest.mark.django_db
class TestLock:
    """A revision is made once, stands alone, and is never changed."""

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
    def test_every_example_locks_and_reads_back_the_same(self, cast, path):
        document = json.loads(path.read_text())
        revision = plans.lock(by=cast.builder, house=cast.house, document=document, note="First issue")
        assert (revision.number, revision.letter, revision.note) == (1, "A", "First issue")
        stored = read_plan(revision.document).plan
        assert plans.digest_of(stored) == revision.digest
        assert facts_from_json(revision.facts) == plans.facts_of(compute(stored))
        assert frozen_from_json(revision.frozen).quantities == compute(stored).quantities
        assert plans.takeoff_of(revision).quantities == compute(stored).quantities

    def test_ground_and_form_systems_are_copied_from_the_house(self, cast, document):
        cast.house.site.frost_depth = Length.feet(5)
        cast.house.site.save()
        revision = plans.lock(by=cast.builder, house=cast.house, document=document)
        assert revision.document["site"]["frost_depth"] == "5'-0\""
        assert {f["key"] for f in revision.document["forms"]} == {leg.form for leg in l_shape().legs()}
        record = FormSystemRecord.objects.get(firm=cast.firm, key=l_shape().legs()[0].form)
        record.data["face_height"] = '18"'
        record.save()
        revision.refresh_from_db()
        assert plans.takeoff_of(revision).plan.forms[0].face_height != Length.inches(18)

    def test_specification_is_written_out_so_that_new_usual_values_change_nothing(self, cast, document):
        del document["spec"]
        stored = plans.lock(by=cast.builder, house=cast.house, document=document).document
        assert stored["spec"]["footing"]["width"] == "1'-8\""
        assert stored["spec"]["concrete"]["strength_psi"] == 3000

    def test_the_same_plan_typed_another_way_makes_nothing_new(self, cast, document):
        first = plans.lock(by=cast.builder, house=cast.house, document=document)
        document["walks"][0]["legs"][0]["length"] = "480 in"
        with pytest.raises(plans.PlanUnchanged) as refused:
            plans.lock(by=cast.builder, house=cast.house, document=document)
        assert refused.value.revision == first
        assert "Nothing has changed since revision A" in str(refused.value)
        assert PlanRevision.objects.count() == 1

    def test_a_plan_that_cannot_be_built_is_refused_with_every_reason(self, cast, document):
        legs = document["walks"][0]["legs"]
        legs[0]["length"], legs[1]["footing_top"] = "forty", "ninety"
        with pytest.raises(plans.PlanRefused) as refused:
            plans.lock(by=cast.builder, house=cast.house, document=document)
        assert {p.path for p in refused.value.problems} == {"walks.0.legs.0.length", "walks.0.legs.1.footing_top"}
        assert not PlanRevision.objects.exists()

    def test_a_ring_that_does_not_close_is_refused(self, cast, document):
        document["walks"][0]["legs"][2]["length"] = "17-0"
        with pytest.raises(plans.PlanRefused) as refused:
            plans.lock(by=cast.builder, house=cast.house, document=document)
        assert "1'-0\"" in refused.value.problems[0].sentence

    def test_sent_twice_counts_once(self, cast, document):
        sent = uuid4()
        first = plans.lock(by=cast.builder, house=cast.house, document=document, client_id=sent)
        assert plans.lock(by=cast.builder, house=cast.house, document=document, client_id=sent) == first
        assert Event.objects.filter(verb="lock_plan").count() == 1

    def test_the_log_tells_the_revision_and_its_note(self, cast, document):
        revision = plans.lock(by=cast.field_lead, house=cast.house, document=document, note="Stakes moved")
        event = Event.objects.get(verb="lock_plan")
        assert (event.by, event.role, event.summary) == (
            cast.field_lead,
            "field_lead",
            "Locked plan revision A: Stakes moved",
        )
        assert event.subject_id == revision.pk

    @pytest.mark.parametrize("part", ["inspector", "engineer", "surveyor", "stranger"])
    def test_others_may_not_lock(self, cast, document, part):
        with pytest.raises(Http404):
            plans.lock(by=cast.person(part), house=cast.house, document=document)

    def test_a_draft_newer_than_the_page_is_not_locked(self, cast, document):
        draft = plans.save_draft(by=cast.builder, house=cast.house, document=document, version=0)
        plans.save_draft(
            by=cast.field_lead, house=cast.house, document=document | {"title": "Mine"}, version=draft.version
        )
        with pytest.raises(StalePage) as stale:
            plans.lock(by=cast.builder, house=cast.house, version=draft.version)
        assert stale.value.changes[0].by == str(cast.field_lead)


# -- drafts ----------------------------------------------------------------------------------------
@pytest.mark.django_db
class TestDraft:
    """What is typed is kept, wrong or right, and never lost to somebody else's page."""

    def test_kept_as_typed(self, cast):
        typed = {"title": "x", "walks": [{"name": "house", "legs": [{"name": "A", "length": "28-14"}]}]}
        plans.save_draft(by=cast.builder, house=cast.house, document=typed, version=0)
        assert plans.draft_of(cast.house) == (typed, 1)

    def test_a_new_house_begins_with_one_ring_and_its_first_leg(self, cast):
        document, version = plans.draft_of(cast.house)
        assert version == 0
        assert [leg["name"] for leg in document["walks"][0]["legs"]] == ["A"]
        assert document["leg_defaults"] == {"form": "generic-16", "core": '8"'}

    def test_an_older_page_is_told_and_changes_nothing(self, cast):
        plans.save_draft(by=cast.builder, house=cast.house, document={"title": "1"}, version=0, page="desk")
        plans.save_draft(by=cast.field_lead, house=cast.house, document={"title": "2"}, version=1, page="phone")
        with pytest.raises(StalePage) as stale:
            plans.save_draft(by=cast.builder, house=cast.house, document={"title": "3"}, version=1, page="desk")
        assert stale.value.version == 2
        assert PlanDraft.objects.get().document["title"] == "2"

    def test_a_page_is_not_stale_against_itself(self, cast):
        for title in ("1", "2", "3"):
            plans.save_draft(by=cast.builder, house=cast.house, document={"title": title}, version=0, page="desk")
        assert PlanDraft.objects.get().document["title"] == "3"

    def test_the_same_again_is_no_new_version(self, cast):
        plans.save_draft(by=cast.builder, house=cast.house, document={"title": "1"}, version=0, page="desk")
        plans.save_draft(by=cast.builder, house=cast.house, document={"title": "1"}, version=1, page="desk")
        assert PlanDraft.objects.get().version == 1

    def test_what_is_replaced_is_set_aside_and_only_so_much_of_it(self, cast):
        for n in range(6):
            plans.replace_draft(by=cast.builder, house=cast.house, document={"title": str(n)}, why=f"before {n + 1}")
        aside = PlanDraft.objects.get().document["_set_aside"]
        assert [entry["document"]["title"] for entry in aside] == ["4", "3", "2"]
        assert not any("_set_aside" in entry["document"] for entry in aside)

    def test_what_is_set_aside_is_no_part_of_a_revision(self, cast, document):
        plans.replace_draft(by=cast.builder, house=cast.house, document={"title": "old"}, why="x")
        plans.replace_draft(by=cast.builder, house=cast.house, document=document, why="y")
        revision = plans.lock(by=cast.builder, house=cast.house)
        assert not [key for key in revision.document if key.startswith("_")]

    def test_walking_on_from_a_revision_says_the_same_and_keeps_usual_values_usual(self, cast, document):
        document["spec"] = {"footing": {"width": "2-0"}}
        revision = plans.lock(by=cast.builder, house=cast.house, document=document)
        again = plans.start_of(revision)
        assert again["spec"] == {"footing": {"width": "2'-0\""}}
        assert "site" not in again
        with pytest.raises(plans.PlanUnchanged):
            plans.lock(by=cast.builder, house=cast.house, document=again)


# -- splitting -------------------------------------------------------------------------------------
@pytest.mark.django_db
class TestSplit:
    """A split names some legs anew and touches nothing else."""

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
    def test_no_leg_of_an_example_loses_a_release(self, cast, path):
        before = plans.lock(by=cast.builder, house=cast.house, document=json.loads(path.read_text()))
        facts = facts_from_json(before.facts)
        section = facts.sections[0][0]
        chosen = facts.legs_in(section)[-2:]
        after = plans.split_section(by=cast.builder, house=cast.house, legs=chosen, name="North wing")
        split = facts_from_json(after.facts)
        assert split.legs_in("north-wing") == chosen
        assert dict(split.sections)["north-wing"] == "North wing"
        assert {leg.name: leg.fingerprints for leg in split.legs} == {leg.name: leg.fingerprints for leg in facts.legs}
        assert [replace(leg, section="") for leg in split.legs] == [replace(leg, section="") for leg in facts.legs]

    def test_the_plan_being_walked_is_split_too(self, cast, document):
        plans.save_draft(by=cast.builder, house=cast.house, document=copy.deepcopy(document), version=0)
        plans.lock(by=cast.builder, house=cast.house)
        plans.split_section(by=cast.builder, house=cast.house, legs=("C", "D"), name="Wing")
        walked, _ = plans.draft_of(cast.house)
        assert [leg["section"] for leg in walked["walks"][0]["legs"]] == [
            "main",
            "main",
            "wing",
            "wing",
            "main",
            "main",
        ]
        with pytest.raises(plans.PlanUnchanged):
            plans.lock(by=cast.builder, house=cast.house)

    @pytest.mark.parametrize(("legs", "of"), [(("A", "B"), "wing"), (("B", "C"), "main")])
    def test_pads_stay_with_the_first_leg_of_their_section(self, cast, document, legs, of):
        pad = {"name": "F1", "length": "3-0", "width": "3-0", "thickness": "12", "top": "85-0"}
        before = plans.lock(by=cast.builder, house=cast.house, document=document | {"pads": [pad]})
        after = plans.split_section(by=cast.builder, house=cast.house, legs=legs, name="Wing")
        assert [pad["section"] for pad in after.document["pads"]] == [of]
        prints = [{leg.name: leg.fingerprints for leg in facts_from_json(x.facts).legs} for x in (before, after)]
        assert prints[0] == prints[1]

    @pytest.mark.parametrize(
        ("legs", "name", "sentence"),
        [
            ((), "Wing", "No leg is chosen"),
            (("A", "Z"), "Wing", "“Z” is not a leg"),
            (("A",), "  ", "needs a name"),
            (("A",), "main", "already is a section"),
            (("A", "B", "C", "D", "E", "F"), "Wing", "All legs of the section are chosen"),
        ],
    )
    def test_refused_in_a_sentence(self, cast, document, legs, name, sentence):
        document["sections"][0]["name"] = "Main"
        plans.lock(by=cast.builder, house=cast.house, document=document)
        with pytest.raises(Refused, match=sentence):
            plans.split_section(by=cast.builder, house=cast.house, legs=legs, name=name)
        assert PlanRevision.objects.count() == 1

    def test_legs_of_two_sections_are_refused(self, cast):
        plan = garage()
        plans.lock(by=cast.builder, house=cast.house, document=write_plan(plan))
        of = {leg.section: leg.name for leg in plan.legs()}
        with pytest.raises(Refused, match="of several sections"):
            plans.split_section(by=cast.builder, house=cast.house, legs=tuple(of.values()), name="Wing")

    def test_refused_where_no_plan_is_locked(self, cast):
        with pytest.raises(Refused, match="No plan is locked yet"):
            plans.split_section(by=cast.builder, house=cast.house, legs=("A",), name="Wing")


# -- the command line ------------------------------------------------------------------------------
class TestCommand:
    """python manage.py takeoff PLAN.json"""

    def test_prints_quantities_with_their_sums(self, capsys):
        call_command("takeoff", str(EXAMPLES[0]))
        assert "1 Footing" in capsys.readouterr().out

    def test_json_for_programs(self, capsys):
        call_command("takeoff", str(EXAMPLES[0]), "--json")
        found = json.loads(capsys.readouterr().out)
        assert {"quantities", "criteria", "problems"} <= set(found)

    def test_a_file_that_is_no_plan_ends_with_one(self, capsys, tmp_path: Path):
        file = tmp_path / "no.json"
        file.write_text("[1, 2]")
        with pytest.raises(SystemExit) as ended:
            call_command("takeoff", str(file))
        assert ended.value.code == 1
        assert "must be an object" in capsys.readouterr().out

    def test_no_file_is_told(self):
        with pytest.raises(CommandError):
            call_command("takeoff")
