"""What the buttons of the plan page do to a plan document: add, take out, move, copy. Pure; nothing is stored here."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count
from typing import Any

from jobs.exceptions import Refused
from jobs.plan_forms import value_at

Document = dict[str, Any]

_LISTS = re.compile(
    r"^(sections|closure|pads|walks|walks\.\d{1,3}\.legs|walks\.\d{1,3}\.legs\.\d{1,4}\.(openings|steps|ledges|beam_pockets))$"
)
#: What a list holds, for sentences and buttons.
WHAT = {
    "sections": "section",
    "closure": "closing choice",
    "pads": "pad",
    "walks": "walk",
    "legs": "leg",
    "openings": "opening",
    "steps": "step",
    "ledges": "ledge",
    "beam_pockets": "beam pocket",
}
MOST = {"sections": 40, "closure": 40, "pads": 60, "walks": 40, "legs": 200, "openings": 40, "steps": 40, "ledges": 20}


@dataclass(frozen=True, slots=True)
class Edited:
    """The document after a button, the address to look at next, and what was taken out (to be put back)."""

    document: Document
    at: str = ""
    taken: Any = None
    said: str = ""


def edit(document: Document, do: str) -> Edited:
    """Do what a button names: 'add:walks.0.legs', 'after:walks.0.legs.3', 'copy:', 'remove:', 'up:', 'down:' and
    'spur:walks'. Raises :class:`Refused` for anything else, and where there is no such thing any more."""
    verb, _, path = do.partition(":")
    out = copy.deepcopy(document)
    if verb in ("add", "ring", "spur"):
        return _add(out, path, verb)
    holder, _, place = path.rpartition(".")
    items = _items(out, holder)
    if not place.isdecimal() or int(place) >= len(items):
        raise Refused("That is not there any more; nothing was changed.")
    return _at(out, verb, holder, items, int(place))


def _at(out: Document, verb: str, holder: str, items: list[Any], place: int) -> Edited:
    if verb == "remove":
        taken = items.pop(place)
        said = called(holder, taken)
        return Edited(out, holder, taken, f"{said[0].upper()}{said[1:]} is taken out.")
    if verb in ("up", "down"):
        other = place + (-1 if verb == "up" else 1)
        if 0 <= other < len(items):
            items[place], items[other] = items[other], items[place]
            return Edited(out, f"{holder}.{other}")
        return Edited(out, f"{holder}.{place}")
    if verb in ("copy", "after"):
        _check_room(out, holder)
        fresh = copy.deepcopy(items[place]) if verb == "copy" else {}
        _rename(out, holder, fresh)
        items.insert(place + 1, fresh)
        return Edited(out, f"{holder}.{place + 1}")
    raise Refused("This button is not known; reload the page.")


def put_back(document: Document, holder: str, place: int, item: Any) -> Edited:
    """Put what was taken out back where it was, or at the end where that place is gone."""
    out = copy.deepcopy(document)
    items = _items(out, holder, make=True)
    _check_room(out, holder)
    at = min(place, len(items))
    items.insert(at, copy.deepcopy(item))
    return Edited(out, f"{holder}.{at}")


def called(holder: str, item: Any) -> str:
    """What something in a list is called in a sentence: 'leg C', 'opening W1', 'the step'."""
    what, name = WHAT[holder.rpartition(".")[2]], item.get("name") if isinstance(item, dict) else None
    return f"{what} {name}" if isinstance(name, str) else f"the {what}"


def _items(document: Document, holder: str, make: bool = False) -> list[Any]:
    """The list at an address. Raises :class:`Refused` where there is none."""
    if not _LISTS.match(holder):
        raise Refused("This button is not known; reload the page.")
    parent, _, name = holder.rpartition(".")
    owner = value_at(document, parent)
    if isinstance(owner, dict):
        if make and owner.get(name) is None:
            owner[name] = []
        if isinstance(owner.get(name), list):
            found: list[Any] = owner[name]
            return found
    raise Refused("That is not there any more; nothing was changed.")


def _check_room(document: Document, holder: str) -> None:
    name = holder.rpartition(".")[2]
    have = len(_legs(document)) if name == "legs" else len(value_at(document, holder) or [])
    if have >= MOST.get(name, 40):
        raise Refused(f"There are {have} {WHAT[name]}s already; more do not fit into one plan.")


def _add(out: Document, holder: str, verb: str) -> Edited:
    items = _items(out, holder, make=True)
    _check_room(out, holder)
    fresh: Document = {}
    _rename(out, holder, fresh)
    if holder == "walks":
        fresh |= {"kind": "spur" if verb == "spur" else "ring", "legs": []}
        items.append(fresh)
        first: Document = {}
        _rename(out, f"walks.{len(items) - 1}.legs", first)
        fresh["legs"].append(first)
        return Edited(out, f"walks.{len(items) - 1}")
    items.append(fresh)
    return Edited(out, f"{holder}.{len(items) - 1}")


# -- names --------------------------------------------------------------------------------------------
def _rename(document: Document, holder: str, item: Document) -> None:
    """Give a new or copied thing a name of its own."""
    kind = holder.rpartition(".")[2]
    if kind == "legs":
        item["name"] = _first_free(_letters(), (leg.get("name") for leg in _legs(document)))
        for opening in item.get("openings") or []:
            if isinstance(opening, dict):
                opening["name"] = _next_opening(document, item)
    elif kind == "openings":
        item.setdefault("kind", "window")
        item["name"] = _next_opening(document)
    elif kind == "beam_pockets":
        taken = (p.get("name") for leg in _legs(document) for p in _dicts(leg.get("beam_pockets")))
        item["name"] = _first_free((f"P{n}" for n in count(1)), taken)
    elif kind == "pads":
        item["name"] = _first_free((f"F{n}" for n in count(1)), (p.get("name") for p in _dicts(document.get("pads"))))
    elif kind == "walks":
        taken = (w.get("name") for w in _dicts(document.get("walks")))
        names = ("house", *(f"walk {n}" for n in range(2, 100)))
        item["name"] = _first_free(iter(names), taken)
    elif kind == "sections":
        keys = [s.get("key") for s in _dicts(document.get("sections"))]
        item["key"] = _first_free((f"section-{n}" for n in count(1)), keys)
        item["name"] = f"Section {len(keys) + 1}"
    elif kind == "closure":
        rings = [w.get("name") for w in _dicts(document.get("walks")) if w.get("kind") != "spur"]
        item.setdefault("walk", rings[0] if rings and isinstance(rings[0], str) else "")


def _next_opening(document: Document, also: Document | None = None) -> str:
    legs = [*_legs(document), *([also] if also else [])]
    return _first_free(
        (f"W{n}" for n in count(1)), (o.get("name") for leg in legs for o in _dicts(leg.get("openings")))
    )


def _first_free(names: Iterator[str], taken: Iterable[Any]) -> str:
    used = {str(name).casefold() for name in taken}
    return next(name for name in names if name.casefold() not in used)


def _letters() -> Iterator[str]:
    """A, B ... Z, AA, AB ..."""
    for n in count(1):
        text, rest = "", n
        while rest:
            rest, digit = divmod(rest - 1, 26)
            text = chr(ord("A") + digit) + text
        yield text


def _dicts(value: Any) -> list[Document]:
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []


def _legs(document: Document) -> list[Document]:
    return [leg for walk in _dicts(document.get("walks")) for leg in _dicts(walk.get("legs"))]


def new_document(title: str, form: str = "", core: str = "") -> Document:
    """An empty plan to begin with: one section, one ring, its first leg."""
    defaults = {"form": form, "core": core} if form else {}
    return {
        "schema": "wall-walk",
        "version": 1,
        "title": title,
        "bare_numbers_are": "in",
        **({"leg_defaults": {k: v for k, v in defaults.items() if v}} if defaults else {}),
        "sections": [{"key": "main", "name": "Main"}],
        "walks": [{"name": "house", "kind": "ring", "legs": [{"name": "A"}]}],
    }
