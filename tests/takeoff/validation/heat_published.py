"""Reads the published values of heat, maturity and frost carried beside these tests; each says its source and whether
it was read, computed from a printed formula, or is from memory."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

_BY_ID = {c["id"]: c for c in json.loads((Path(__file__).parent / "heat_cases.json").read_text(encoding="utf-8"))}


def case(name: str) -> SimpleNamespace:
    """Inputs and expected value of one published case."""
    found: dict[str, Any] = _BY_ID[name]
    return SimpleNamespace(
        **{k: v for k, v in found.items() if k != "inputs"}, inputs=SimpleNamespace(**found["inputs"])
    )


def params(*names: str) -> list[Any]:
    """Cases as parameters; the id says which, from where, and how the value came."""
    return [pytest.param(case(n), id=f"{n} {_BY_ID[n]['source'][:48]} ({_BY_ID[n]['basis']})") for n in names]
