"""Who gets what at the addresses of houses, people, form systems and plans."""

from __future__ import annotations

from typing import Any

from tests.access import EVERYBODY, FIRM_PEOPLE, LOGGED_IN, MEMBERS, NO_SUCH_METHOD, Entry, of_house, only
from tests.cast import Cast
from tests.factories import InvitationFactory


def _invitation(cast: Cast) -> dict[str, Any]:
    made = InvitationFactory(house=cast.house, email="open@example.org", role="surveyor", invited_by=cast.builder)
    return {"token": made.token}


def _generic(cast: Cast) -> dict[str, Any]:
    return {"key": "generic-16"}


#: An empty post: 422 where the form says what is missing, 404 where the person may not post at all.
ENTRIES: dict[str, Entry] = {
    "jobs:firm_new": Entry(
        get=only("field_lead", "inspector", "engineer", "surveyor", others=302, anonymous=200),
        post=only("field_lead", "inspector", "engineer", "surveyor", status=422, others=302, anonymous=422),
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
}
