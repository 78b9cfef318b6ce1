"""The cast on a site of their own."""

import pytest

from tests.cast import Cast
from tests.inspections.world import Site


@pytest.fixture
def site(cast: Cast) -> Site:
    """The cast's house with a locked revision of the usual three sections."""
    return Site(cast)
