"""Reads the worked examples of forms and bars carried beside these tests."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

_DATA = json.loads((Path(__file__).parent / "blocks_and_bars.json").read_text(encoding="utf-8"))


def case(name: str) -> tuple[SimpleNamespace, SimpleNamespace]:
    """Inputs and results of one worked example."""
    found = _DATA["cases"][name]
    return SimpleNamespace(**found["inputs"]), SimpleNamespace(**found["results"])
