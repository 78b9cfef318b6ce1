"""`python3 manage.py bench`: how long the slow parts take on this machine, as a table."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from foundation.bench_houses import taken_back
from foundation.measures import measures, table, time
from jobs.exceptions import PdfUnavailable
from jobs.models import Firm


class Command(BaseCommand):
    """Times every measure and prints them beside their limits. It judges nothing: it never fails for being slow."""

    help = (
        "Times the engine, the hand-outs and the board on houses made for it and prints a table. "
        "Nothing is kept of them; on the embedded database others wait with writing while it runs."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Adds --times."""
        parser.add_argument("--times", type=int, default=5, help="how often each is run (5)")

    def handle(self, *args: Any, times: int, **options: Any) -> None:
        """Prints the table."""
        if Firm._meta.db_table not in connection.introspection.table_names():
            call_command("migrate", verbosity=0, interactive=False)  # a machine on which nothing was started yet
        try:
            with taken_back():
                timings = [time(measure, max(times, 1)) for measure in measures()]
        except PdfUnavailable as missing:
            raise CommandError(str(missing)) from missing
        self.stdout.write(table(timings))
