"""The cast on a site of their own, and the largest example as it is printed."""

import pytest

from jobs.models import PlanRevision
from tests.cast import Cast
from tests.inspections.printed import example, locked
from tests.inspections.world import Site


@pytest.fixture
def site(cast: Cast) -> Site:
    """The cast's house with a locked revision of the usual three sections."""
    return Site(cast)


@pytest.fixture
def juniper(cast: Cast) -> PlanRevision:
    """The largest example, with everything a head can name."""
    return locked(
        cast,
        example("juniper-bend"),
        name="Juniper Bend",
        lot="14",
        address="14 Juniper Bend Road",
        jurisdiction="Township of Elder Falls",
        permit_number="EF-118",
    )
