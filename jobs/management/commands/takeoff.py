"""python manage.py takeoff PLAN.json [--json]: the takeoff of a plan file, without a database or a login."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from takeoff.cli import run


class Command(BaseCommand):
    """Prints the takeoff of a plan file; the exit code is 1 where something stands in its way."""

    help = "Takes off a plan file: quantities with their sums, stage by stage. See takeoff/PLAN_FORMAT.md."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """The file, and whether everything is wanted as JSON."""
        parser.add_argument("plan", help="plan file (JSON)")
        parser.add_argument("--json", action="store_true", dest="as_json", help="everything, unrounded, as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Print it."""
        text, code = run(options["plan"], options["as_json"])
        self.stdout.write(text)
        if code:
            sys.exit(code)
