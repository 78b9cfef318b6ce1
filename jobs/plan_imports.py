"""Reading an uploaded plan file: judged by what is in it, refused in a sentence, never run or shown as a page."""

from __future__ import annotations

from typing import Any

from jobs import details, form_data
from jobs.models import FormSystemRecord, House
from jobs.plan_forms import Document, read_json, spoken
from takeoff.planfile import read_plan
from takeoff.planparts import MOST_PADS
from takeoff.planread import MOST_LEGS, MOST_WALKS, SCHEMA, VERSION

#: Larger files are no plans [bytes].
LARGEST = 1_000_000


class NotAPlan(ValueError):  # noqa: N818 - named for what it tells
    """A file that is no plan; the message is a sentence for the person."""


def read_file(content: bytes) -> Document:
    """The plan document in a file. What is wrong with single fields does not matter here: it is typed in, right or
    wrong, and told beside its field. Raises :class:`NotAPlan`."""
    if len(content) > LARGEST:
        raise NotAPlan(too_large(len(content)))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotAPlan("The file is not text; choose a plan file that was exported here, ending in .json.") from None
    return read_text(text)


def too_large(size: int) -> str:
    """What is said of a file of too many bytes."""
    return f"The file has {size:,} bytes; a plan file is small, at most {LARGEST:,} are accepted."


def read_text(text: str) -> Document:
    """The plan document in a text. Raises :class:`NotAPlan`."""
    try:
        value = read_json(text)
    except ValueError as trouble:
        raise NotAPlan(str(trouble)) from None
    if not isinstance(value, dict):
        raise NotAPlan("The file holds no plan: a plan is one JSON object with its walks in it.")
    if value.get("schema") != SCHEMA:
        raise NotAPlan(f"The file is not a plan that was exported here: its “schema” must be “{SCHEMA}”.")
    if isinstance(value.get("version"), bool) or value.get("version") != VERSION:
        raise NotAPlan(f"The file is a plan of another version; version {VERSION} is read here.")
    _check_counts(value)
    return {k: v for k, v in spoken(value).items() if not k.startswith("_") and v is not None}


def _check_counts(value: Document) -> None:
    walks = value.get("walks")
    if not isinstance(walks, list) or not all(isinstance(walk, dict) for walk in walks):
        raise NotAPlan("The file's walks are not a list of walks.")
    legs: list[Any] = []
    for walk in walks:
        found = walk.get("legs")
        if not isinstance(found, list) or not all(isinstance(leg, dict) for leg in found):
            raise NotAPlan("A walk in the file has no list of legs.")
        legs += found
    if len(walks) > MOST_WALKS or len(legs) > MOST_LEGS:
        have = f"{len(walks)} walks and {len(legs)} legs"
        raise NotAPlan(f"The file has {have}; at most {MOST_WALKS} walks and {MOST_LEGS} legs fit.")
    parts = ("openings", "steps", "ledges", "beam_pockets")
    if sum(len(leg[name]) for leg in legs for name in parts if isinstance(leg.get(name), list)) > 800:
        raise NotAPlan("The file has more than 800 openings, steps, ledges and pockets; no house has so many.")
    for name, most in (("sections", 40), ("closure", 40), ("forms", 40), ("pads", MOST_PADS)):
        if name in value and (not isinstance(value[name], list) or len(value[name]) > most):
            raise NotAPlan(f"The file's {name} must be a list of at most {most}.")


def is_begun(document: Document) -> bool:
    """Whether something is walked in a draft, so that it must not be replaced unasked."""
    walks = document.get("walks")
    legs = [leg for w in walks if isinstance(w, dict) for leg in w.get("legs") or []] if isinstance(walks, list) else []
    return any(isinstance(leg, dict) and set(leg) - {"name"} for leg in legs)


def overruled(house: House, document: Document) -> list[str]:
    """What a file says otherwise than the house and the firm, whose word goes: a sentence for each."""
    own = {row.key: form_data.from_data(row.data) for row in FormSystemRecord.objects.filter(firm=house.firm)}
    said = []
    for system in form_data.carried(document):
        if system.key in own and (told := form_data.differences(system, own[system.key])):
            said.append(f"The firm's {own[system.key].name} is used, not the file's: {'; '.join(told.values())}.")
    reading = read_plan({**document, "forms": None})
    if "site" in document and reading.plan is not None:
        told = details.differences(reading.plan.site, house.site, details.SITE_LABELS)
        if told:
            said.append(f"The ground of the house is used, not the file's: {'; '.join(told.values())}.")
    return said
