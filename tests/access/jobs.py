"""Who gets what at the addresses of houses, people, form systems and plans."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from jobs import plans
from takeoff.planfile import write_plan
from tests.access import EVERYBODY, FIRM_PEOPLE, LOGGED_IN, MEMBERS, NO_SUCH_METHOD, Entry, of_house, only
from tests.cast import Cast
from tests.factories import FirmInvitationFactory, InvitationFactory
from tests.takeoff.plans import l_shape, porch_arc


def _invitation(cast: Cast) -> dict[str, Any]:
    made = InvitationFactory(house=cast.house, email="open@example.org", role="surveyor", invited_by=cast.builder)
    return {"token": made.token}


def _firm_invitation(cast: Cast) -> dict[str, Any]:
    made = FirmInvitationFactory(firm=cast.firm, email="colleague@example.org", invited_by=cast.builder)
    return {"token": made.token}


def _generic(cast: Cast) -> dict[str, Any]:
    return {"key": "generic-16"}


WALKERS = ("builder", "field_lead")


def _revision(cast: Cast) -> dict[str, Any]:
    plans.lock(by=cast.builder, house=cast.house, document=write_plan(l_shape()))
    return {**of_house(cast), "number": 1}


def _leg(cast: Cast) -> dict[str, Any]:
    return {**_revision(cast), "leg": "A"}


def _bent(cast: Cast) -> dict[str, Any]:
    plans.lock(by=cast.builder, house=cast.house, document=write_plan(porch_arc()))
    return {**of_house(cast), "number": 1}


def _since(cast: Cast) -> dict[str, Any]:
    _revision(cast)
    plans.lock(by=cast.builder, house=cast.house, document=write_plan(replace(l_shape(), title="Lot 12, mended")))
    return {**of_house(cast), "number": 2, "other": 1}


#: An empty post: 422 where the form says what is missing, 404 where the person may not post at all.
ENTRIES: dict[str, Entry] = {
    "jobs:firm_new": Entry(
        get=only("field_lead", "inspector", "engineer", "surveyor", others=302, anonymous=200),
        post=only("field_lead", "inspector", "engineer", "surveyor", status=422, others=302, anonymous=422),
    ),
    # A post that names no deed leads back to the page.
    "jobs:firm": Entry(get=only(*FIRM_PEOPLE), post=only(*FIRM_PEOPLE, status=302)),
    "jobs:firm_invitation": Entry(
        get=only(*EVERYBODY, anonymous=200), post=only(*LOGGED_IN, status=422, anonymous=422), args=_firm_invitation
    ),
    "jobs:house_new": Entry(get=only(*FIRM_PEOPLE), post=only(*FIRM_PEOPLE, status=422)),
    "jobs:house_edit": Entry(get=only("builder"), post=only("builder", status=422), args=of_house),
    "jobs:site_edit": Entry(get=only("builder"), post=only("builder", status=422), args=of_house),
    "jobs:people": Entry(get=only(*MEMBERS), post=only("builder", status=302), args=of_house),
    "jobs:stages_edit": Entry(get=only("builder"), post=only("builder", status=404), args=of_house),
    # Whoever has the secret link sees the offer; a login under another address must confirm.
    "jobs:invitation": Entry(
        get=only(*EVERYBODY, anonymous=200), post=only(*LOGGED_IN, status=422, anonymous=422), args=_invitation
    ),
    "jobs:form_systems": Entry(get=only(*FIRM_PEOPLE), post=NO_SUCH_METHOD),
    "jobs:form_system_new": Entry(get=only(*FIRM_PEOPLE), post=only(*FIRM_PEOPLE, status=422)),
    "jobs:form_system_edit": Entry(get=only(*FIRM_PEOPLE), post=only(*FIRM_PEOPLE, status=422), args=_generic),
    # The builder and the field lead walk the wall; everybody on the house reads revisions.
    "jobs:plan_edit": Entry(get=only(*WALKERS), post=only(*WALKERS, status=400), args=of_house),
    "jobs:plan_preview": Entry(get=NO_SUCH_METHOD, post=only(*WALKERS, status=400), args=of_house),
    "jobs:plan_spec": Entry(get=only(*WALKERS), post=only(*WALKERS, status=400), args=of_house),
    "jobs:plan_lock": Entry(get=NO_SUCH_METHOD, post=only(*WALKERS, status=422), args=of_house),
    "jobs:plan_import": Entry(get=only(*WALKERS), post=only(*WALKERS, status=422), args=of_house),
    "jobs:plan_export": Entry(get=only(*WALKERS), post=NO_SUCH_METHOD, args=of_house),
    "jobs:revisions": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=of_house),
    "jobs:revision": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=_revision),
    "jobs:revision_start": Entry(get=NO_SUCH_METHOD, post=only(*WALKERS, status=302), args=_revision),
    "jobs:revision_json": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=_revision),
    "jobs:revision_template": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=_bent),
    "jobs:revision_elevation": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=_leg),
    "jobs:revision_compare": Entry(get=only(*MEMBERS), post=NO_SUCH_METHOD, args=_since),
}
