"""Names that others lean on: a spur hangs on a leg, a closing choice names a ring and two legs.

A page of the plan says beside each name what it was when the page was made (``walks.0.legs.3._was``); what leans on a
name says it as it was then too. So a name can be typed anew, letter by letter or in one go, and what leans on it goes
along.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

Document = dict[str, Any]

#: Hidden field beside a name: what it was when the page was made.
WAS = "_was"


def carry(document: Document, data: Mapping[str, str]) -> Document:
    """The document, as typed, with renamed walks and legs called by their new names wherever they are leaned on."""
    walks = [(f"walks.{k}", walk) for k, walk in _numbered(document.get("walks"))]
    legs = [(f"{path}.legs.{n}", leg) for path, walk in walks for n, leg in _numbered(walk.get("legs"))]
    walk_names, leg_names = _renamed(walks, data), _renamed(legs, data)
    for _, walk in walks:
        for end in ("starts_on", "ends_on"):
            _follow(walk.get(end), "leg", leg_names)
    for _, choice in _numbered(document.get("closure")):
        _follow(choice, "walk", walk_names)
        if isinstance(choice.get("legs"), list):
            choice["legs"] = [leg_names.get(name, name) if isinstance(name, str) else name for name in choice["legs"]]
    return document


def _renamed(things: Iterable[tuple[str, Document]], data: Mapping[str, str]) -> dict[str, str]:
    """New names by old ones. A name that some thing keeps, or that two things had, leads nowhere else."""
    new: dict[str, set[str]] = {}
    for path, thing in things:
        was, name = data.get(f"{path}.{WAS}", ""), thing.get("name")
        if was:
            new.setdefault(was, set()).add(name if isinstance(name, str) else was)
    return {was: names.pop() for was, names in new.items() if len(names) == 1}


def _follow(holder: Any, field: str, names: Mapping[str, str]) -> None:
    if isinstance(holder, dict) and isinstance(holder.get(field), str):
        holder[field] = names.get(holder[field], holder[field])


def _numbered(items: Any) -> Iterator[tuple[int, Document]]:
    return ((k, item) for k, item in enumerate(items if isinstance(items, list) else []) if isinstance(item, dict))
