"""What every test shares."""

import pickle
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

import pytest
from django.conf import settings
from django.db import connection

from jobs import plans
from takeoff.results import Takeoff

#: The people and the house that most tests of pages and actions need.
pytest_plugins = ["tests.cast"]
#: How many takeoffs are kept.
KEPT = 64


def pytest_configure() -> None:
    """Passwords in tests need not be slow to guess."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Iterator[None]:
    """A test that asks for no database sees the same on any: it looks once. What takes long comes first, so that no
    worker is left with it at the end; tests that empty the tables stay last, as Django's plugin puts them."""
    for item in items:
        asks = {"db", "transactional_db", "django_db_setup"} & set(getattr(item, "fixturenames", ()))
        if not asks and item.get_closest_marker("django_db") is None:
            item.add_marker("look")
    yield
    items.sort(key=lambda item: (_empties_tables(item), item.get_closest_marker("slow") is None))


def _empties_tables(item: pytest.Item) -> bool:
    asked = item.get_closest_marker("django_db")
    fixtures = {"live_server", "transactional_db"} & set(getattr(item, "fixturenames", ()))
    return bool(fixtures) or (asked is not None and bool(asked.kwargs.get("transaction")))


@pytest.fixture(scope="session", autouse=True)
def _each_plan_is_taken_off_once() -> Iterator[None]:
    """The engine is pure and what it hands back is frozen: the few plans that most tests lock are worked out once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plans, "compute", lru_cache(maxsize=KEPT)(plans.compute))
        patch.setattr(plans, "facts_of", _once_each(plans.facts_of))
        frozen = _once_each(lambda takeoff, work=plans.frozen_to_json: pickle.dumps(work(takeoff)))
        patch.setattr(plans, "frozen_to_json", lambda takeoff: pickle.loads(frozen(takeoff)))
        yield


def _once_each(work: Callable[[Takeoff], Any]) -> Callable[[Takeoff], Any]:
    """The same, asked once of each takeoff while it is kept."""
    kept: dict[int, tuple[Takeoff, Any]] = {}

    def answer(takeoff: Takeoff) -> Any:
        if id(takeoff) not in kept:
            if len(kept) >= KEPT:
                kept.clear()
            kept[id(takeoff)] = takeoff, work(takeoff)
        return kept[id(takeoff)][1]

    return answer


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
