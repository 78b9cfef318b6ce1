"""What every test shares."""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.db import connection

#: The people and the house that most tests of pages and actions need.
pytest_plugins = ["tests.cast"]


def pytest_configure() -> None:
    """Passwords in tests need not be slow to guess."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _photos_of_this_test(settings, tmp_path) -> None:
    """Each test has its own empty folder for uploads."""
    settings.MEDIA_ROOT = tmp_path / "media"


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: object) -> Iterator[None]:
    """Between tests with a live server all tables are emptied; on the embedded database that is a plain DELETE, which
    the records' own guard refuses. Only there, and only for tests, the guard against deleting is taken off.

    At the end a server's thread may still be answering a browser that went away: its connection is ended, because
    PostgreSQL drops no database that somebody is in."""
    with django_db_blocker.unblock(), connection.cursor() as cursor:  # type: ignore[attr-defined]
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%_no_delete'")
            for (name,) in cursor.fetchall():
                cursor.execute(f"DROP TRIGGER {name}")
    yield
    with django_db_blocker.unblock(), connection.cursor() as cursor:  # type: ignore[attr-defined]
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
