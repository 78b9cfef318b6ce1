"""Prints the declared process."""

from typing import Any

from django.core.management.base import BaseCommand

from inspections.sheet import process_sheet


class Command(BaseCommand):
    """What must be released in each stage, by whom, on what evidence."""

    help = "Prints the stages with their hold and witness points, as the program holds the job."
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        """Prints the sheet."""
        self.stdout.write(process_sheet(), ending="")
