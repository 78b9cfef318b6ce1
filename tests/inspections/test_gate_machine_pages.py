"""Model-based, through the pages: whatever is posted, as a page, by htmx, or once more what was posted before, work is
recorded only where the oracle says it may go on, and the page gives the oracle's reasons.

What is posted is what a browser could send, and what somebody without one could: forms that the page does not show.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule, run_state_machine_as_test

from inspections.models import Presentation, SignOff, WorkDone
from inspections.process import Evidence, EvidenceKind, Point
from inspections.stages import BY_KIND
from jobs.stages import TITLES as CALLED
from takeoff.plan import Stage
from tests.inspections.moves import LEGS
from tests.inspections.oracle import HOUSE, Answer
from tests.inspections.test_gate_machine import ThroughActions, counts
from tests.inspections.visitor import PICTURE, fresh

#: How each reason reads: its code, and where stage, subject and legs stand in it. The prose of the gates' module.
SENTENCES = {
    "no_plan": r"No plan revision is locked yet; .+\.",
    "not_here": r"(?P<legs>Legs? .+) (?:is|are) not part of this stage in the revision in force; .+\.",
    "already_done": r"Already done on (?P<legs>legs? .+); .+\.",
    "stage_missing": r"(?P<legs>Legs? .+) must first go through “(?P<stage>.+)”, and this house has no such stage.*\.",
    "not_done": r"(?P<stage>.+): “(?P<about>.+)” is not done on (?P<legs>.+); the .+ records it\.",
    "waiting": r"(?P<stage>.+): “(?P<about>.+)” is not presented(?: on (?P<legs>.+))?; the .+ presents it, the .+ "
    r"releases it\.",
    "presented": r"(?P<stage>.+): “(?P<about>.+)” waits for the .+? to release it(?: on (?P<legs>legs? .+))?\.",
    "outdated": r"(?P<stage>.+): the plan changed(?: on (?P<legs>.+))? after “(?P<about>.+)” was presented; .+\.",
    "void": r"(?P<stage>.+): the release of “(?P<about>.+)”(?: on (?P<legs>.+))? was given before the plan changed.+\.",
    "rejected": r"(?P<stage>.+): “(?P<about>.+)” was rejected(?: on (?P<legs>.+))?; its correction is open, .+\.",
    "corrected": r"(?P<stage>.+): “(?P<about>.+)”(?: on (?P<legs>.+))? was put right and must be presented and rel.+\.",
    "not_strong": r"(?P<stage>.+): (?P<legs>legs? .+?) (?:is|are) not known to be strong enough: [\d,]+ psi needed"
    r".+; (?:no estimate yet|no expected day yet|expected)\b.+\.",
    "engineer_strength": r"(?P<stage>.+): the plan cannot say how strong (?P<legs>legs? .+?) must be, .+; the engineer "
    r"of record must release “(?P<about>.+)”(?:, which .+)?\.",
    "not_told": r"(?P<stage>.+): the .+ has not been told of “(?P<about>.+)”(?: on (?P<legs>.+))?; .+ presents it\.",
}
#: A stage is called as the house calls it; one that the house lacks, as its process.
TITLES = {process.title: process for process in BY_KIND.values()} | {
    title: BY_KIND[kind] for kind, title in CALLED.items()
}


def understood(sentence: str, kind: Stage, operation: str) -> Answer:
    """A reason as the oracle gives it: (code, kind of stage, about, leg) for each of its legs."""
    for code, pattern in SENTENCES.items():
        found = re.fullmatch(pattern, sentence)
        if found:
            said = found.groupdict()
            process = TITLES[said["stage"]] if said.get("stage") else BY_KIND[kind]
            about = operation if not said.get("stage") else ""
            if said.get("about"):
                things = (*process.points, *process.operations)
                about = next(thing.key for thing in things if thing.title == said["about"])
            legs = re.findall(r"\b[A-Z]\b", said.get("legs") or "") or [HOUSE]
            return {(code, process.kind, about, leg) for leg in legs}
    raise AssertionError(f"no reason reads “{sentence}”")


def sentences(html: str, others: Sequence[str] = ()) -> list[str]:
    """The reasons listed in a piece of a page; where it points to another move, that one's among ``others``."""
    lists = re.findall(r'<ul class="reasons">(.*?)</ul>', html, re.S)
    out: list[str] = []
    for line in (line for each in lists for line in re.findall(r"<li>(.*?)</li>", each, re.S)):
        pointed = re.search(r'href="#turn-([\w-]+)"', line)
        if pointed:
            (other,) = [turn for turn in others if turn.startswith(f'{pointed[1]}"')]
            out += sentences(other.partition("<form")[0], others)
        else:
            out.append(unescape(re.sub(r"<[^>]+>", "", line)).strip())
    return out


def answer_to(asked: Evidence, legs: Sequence[str]) -> dict[str, Any]:
    """What is typed for one piece of evidence."""
    plain = {EvidenceKind.CHECK: "on", EvidenceKind.PHOTO: PICTURE, EvidenceKind.MEASUREMENT: "0"}
    if asked.kind is EvidenceKind.LEVELS:
        return {f"{asked.key}-at-{leg.lower()}": "86-0" for leg in legs}
    if asked.kind is EvidenceKind.CHOICE:
        return {asked.key: asked.choices[0][0]}
    return {asked.key: plain.get(asked.kind, "yes")}


class ThroughPages(ThroughActions):
    """Moves by posting, every other one by htmx; a good month goes through the actions, its work by posting."""

    quickly = False
    posts = 0

    def start(self, found):
        rows = super().start(found)
        self.browsers = {}
        for who in ("builder", "field_lead", "inspector", "engineer", "surveyor"):
            self.browsers[who] = Client()
            self.browsers[who].force_login(self.cast.person(who))
        self.accepted: list[tuple[str, str, dict[str, Any]]] = []
        self.turned_away: list[tuple[int, str, Sequence[str], str]] = []
        self.record_id = ""
        return rows

    # -- posting ---------------------------------------------------------------------------------------
    def url(self, name: str, row: int, *more: str) -> str:
        """Address of a stage, or of something below it."""
        return reverse(f"inspections:{name}", args=[self.site.house.pk, row, *more])

    def post(self, who: str, url: str, body: Mapping[str, Any]) -> tuple[bool, str]:
        """Send; whether it was accepted, and the page. What was not leaves nothing behind."""
        self.posts += 1
        by_htmx = bool(self.posts % 2)
        before = counts()
        headers = {"HX-Request": "true"} if by_htmx else {}
        answer = self.browsers[who].post(url, fresh(body), headers=headers)
        accepted = answer.status_code == (200 if by_htmx else 302)
        assert accepted or answer.status_code in (404, 409, 422), (url, answer.status_code)
        assert (counts() != before) == accepted, (url, body)
        if accepted:
            self.accepted.append((who, url, dict(body)))
        return accepted, answer.content.decode()

    def body(self, legs: Sequence[str], **said: Any) -> dict[str, Any]:
        """What every form sends."""
        record, self.record_id = self.record_id or str(uuid4()), ""
        out = {"client_id": [record], "revision": [str(self.site.revision.number)], "legs": list(legs)}
        return out | {name: [value] for name, value in said.items()}

    # -- moves ------------------------------------------------------------------------------------------
    def attempt_present(self, row, point, legs, choice):
        if self.quickly:
            return super().attempt_present(row, point, legs, choice)
        asked = self._point(row, point)
        typed = {name: value for each in asked.evidence for name, value in answer_to(each, legs).items()}
        typed |= {"held_by": choice} if choice else {}
        return self.post("field_lead", self.url("present", row, point), self.body(legs, **typed))[0]

    def attempt_sign(self, row, point, legs, released):
        if self.quickly:
            return super().attempt_sign(row, point, legs, released)
        shown = Presentation.objects.filter(stage=row, point=point).order_by("-pk")
        on = next((p for p in shown if set(legs) <= set(p.legs)), None)
        who = self._releases(self._point(row, point))
        decision = "released" if released else "rejected"
        typed = self.body(legs, presentation=on.pk if on else 0, decision=decision, reason="Lap is short.")
        return self.post(who, self.url("sign", row, point), typed)[0]

    def _releases(self, point: Point) -> str:
        return point.releases[0].value

    def attempt_close(self, row, point, legs):
        if self.quickly:
            return super().attempt_close(row, point, legs)
        rejected = SignOff.objects.filter(stage=row, point=point, decision="rejected").order_by("-pk")
        on = next((s for s in rejected if set(legs) <= set(s.legs)), None)
        typed = self.body(legs, sign_off=on.pk if on else 0, done="Bars added.")
        return self.post("field_lead", self.url("close_correction", row, point), typed)[0]

    def attempt_work(self, row, operation, legs):
        done, body = WorkDone.objects.count(), self.body(legs)
        accepted, page = self.post("field_lead", self.url("work", row, operation), body)
        assert WorkDone.objects.count() == done + accepted
        if not accepted:
            self.turned_away.append((row, operation, legs, body["client_id"][0]))
            self._said_why(page, row, operation, legs)
        return accepted

    def _said_why(self, page: str, row: int, operation: str, legs: Sequence[str]) -> None:
        """The refusal gives the oracle's reasons; where a leg is not of the stage at all, the form says so first."""
        kind = self.diary.kind_of(row)
        told = re.search(r'<div class="errors".*?</div>', page, re.S)
        assert told
        if not legs or set(legs) - set(self.diary.legs_of(kind)):
            assert "Tick at least one leg." in told[0] or "is not among those" in told[0]
            return
        found = [understood(sentence, kind, operation) for sentence in sentences(told[0])]
        assert set().union(*found) == set().union(*(self.diary.why_not(row, operation, leg) for leg in legs))

    # -- once more ----------------------------------------------------------------------------------------
    def replay(self):
        """What was accepted is answered again and written once; its id serves no other work; what was refused goes by
        what holds now."""
        for who, url, body in self.accepted[:1] + self.accepted[-1:]:
            before = counts()
            answer = self.browsers[who].post(url, fresh(body))
            assert answer.status_code == 302 and counts() == before, url
        if self.accepted:
            row, operation = self.rows[0][0], "pour_footing"
            used = self.accepted[-1][2] | {"legs": ["A", "B", "G"], "note": ["Poured."]}
            before = counts()
            answer = self.browsers["field_lead"].post(self.url("work", row, operation), fresh(used))
            assert answer.status_code in (409, 422) and counts() == before
        if self.turned_away:
            row, operation, legs, self.record_id = self.turned_away.pop()
            self._work(row, operation, legs)

    @rule(
        names=st.lists(st.sampled_from(LEGS), unique=True, min_size=1), stages=st.integers(1, 6), held=st.integers(0, 1)
    )
    def put_right_and_go_on(self, names, stages, held):
        """As told; all but the work itself goes the short way."""
        self.quickly = True
        super().put_right_and_go_on(names=names, stages=stages, held=held)
        self.quickly = False

    # -- what the page says, asked or not ------------------------------------------------------------------
    @invariant()
    def a_stage_shows_the_oracles_reasons(self):
        """One stage after each move, by turns: every gate on its page."""
        self.posts += 1
        row, kind = self.rows[self.posts % len(self.rows)]
        page = self.browsers["field_lead"].get(self.url("stage", row), headers={"HX-Request": "true"})
        assert page.status_code == 200
        turns = re.split(r'<div class="turn" id="turn-', page.content.decode())[1:]
        for section in dict.fromkeys(leg.section for leg in self.facts.legs):
            for operation in BY_KIND[kind].operations:
                self._shown(turns, row, section, operation.key)

    def _shown(self, turns: list[str], row: int, section: str, operation: str) -> None:
        here = [leg.name for leg in self.facts.legs if leg.section == section]
        legs = [n for n in here if n in self.diary.legs_of(self.diary.kind_of(row))]
        legs = [n for n in legs if not self.diary.did(row, operation, n)]
        mine = [turn for turn in turns if turn.startswith(f'{section}-{operation}"')]
        assert len(mine) == bool(legs)
        if legs:
            expected = {n: self.diary.why_not(row, operation, n) for n in legs}
            shown = mine[0].partition("<form")[0]
            found = [understood(sentence, self.diary.kind_of(row), operation) for sentence in sentences(shown, turns)]
            assert set().union(*found) == set().union(*expected.values())
            assert ("gate-open" in shown) == (not any(expected.values()))
            offered = set(re.findall(r'name="legs" value="(\w+)"', mine[0]))
            assert offered == {n for n in legs if not expected[n]}


@pytest.mark.slow
@pytest.mark.django_db
def test_any_life_of_a_house_through_its_pages():
    run_state_machine_as_test(
        ThroughPages,
        settings=settings(
            max_examples=2,
            stateful_step_count=14,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            phases=[Phase.generate],  # making a failure smaller would take minutes here; the one in memory does that
        ),
    )
