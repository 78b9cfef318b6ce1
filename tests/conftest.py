"""What every test shares."""

import pytest
from django.conf import settings

#: The people and the house that most tests of pages and actions need.
pytest_plugins = ["tests.cast"]


def pytest_configure() -> None:
    """Passwords in tests need not be slow to guess."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _photos_of_this_test(settings, tmp_path) -> None:
    """Each test has its own empty folder for uploads."""
    settings.MEDIA_ROOT = tmp_path / "media"
