"""`python3 manage.py test`: the whole pytest suite on the embedded database, then on PostgreSQL."""

import argparse
import os
import subprocess
import sys
import time

from django.conf import settings
from django.core.management.base import BaseCommand

from foundation import bootstrap

#: The engine knows no database, and how a page or a sheet looks does not depend on it: a run on two of them tries
#: both once.
ENGINE_TESTS = "tests/takeoff"
LOOKS = "not look"
DATABASES = {"sqlite": ["sqlite"], "postgres": ["postgres"], "both": ["sqlite", "postgres"]}


class Command(BaseCommand):
    """Runs pytest in place of Django's own test runner."""

    help = "Runs the whole pytest suite, on SQLite and then on PostgreSQL, browser tests included."

    def run_from_argv(self, argv: list[str]) -> None:
        """Takes --db for itself and hands every other argument to pytest."""
        parser = argparse.ArgumentParser(
            prog="manage.py test", description=self.help, epilog="Every other argument goes to pytest."
        )
        parser.add_argument("--db", choices=DATABASES, default="both", help="which database to run on (both)")
        options, rest = parser.parse_known_args(argv[2:])
        sys.exit(run(DATABASES[options.db], rest, in_ci=os.environ.get("CI") == "true"))


def run(databases: list[str], rest: list[str], in_ci: bool) -> int:
    """Runs pytest once per database; 0 when all passed. What could not be run is said, and fails in CI."""
    not_run = []
    wanted: list[str] = []
    if bootstrap.find_chromium() is None:
        not_run.append("browser tests: there is no Chromium on this machine")
        wanted = ["not browser"]
    results: dict[str, int] = {}
    for name in databases:
        started = time.monotonic()
        again = bool(results) and not rest
        marks = " and ".join([*wanted, LOOKS] if again else wanted)
        chosen = (["-m", marks] if marks else []) + (["--ignore", ENGINE_TESTS] if again else [])
        code = subprocess.call(command_line(name, chosen, rest), cwd=settings.BASE_DIR)
        if code == bootstrap.NO_POSTGRES:
            not_run.append("tests on PostgreSQL: it could not be started, see above")
        else:
            results[name] = code
            print(f"{name}: {'passed' if code == 0 else 'FAILED'} in {time.monotonic() - started:.0f} s", flush=True)
    for line in not_run:
        print(f"NOT RUN {line}", flush=True)
    return int(any(results.values()) or not results or (in_ci and bool(not_run)))


def command_line(database: str, chosen: list[str], rest: list[str]) -> list[str]:
    """pytest on `database`; the whole suite is shared by the cores, a part named by the caller is not."""
    shared = [] if rest else ["-n", str(min(os.cpu_count() or 1, 4)), "--dist", "worksteal"]
    return [sys.executable, "-m", "pytest", "--on", database, *chosen, *shared, *rest]
