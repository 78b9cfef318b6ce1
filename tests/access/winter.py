"""Who gets what at the pages of a pour: everybody on the house looks, the builder and the field lead give weather."""

from __future__ import annotations

from typing import Any

from takeoff.plan import Stage
from tests.access import MEMBERS, NO_SUCH_METHOD, NOT_FOUND, Entry, of_house, only
from tests.cast import STRANGER, Cast

_LOOK = only(*MEMBERS)
#: An empty post: 422 for those who give weather, nothing to find for others.
_GIVE = only("builder", "field_lead", status=422)


def _of_footing(cast: Cast) -> dict[str, Any]:
    return {**of_house(cast), "stage_pk": cast.house.stages.get(kind=Stage.FOOTING).pk}


ENTRIES: dict[str, Entry] = {
    "inspections:weather": Entry(get=_LOOK, post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:weather_typed": Entry(get=NO_SUCH_METHOD, post=_GIVE, args=_of_footing),
    "inspections:weather_file": Entry(get=NO_SUCH_METHOD, post=_GIVE, args=_of_footing),
    "inspections:weather_place": Entry(get=NO_SUCH_METHOD, post=_GIVE, args=_of_footing),
    # 409: nobody said where the site lies, so nothing is fetched.
    "inspections:weather_fetch": Entry(
        get=NO_SUCH_METHOD, post=only("builder", "field_lead", status=409), args=_of_footing
    ),
    "inspections:weather_decide": Entry(
        get=_LOOK,
        post={**only("builder", status=422, others=403), STRANGER: NOT_FOUND},
        args=_of_footing,
    ),
    "inspections:weather_forms": Entry(get=_LOOK, post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:weather_order": Entry(get=_LOOK, post=NO_SUCH_METHOD, args=_of_footing),
    "inspections:weather_strength": Entry(get=_LOOK, post=NO_SUCH_METHOD, args=_of_footing),
    # 409: without a locked plan there is nothing to order.
    "inspections:weather_order_pdf": Entry(get=only(*MEMBERS, status=409), post=NO_SUCH_METHOD, args=_of_footing),
}
