"""The plan document as a form: every field's name is its address in the document, ``walks.0.legs.3.length``.

:func:`to_fields` and :func:`from_fields` are inverse: whatever was typed, right or wrong, comes back as typed. What a
form has no field for (from an imported file) travels along unseen, so that saving a page loses nothing. Nothing is
judged here; :func:`takeoff.planfile.read_plan` does that, and its problems find their fields by the same addresses.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from jobs.plan_fields import TURNS, WALKED, Entry, Kind, Shape
from takeoff.fields import Fields
from takeoff.planread import read_turn
from takeoff.problems import Problem

Document = dict[str, Any]

#: Hidden field of an object: what the form has no field for, as JSON; its being there says that the object is.
REST = "_rest"
#: Choice of a turn that none of the buttons makes; the angle is typed beside it.
OTHER = "other"
#: Angle typed beside the buttons.
TURN_OTHER = "turn_other"
#: Keys of a draft that are no part of the plan: which page wrote it last, and what was set aside.
PAGE, ASIDE = "_page", "_set_aside"


# -- document -> fields ------------------------------------------------------------------------------
def to_fields(document: Any, shape: Shape = WALKED) -> dict[str, str]:
    """Every field of the form with its text; empty where nothing is typed."""
    return dict(_object(document if isinstance(document, dict) else {}, shape, "", top=True))


def _object(value: Document, shape: Shape, path: str, top: bool = False) -> Iterator[tuple[str, str]]:
    rest = {k: v for k, v in value.items() if v is not None}
    for entry in shape.entries:
        text = _text(rest.get(entry.name), entry.kind)
        if text is not None:
            rest.pop(entry.name, None)
        yield from _written(entry, text or "", _join(path, entry.name))
    for name, part in shape.parts.items():
        inner = rest.get(name)
        if isinstance(inner, dict):
            rest.pop(name)
        yield from _object(inner if isinstance(inner, dict) else {}, part, _join(path, name))
    for name, places in shape.word_lists.items():
        listed = rest.get(name)
        fits = isinstance(listed, list) and len(listed) <= places and all(isinstance(x, str) for x in listed)
        listed = rest.pop(name) if fits else []
        for k in range(places):
            yield f"{_join(path, name)}.{k}", listed[k] if k < len(listed) else ""
    for name, item in shape.lists.items():
        listed = rest.get(name)
        if isinstance(listed, list) and all(isinstance(x, dict) for x in listed):
            rest.pop(name)
            for k, each in enumerate(listed):
                yield from _object(each, item, f"{_join(path, name)}.{k}")
    if not top:
        yield _join(path, REST), json.dumps(rest) if rest else ""


def _written(entry: Entry, text: str, path: str) -> Iterator[tuple[str, str]]:
    if entry.kind is not Kind.TURN:
        yield path, text
        return
    on_button = text == "" or degrees(text) in TURNS
    yield path, text if on_button else OTHER
    yield path.removesuffix(entry.name) + TURN_OTHER, "" if on_button or text == OTHER else text


def _text(value: Any, kind: Kind) -> str | None:
    """What stands in the field; None where the value is no text (nor a number where one belongs)."""
    if isinstance(value, str):
        return value
    if kind is Kind.FLAG and isinstance(value, bool):
        return json.dumps(value)
    if kind is Kind.LENGTHS and isinstance(value, list) and all(isinstance(x, str) for x in value):
        return ", ".join(value)
    if kind in (Kind.NUMBER, Kind.TURN) and isinstance(value, int | float) and not isinstance(value, bool):
        return json.dumps(value)
    return None


def degrees(text: str) -> float | None:
    """The turn a text means, None where it means none."""
    found: list[Problem] = []
    value = read_turn(Fields({"turn": _number(text)}, "", "Leg", found), last_of_spur=True)
    return None if found else value


def _join(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


# -- fields -> document ------------------------------------------------------------------------------
_WHOLE = re.compile(r"^[+-]?\d{1,12}$")
_DECIMAL = re.compile(r"^[+-]?(\d{1,12}(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?$")


def from_fields(data: Mapping[str, str], shape: Shape = WALKED) -> Document:
    """The document that was typed. Empty fields are left out; what is no number where one belongs stays text."""
    return _read(_tree(data), shape)


def _tree(data: Mapping[str, str]) -> dict[str, Any]:
    """Names with dots as nested objects; a name that is both a field and an object is taken as the object."""
    root: dict[str, Any] = {}
    for name, text in data.items():
        *way, last = name.split(".")
        node = root
        for step in way[:12]:
            inner = node.get(step)
            if not isinstance(inner, dict):
                inner = node[step] = {}
            node = inner
        if not isinstance(node.get(last), dict):
            node[last] = text
    return root


def _read(node: Mapping[str, Any], shape: Shape) -> Document:
    out: Document = _rest_of(node)
    for entry in shape.entries:
        value = _typed(node, entry)
        if value is not None:
            out[entry.name] = value
    for name, part in shape.parts.items():
        inner = _read(node[name], part) if isinstance(node.get(name), dict) else {}
        if inner:
            out[name] = inner
    for name in shape.word_lists:
        texts = [text for _, text in _numbered(node.get(name)) if isinstance(text, str)]
        while texts and not texts[-1].strip():
            texts.pop()
        if texts:
            out[name] = texts
    for name, item in shape.lists.items():
        items = [_read(each, item) for _, each in _numbered(node.get(name)) if isinstance(each, dict)]
        if items:
            out[name] = items
    return out


def _rest_of(node: Mapping[str, Any]) -> Document:
    text = node.get(REST)
    if not isinstance(text, str) or not text:
        return {}
    try:
        rest = read_json(text)
    except ValueError:
        return {}
    return rest if isinstance(rest, dict) else {}


def _numbered(node: Any) -> list[tuple[int, Any]]:
    """The members of a list, in order of their numbers."""
    if not isinstance(node, dict):
        return []
    return sorted(((int(k), v) for k, v in node.items() if k.isdecimal() and len(k) <= 4), key=lambda kv: kv[0])


def _typed(node: Mapping[str, Any], entry: Entry) -> Any:
    text = node.get(entry.name)
    if not isinstance(text, str):
        return None
    if entry.kind is Kind.TURN and text == OTHER:
        text = node.get(TURN_OTHER) or OTHER
    if not isinstance(text, str) or not text.strip():
        return None
    text = text.replace("\0", "")
    if entry.kind is Kind.FLAG:
        return {"true": True, "false": False}.get(text, text)
    return _number(text) if entry.kind in (Kind.NUMBER, Kind.TURN) else text


def _number(text: str) -> int | float | str:
    """A number where the text is one, else the text."""
    said = text.strip().replace("−", "-")
    if _WHOLE.match(said):
        return int(said)
    if _DECIMAL.match(said) and math.isfinite(float(said)):
        return float(said)
    return text


# -- JSON from outside ---------------------------------------------------------------------------------
DEEPEST, LONGEST_TEXT, MOST_VALUES = 12, 2000, 30_000


def read_json(text: str) -> Any:
    """JSON that can be stored and shown: finite numbers, no hidden characters, not too deep, not too much.

    Raises ValueError with a sentence for a person."""
    try:
        value = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as trouble:
        raise ValueError(f"This is not a JSON file (line {trouble.lineno}); export the plan again.") from None
    except RecursionError:
        raise ValueError("This file nests too deeply to be a plan.") from None
    _check_values(value)
    return value


def _no_constant(name: str) -> None:
    raise ValueError(f"“{name}” is not a number; every number of a plan is finite.")


def _check_values(value: Any) -> None:
    waiting, seen = [(value, 0)], 0
    while waiting:
        node, depth = waiting.pop()
        seen += 1
        if depth > DEEPEST or seen > MOST_VALUES:
            raise ValueError("This file nests too deeply or holds too much to be a plan.")
        if isinstance(node, dict):
            waiting += [(item, depth + 1) for pair in node.items() for item in pair]
        elif isinstance(node, list):
            waiting += [(item, depth + 1) for item in node]
        elif isinstance(node, str):
            _check_text(node)
        elif isinstance(node, int | float) and not -1e15 < node < 1e15:
            raise ValueError("A number in this file is too large to belong to a house.")


def _check_text(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"A text in this file has {len(text)} characters; at most {LONGEST_TEXT} are accepted.")
    if "\0" in text or any("\ud800" <= c <= "\udfff" for c in text):
        raise ValueError("A text in this file has characters that cannot be shown.")


# -- addresses -----------------------------------------------------------------------------------------
def value_at(document: Any, path: str) -> Any:
    """What stands at an address, None where there is nothing."""
    node = document
    for step in path.split(".") if path else ():
        if isinstance(node, dict):
            node = node.get(step)
        elif isinstance(node, list) and step.isdecimal() and int(step) < len(node):
            node = node[int(step)]
        else:
            return None
    return node


def plan_part(document: Document) -> Document:
    """The document without what only the draft needs."""
    return {k: v for k, v in document.items() if k not in (PAGE, ASIDE)}


_SUFFIXES = ("in", "ft", "mm", "m")


def spoken(document: Any, shape: Shape = WALKED) -> Any:
    """A document with lengths given as numbers (``length_mm``) written as text, so that they stand in their fields."""
    if not isinstance(document, dict):
        return document
    out = dict(document)
    for entry in shape.entries:
        if entry.kind not in (Kind.LENGTH, Kind.LEVEL) and entry.name != "core":
            continue
        for suffix in _SUFFIXES:
            value = out.get(f"{entry.name}_{suffix}")
            if entry.name not in out and isinstance(value, int | float) and not isinstance(value, bool):
                said = json.dumps(value)
                if _DECIMAL.match(said) and "e" not in said.lower():
                    out[entry.name] = f"{said} {suffix}"
                    del out[f"{entry.name}_{suffix}"]
    for name, part in shape.parts.items():
        if name in out:
            out[name] = spoken(out[name], part)
    for name, item in shape.lists.items():
        if isinstance(out.get(name), list):
            out[name] = [spoken(each, item) for each in out[name]]
    return out
