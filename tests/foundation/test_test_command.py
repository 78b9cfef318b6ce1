"""`manage.py test`: which databases it runs on, and what it runs once only."""

import pytest

from foundation.management.commands import test as command


@pytest.fixture
def ran(monkeypatch) -> list[list[str]]:
    """Command lines that would have been run."""
    lines: list[list[str]] = []
    monkeypatch.setattr(command.subprocess, "call", lambda line, cwd: lines.append(line) or 0)
    monkeypatch.setattr(command.bootstrap, "find_chromium", lambda: "/usr/bin/chromium")
    return lines


def test_the_engine_is_tried_once_and_everything_else_on_both_databases(ran):
    assert command.run(["sqlite", "postgres"], [], in_ci=True) == 0
    assert [line[line.index("--on") + 1] for line in ran] == ["sqlite", "postgres"]
    assert [command.ENGINE_TESTS in line for line in ran] == [False, True]
    assert ["not look" in line for line in ran] == [False, True]


def test_what_only_looks_is_left_out_beside_what_cannot_run(ran, monkeypatch):
    monkeypatch.setattr(command.bootstrap, "find_chromium", lambda: None)
    command.run(["sqlite", "postgres"], [], in_ci=False)
    assert [line[line.index("-m", 3) + 1] for line in ran] == ["not browser", "not browser and not look"]


def test_what_the_caller_names_is_run_on_every_database(ran):
    command.run(["sqlite", "postgres"], ["tests/takeoff"], in_ci=True)
    assert [line.count("tests/takeoff") for line in ran] == [1, 1]
    assert all("--ignore" not in line and "not look" not in line for line in ran)


def test_a_missing_browser_is_said_and_fails_where_everything_must_run(ran, monkeypatch, capsys):
    monkeypatch.setattr(command.bootstrap, "find_chromium", lambda: None)
    assert command.run(["sqlite"], [], in_ci=True) == 1
    assert command.run(["sqlite"], [], in_ci=False) == 0
    assert "NOT RUN browser tests" in capsys.readouterr().out
