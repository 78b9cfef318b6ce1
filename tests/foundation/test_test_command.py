"""What `manage.py test` runs, and what it says of what it could not."""

import pytest

from foundation import bootstrap
from foundation.management.commands import test as command


@pytest.fixture
def called(monkeypatch):
    """Every pytest that would be run; `called.codes` are the exit codes they end with."""

    class Called(list):
        codes: dict[str, int] = {}

    calls = Called()
    calls.codes = {}

    def call(line, cwd):
        calls.append(line)
        return calls.codes.get(line[line.index("--on") + 1], 0)

    monkeypatch.setattr(command.subprocess, "call", call)
    monkeypatch.setattr(bootstrap, "find_chromium", lambda: "/usr/bin/chromium")
    return calls


def test_the_whole_suite_runs_on_both_databases_shared_by_the_cores(called):
    assert command.run(["sqlite", "postgres"], [], in_ci=True) == 0
    assert [line[4] for line in called] == ["sqlite", "postgres"]
    assert all("-n" in line for line in called)


def test_other_arguments_go_to_pytest(called, monkeypatch):
    with pytest.raises(SystemExit) as ended:
        command.Command().run_from_argv(["manage.py", "test", "--db", "postgres", "tests/jobs", "-k", "plan"])
    assert ended.value.code == 0
    (line,) = called
    assert line[3:] == ["--on", "postgres", "tests/jobs", "-k", "plan"]


@pytest.mark.parametrize("code", [1, 2, 4, 5])
def test_whatever_pytest_ends_with_but_success_fails(called, code):
    called.codes = {"sqlite": code}
    assert command.run(["sqlite", "postgres"], [], in_ci=False) == 1
    assert len(called) == 2


@pytest.mark.parametrize("in_ci", [True, False])
def test_without_a_browser_its_tests_are_named_as_not_run(called, monkeypatch, capsys, in_ci):
    monkeypatch.setattr(bootstrap, "find_chromium", lambda: None)
    assert command.run(["sqlite"], [], in_ci=in_ci) == int(in_ci)
    assert called[0][5:7] == ["-m", "not browser"]
    assert "NOT RUN browser tests: there is no Chromium on this machine" in capsys.readouterr().out


@pytest.mark.parametrize("in_ci", [True, False])
def test_a_postgres_that_does_not_start_is_named(called, capsys, in_ci):
    called.codes = {"postgres": bootstrap.NO_POSTGRES}
    assert command.run(["sqlite", "postgres"], [], in_ci=in_ci) == int(in_ci)
    assert "NOT RUN tests on PostgreSQL" in capsys.readouterr().out


def test_a_run_in_which_nothing_ran_fails(called):
    called.codes = {"postgres": bootstrap.NO_POSTGRES}
    assert command.run(["postgres"], [], in_ci=False) == 1
