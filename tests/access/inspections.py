"""Who gets what at the addresses of stages, points, evidence and the board."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jobs import plans
from takeoff.plan import Stage
from takeoff.planfile import write_plan
from tests.access import LOGGED_IN, MEMBERS, NO_SUCH_METHOD, NOT_FOUND, Entry, of_house, only
from tests.cast import STRANGER, Cast
from tests.inspections.world import Site
from tests.takeoff.plans import l_shape

EVERY_MEMBER = only(*MEMBERS)


def _footing(cast: Cast, **more: str) -> dict[str, Any]:
    return {**of_house(cast), "stage_pk": cast.house.stages.get(kind=Stage.FOOTING).pk, **more}


def _of_footing(cast: Cast) -> dict[str, Any]:
    return _footing(cast)


def _permit(cast: Cast) -> dict[str, Any]:
    return _footing(cast, key="permit")


def _pour(cast: Cast) -> dict[str, Any]:
    return _footing(cast, operation="pour_footing")


def _truck(cast: Cast) -> dict[str, Any]:
    return _footing(cast, kind="truck")


def _photo(cast: Cast) -> dict[str, Any]:
    presented = Site(cast).present(Stage.FOOTING, "hole", "A")
    return {"pk": presented.evidence.exclude(file="").get().pk}


def _presented(cast: Cast) -> dict[str, Any]:
    return {"presentation": Site(cast).present(Stage.FOOTING, "permit").pk}


def _rejected(cast: Cast) -> dict[str, Any]:
    site = Site(cast)
    return {"sign_off": site.reject(site.present(Stage.FOOTING, "permit")).pk}


def _revision(cast: Cast) -> dict[str, Any]:
    plans.lock(by=cast.builder, house=cast.house, document=write_plan(l_shape()))
    return {**of_house(cast), "number": 1}


def _some(*parts: str) -> Mapping[str, int]:
    """An empty post: 422 for those who may post at all, 403 for others on the house, 404 for a stranger."""
    return {**only(*parts, status=422, others=403), STRANGER: NOT_FOUND}


ENTRIES: dict[str, Entry] = {
    # Sent on to the first screen of the role.
    "inspections:home": Entry(get=only(*LOGGED_IN, status=302), post=NO_SUCH_METHOD),
    "inspections:board": Entry(get=only(*LOGGED_IN), post=NO_SUCH_METHOD),
    "inspections:braces": Entry(get=only("builder", STRANGER), post=only("builder", STRANGER, status=422)),
    "inspections:today": Entry(get=only(*LOGGED_IN), post=NO_SUCH_METHOD),
    "inspections:asked": Entry(get=only(*LOGGED_IN), post=NO_SUCH_METHOD),
    "inspections:house": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=of_house),
    "inspections:log": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=of_house),
    "inspections:sections": Entry(get=EVERY_MEMBER, post=only("builder", "field_lead", status=422), args=of_house),
    "inspections:differences": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=_revision),
    "inspections:stage": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:work": Entry(get=NO_SUCH_METHOD, post=_some("builder", "field_lead"), args=_pour),
    # 409: without a locked plan there is nothing to print.
    "inspections:handout": Entry(get=only(*MEMBERS, status=409), post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:point": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=_permit),
    "inspections:present": Entry(get=NO_SUCH_METHOD, post=_some("builder", "field_lead"), args=_permit),
    "inspections:sign": Entry(get=NO_SUCH_METHOD, post=_some("builder", "inspector"), args=_permit, data=_presented),
    "inspections:close_correction": Entry(
        get=NO_SUCH_METHOD, post=_some("builder", "field_lead"), args=_permit, data=_rejected
    ),
    "inspections:pour": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:pour_write": Entry(get=NO_SUCH_METHOD, post=_some("builder", "field_lead"), args=_truck),
    "inspections:evidence": Entry(get=EVERY_MEMBER, post=NO_SUCH_METHOD, args=_photo),
}
