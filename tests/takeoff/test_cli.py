"""The takeoff at the command line: problems first, every sum in words, JSON unrounded, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from takeoff.cli import run
from takeoff.compute import compute
from takeoff.plan import Plan
from takeoff.planfile import write_plan
from tests.takeoff import plans


def saved(folder: Path, plan: Plan) -> str:
    """The plan in a file."""
    path = folder / "plan.json"
    path.write_text(json.dumps(write_plan(plan)), encoding="utf-8")
    return str(path)


def test_the_table_shows_every_stage_section_and_sum(tmp_path: Path) -> None:
    text, code = run(saved(tmp_path, plans.garage()))
    assert code == 0
    titles = ("1 Footing", "2 Frost wall", "3 Backfill of frost wall", "4 Full-height wall", "5 Waterproofing")
    places = [text.index(f"\n{title}\n=") for title in (*titles, "6 Final backfill")]
    assert places == sorted(places)
    assert "Garage frost wall\n-" in text and "To be found on site" in text
    for quantity in compute(plans.garage()).quantities:
        assert quantity.label in text
        assert f"{quantity.amount:,.2f} {quantity.unit}" in text
    assert max(len(line) for line in text.splitlines() if line.startswith("      ")) <= 120


def test_problems_come_before_the_table(tmp_path: Path) -> None:
    text, code = run(saved(tmp_path, plans.bay()))
    assert code == 0
    assert text.index("Note: Ring house ends") < text.index("1 Footing")


def test_json_holds_everything_unrounded(tmp_path: Path) -> None:
    text, code = run(saved(tmp_path, plans.walkout()), as_json=True)
    out, result = json.loads(text), compute(plans.walkout())
    assert code == 0
    assert [q["amount"] for q in out["quantities"]] == [q.amount for q in result.quantities]
    assert [c["value"] for c in out["criteria"]] == [c.value for c in result.criteria]
    assert sum(u["count"] for u in out["units"]) == sum(unit.counted for unit in result.units)
    assert {q["unit"] for q in out["quantities"]} == {q.unit.value for q in result.quantities}


@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
def test_a_blocker_ends_with_one_and_its_sentence(tmp_path: Path, as_json: bool) -> None:
    text, code = run(saved(tmp_path, plans.rectangle(wall_top=plans.at("85-0"))), as_json)
    assert code == 1
    sentences = [p["sentence"] for p in json.loads(text)["problems"]] if as_json else text.splitlines()
    assert any("Leg A: top of wall 85'-0\" must be above its footing top 86'-0\"" in s for s in sentences)
    assert "quantities" not in text


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (None, "cannot be read: No such file"),
        (b"{ not json", "is not a JSON file (line 1)"),
        (b"\xff\xfe", "is not a JSON file"),
        (b"[" * 100_000, "is not a JSON file"),
        (b"[]", "A plan document must be an object, not a list."),
        (b" " * 5_000_001, "is larger than 5 MB"),
    ],
    ids=["missing", "broken", "no text", "too deep", "a list", "too large"],
)
@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
def test_a_file_that_is_no_plan_gets_a_sentence(
    tmp_path: Path, content: bytes | None, said: str, as_json: bool
) -> None:
    path = tmp_path / "plan.json"
    if content is not None:
        path.write_bytes(content)
    text, code = run(str(path), as_json)
    assert code == 1
    assert said in (json.loads(text)["problems"][0]["sentence"] if as_json else text)
