"""The five people of a house as visitors of its pages, and the round they make of it: present, sign, do the work."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from inspections import asbuilt
from inspections.process import Evidence, EvidenceKind, Point
from inspections.stages import BY_KIND
from jobs.frozen import frozen_from_json
from jobs.models import House, HouseStage, PlanRevision
from takeoff.plan import Stage
from tests.inspections.visitor import PICTURE, Form, Page, Visitor

PASSWORD = "long-walk-home-77"
#: Role on the house -> name.
INVITED = {
    "field_lead": "Leif Ostrander",
    "inspector": "Ilse Brackwater",
    "engineer": "Edda Marchlow, PE",
    "surveyor": "Sven Tolliver, PLS",
}
SIGNERS = ("engineer", "surveyor", "inspector", "builder")
_POINT = re.compile(r"/houses/\d+/stages/(\d+)/points/([\w-]+)/")


@dataclass
class Crew:
    """A house and who works on it, each with their own browser."""

    builder: Visitor
    house: House
    people: dict[str, Visitor] = field(default_factory=dict)
    sent: int = 0

    def __post_init__(self) -> None:
        self.people["builder"] = self.builder

    def __getattr__(self, name: str) -> Visitor:
        try:
            return self.__dict__["people"][name]
        except KeyError:
            raise AttributeError(name) from None

    # -- where things are -----------------------------------------------------------------------------
    @property
    def home(self) -> str:
        """Address of the house."""
        return f"/houses/{self.house.pk}/"

    @property
    def revision(self) -> PlanRevision:
        """The plan in force."""
        return self.house.revisions.order_by("-number")[0]

    def stage(self, kind: Stage) -> str:
        """Address of a stage."""
        return f"{self.home}stages/{self.house.stages.get(kind=kind).pk}/"

    def point(self, kind: Stage, key: str) -> str:
        """Address of a point."""
        return f"{self.stage(kind)}points/{key}/"

    # -- the round --------------------------------------------------------------------------------------
    def check(self, but: Sequence[str] = ()) -> int:
        """The field lead presents every check on today's list, except some points; how many were presented. Forms are
        sent as pages and by htmx, as browsers with and without scripts do."""
        done, tried = 0, set[str]()
        while True:
            page = self.field_lead.open(f"/today/?house={self.house.pk}")
            urls = dict.fromkeys(href for href, words in page.links if words.startswith("Check it"))
            fresh = [u for u in urls if u not in tried and _POINT.match(u)[2] not in but]
            if not fresh:
                return done
            for url in fresh:
                tried.add(url)
                self.present(url, htmx=self.turn())
                done += 1

    def present(self, url: str, who: str = "field_lead", status: int = 200, htmx: bool = False, **typed: Any) -> Page:
        """Present a point with all that its form asks for; ``typed`` goes over it."""
        page = self.people[who].open(url)
        form = page.form("^Present it$")
        assert form, f"{url}: nothing to present"
        legs = typed.get("legs") or form.choices("legs")
        answers = self.answers(url, form, legs) | typed
        return self.people[who].send(page, form, "^Present it$", status, htmx, answers)

    def answers(self, url: str, form: Form, legs: Sequence[str]) -> dict[str, Any]:
        """Everything a point asks for, as the plan wants it."""
        found = _POINT.match(url)
        assert found
        kind = HouseStage.objects.get(pk=found[1]).stage_kind
        point = BY_KIND[kind].point(found[2])
        assert point
        out: dict[str, Any] = {}
        for asked in point.evidence:
            out |= self._answer(kind, point, asked, form, legs)
        return {name: value for name, value in out.items() if form.choices(name)}

    def _answer(self, kind: Stage, point: Point, asked: Evidence, form: Form, legs: Sequence[str]) -> Mapping[str, Any]:
        if asked.kind is EvidenceKind.CHECK:
            return {asked.key: True}
        if asked.kind is EvidenceKind.PHOTO:
            return {asked.key: PICTURE}
        if asked.kind is EvidenceKind.CHOICE:
            return {asked.key: form.choices(asked.key)[0]}
        if asked.kind is EvidenceKind.MEASUREMENT:
            return {asked.key: as_the_plan_asks(self.revision, kind, asked, legs)}
        if asked.kind is EvidenceKind.LEVELS:
            tops = asbuilt.planned_tops(self.revision.document)
            return {f"{asked.key}-at-{leg.lower()}": str(tops[leg]) for leg in legs}
        return {asked.key: "Ticket 4410, agreed with the plant"}

    def sign(self, who: str = "", but: Sequence[str] = ()) -> int:
        """Everybody (or one) releases all that is asked of them, except some points; how many releases."""
        done = 0
        for each in [who] if who else SIGNERS:
            page = self.people[each].open("/asked/")
            for url in dict.fromkeys(href for href, words in page.links if words.startswith("Look and decide")):
                if _POINT.match(url)[2] not in but:
                    done += self.release(url, each)
        return done

    def release(self, url: str, who: str) -> int:
        """Release all that waits on a point's page; how many forms were pressed."""
        done, page = 0, self.people[who].open(url)
        while (form := page.form("^Release$")) is not None:
            page = self.people[who].send(page, form, "^Release$", htmx=self.turn())
            assert "Recorded, and never changed" in page.text
            done += 1
        return done

    def turn(self) -> bool:
        """Three times out of four: htmx answers at once, a page is one request more."""
        self.sent += 1
        return bool(self.sent % 4)

    def cylinder(self, kind: Stage, leg: str, psi: int, hours_ago: int = 1) -> Page:
        """The builder writes down a cylinder that lay beside the wall and was broken, for the pour of a leg."""
        page = self.builder.open(f"{self.stage(kind)}pour/?leg={leg}")
        now = timezone.now().astimezone(ZoneInfo(self.house.timezone))
        cast, broken = now - timedelta(days=5), now - timedelta(hours=hours_ago)
        return self.builder.press(
            page, "^Write the break down$", specimen="3B", psi=str(psi), cured="field",
            cast=f"{cast:%Y-%m-%dT%H:%M}", broken=f"{broken:%Y-%m-%dT%H:%M}",
        )  # fmt: skip

    def reject(self, url: str, who: str, reason: str, legs: Sequence[str] = ()) -> Page:
        """Reject what waits or was released, on all legs or some."""
        page = self.people[who].open(url)
        typed: dict[str, Any] = {"reason": reason} | ({"legs": list(legs)} if legs else {})
        return self.people[who].press(page, "^Reject$", **typed)

    def put_right(self, url: str, done: str) -> Page:
        """The field lead says what was done, with a photo."""
        page = self.field_lead.open(url)
        return self.field_lead.press(page, "^It is put right$", done=done, photo=PICTURE)

    def work(self, words: str) -> int:
        """Record the work that today's page offers under these words, section by section; how often."""
        done = 0
        while True:
            page = self.field_lead.open(f"/today/?house={self.house.pk}")
            form = page.form(f"^Record: {words}")
            if form is None:
                return done
            answer = self.field_lead.send(page, form, f"^Record: {words}")
            assert "Recorded: " in answer.text
            done += 1

    def round(self, words: str) -> None:
        """Check, sign, and do one operation everywhere it is open."""
        self.check()
        self.sign()
        assert self.work(words), f"“{words}” is not offered: {self.held()}"

    def held(self) -> list[str]:
        """What holds the next work, as the house's page says it."""
        page = self.builder.open(self.home)
        return re.findall(r"<li>(?:<a[^>]*>)?([^<]+\.)(?:</a>)?</li>", page.text)


def as_the_plan_asks(revision: PlanRevision, kind: Stage, asked: Evidence, legs: Sequence[str] = ()) -> str:
    """A reading that just meets the plan's number, as typed."""
    found = frozen_from_json(revision.frozen).criteria_of(kind, (asked.criterion,), tuple(legs) or None)
    most = found[0].sense == "at most" if found else False
    return f"{(min if most else max)((c.value for c in found), default=0.0):g}"
