"""Reads the published values of pour day carried beside these tests; each says its source and whether it was read,
computed from a printed formula, or is from memory."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

_CASES = json.loads((Path(__file__).parent / "pour_day_cases.json").read_text(encoding="utf-8"))
_BY_ID = {case["id"]: case for case in _CASES}


def case(name: str) -> SimpleNamespace:
    """Inputs and expected value of one published case."""
    found: dict[str, Any] = _BY_ID[name]
    return SimpleNamespace(
        **{k: v for k, v in found.items() if k != "inputs"}, inputs=SimpleNamespace(**found["inputs"])
    )


def params(*names: str) -> list[Any]:
    """Cases as parameters; the id says which, from where, and how the value came."""
    return [pytest.param(case(n), id=f"{n} {_BY_ID[n]['source'][:48]} ({_BY_ID[n]['basis']})") for n in names]
