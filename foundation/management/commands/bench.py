"""`python3 manage.py bench`: how long the slow parts take on this machine, as a table."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from foundation.measures import measures, table, time


class Command(BaseCommand):
    """Times every measure and prints them beside their limits. It judges nothing: it never fails for being slow."""

    help = "Times the engine and the hand-outs on the largest house there is and prints a table."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Adds --times."""
        parser.add_argument("--times", type=int, default=5, help="how often each is run (5)")

    def handle(self, *args: Any, times: int, **options: Any) -> None:
        """Prints the table."""
        timings = [time(measure, max(times, 1)) for measure in measures()]
        if not timings:
            raise CommandError("There is no house with a locked plan to measure. Run: python3 manage.py demo")
        self.stdout.write(table(timings))
