"""Fills an empty database with an invented firm and three houses, prints the logins, and serves."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.hashers import make_password
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser
from django.db import transaction
from django.utils import timezone

from inspections.demo.decision import decide_footing
from inspections.demo.houses import tell
from inspections.demo.story import People
from inspections.demo.winter import give_weather
from jobs import actions
from jobs.models import Firm, Person

PASSWORD = "frost-line-48"
#: Enough for a house at a time, a few short where two full walls stand at once.
BRACES_OWNED = 84
CAST = {
    "builder": ("maren@oldacre.example", "Maren Oldacre", "555-0141"),
    "field_lead": ("tobias@oldacre.example", "Tobias Reedmarsh", "555-0142"),
    "inspector": ("ines@tamarackfork.example", "Ines Callowmere", "555-0160"),
    "engineer": ("priya@vantonger.example", "Priya Vantonger, PE", "555-0175"),
    "surveyor": ("walt@ekersby.example", "Walt Ekersby, PLS", "555-0183"),
}
SHOWN = (("builder", "builder"), ("field_lead", "field lead"), ("inspector", "inspector"))


class Command(BaseCommand):
    """``manage.py demo``: everything a first look needs, in one go."""

    help = "Sets up the embedded database, fills in three invented houses once, prints the logins and serves."

    def add_arguments(self, parser: CommandParser) -> None:
        """Where to serve, or not at all."""
        parser.add_argument("--address", default="127.0.0.1:8000", help="address and port to serve on (127.0.0.1:8000)")
        parser.add_argument("--no-serve", action="store_true", help="only fill the database")

    def handle(self, *args: Any, **options: Any) -> None:
        """Migrate, fill, tell, serve."""
        call_command("migrate", verbosity=0, interactive=False)
        if not Person.objects.filter(email=CAST["builder"][0]).exists():
            self.stdout.write("Filling in three invented houses…")
            fill()
        self.stdout.write(self._welcome(options["address"]))
        if not options["no_serve"]:
            call_command("runserver", options["address"], use_reloader=False)

    def _welcome(self, address: str) -> str:
        lines = ["", f"Footings to Backfill: http://{address}/", "", f"Log in with the password  {PASSWORD}  as"]
        lines += [f"  {CAST[key][0]:<28} {CAST[key][1]}, {word}" for key, word in SHOWN]
        lines += [
            "(an engineer and a surveyor are there too: "
            + ", ".join(CAST[k][0] for k in ("engineer", "surveyor"))
            + ")"
        ]
        return "\n".join([*lines, "Everything in it is invented. Stop with Ctrl-C.", ""])


@transaction.atomic
def fill() -> Firm:
    """The cast, the firm and its three houses."""
    hashed = make_password(PASSWORD)  # once for all: hashing is slow on purpose
    people = People(
        **{
            key: Person.objects.create(email=email, password=hashed, name=name, phone=phone)
            for key, (email, name, phone) in CAST.items()
        }
    )
    firm = actions.add_firm(by=people.builder, name="Oldacre Homes", phone="555-0140")
    actions.count_braces(by=people.builder, firm=firm, braces=BRACES_OWNED)
    today = timezone.localdate()
    houses = tell(firm, people, today)
    give_weather(houses, people.field_lead, today)
    decide_footing(houses[-1], people.builder)
    return firm
