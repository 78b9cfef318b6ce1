"""What is done on which machine, decided from facts alone."""

import re
import subprocess
import sys
import tomllib
from dataclasses import replace
from itertools import product

import pytest
from packaging.requirements import Requirement

from foundation import bootstrap
from foundation.bootstrap import Facts, Step, plan

APT = ("env", "DEBIAN_FRONTEND=noninteractive", "apt-get")
READY = Facts(
    command="demo",
    python=(3, 11),
    lock_installed=True,
    environment_exists=True,
    environment_has_pip=True,
    can_make_environments=True,
    has_certificates=True,
    missing=(),
    apt=APT,
)
BARE = replace(
    READY,
    lock_installed=False,
    environment_exists=False,
    environment_has_pip=False,
    can_make_environments=False,
    has_certificates=False,
    missing=("libpango-1.0-0", "libpangoft2-1.0-0"),
)
BARE_FOR_TESTS = replace(BARE, command="test", missing=(*BARE.missing, "libatomic1", "chromium"))


def said(facts: Facts) -> str:
    return "\n".join(step.say for step in plan(facts))


def runs(facts: Facts) -> list[str]:
    return [" ".join(step.run) for step in plan(facts) if step.run]


def test_nothing_to_do_on_a_machine_that_is_ready():
    assert plan(READY) == []
    assert plan(replace(READY, command="test")) == []


def test_a_bare_machine_is_set_up_from_packages_to_lock():
    update, needed, wanted, make, install = runs(BARE)
    assert update.endswith("apt-get update -qq")
    assert needed.endswith(" python3.11-venv ca-certificates")
    assert wanted.endswith(" libpango-1.0-0 libpangoft2-1.0-0")
    assert make.endswith(f"-m venv --clear {bootstrap.ENVIRONMENT}")
    assert "--require-hashes" in install and install.endswith("/requirements.txt")


def test_tests_also_get_a_browser_and_the_development_lock():
    assert any(run.endswith(" libpangoft2-1.0-0 libatomic1 chromium") for run in runs(BARE_FOR_TESTS))
    assert runs(BARE_FOR_TESTS)[-1].endswith("/requirements-dev.txt")


def test_the_package_that_brings_environments_is_named_after_the_python_that_runs():
    assert "python3.13-venv" in said(replace(BARE, python=(3, 13)))


def test_without_rights_the_one_line_to_run_is_said_and_we_stop():
    (step,) = [step for step in plan(replace(BARE, apt=())) if "sudo" in step.say]
    assert step.say.endswith(
        "Run: sudo apt-get install python3.11-venv ca-certificates libpango-1.0-0 libpangoft2-1.0-0"
    )
    assert step.required and not step.run


def test_without_rights_but_with_an_environment_the_command_goes_on():
    steps = plan(replace(READY, apt=(), missing=("libpango-1.0-0",)))
    assert [(step.required, step.run) for step in steps] == [(False, ())]
    assert "hand-outs cannot be made as PDF" in steps[0].say
    assert "browser" not in steps[0].say


def test_a_missing_browser_is_said_to_be_missing_for_browser_tests_only():
    sentence = said(replace(READY, command="test", apt=(), missing=("chromium",)))
    assert "browser tests cannot run" in sentence and "PDF" not in sentence


def test_a_failing_install_of_what_is_only_wanted_does_not_stop_us():
    required = {step.run[-1]: step.required for step in plan(BARE_FOR_TESTS) if "install" in step.run}
    assert required["ca-certificates"] is True
    assert required["chromium"] is False


def test_on_another_system_the_packages_are_named_without_a_command():
    sentence = said(replace(BARE, apt=None))
    assert "what Debian calls: python3.11-venv libpango-1.0-0" in sentence
    assert "apt-get" not in sentence


def test_on_ubuntu_the_driver_fetches_the_browser():
    facts = replace(BARE_FOR_TESTS, is_ubuntu=True)
    assert not any("chromium" in run for run in runs(facts)[:-1])
    assert runs(facts)[-1].endswith("-m playwright install --with-deps chromium")
    last = plan(replace(facts, lock_installed=True, apt=(), missing=("chromium",)))[-1]
    assert last.run == () and "playwright install" in last.otherwise


def test_an_environment_without_pip_gets_pip():
    facts = replace(READY, lock_installed=False, environment_has_pip=False)
    assert "-m ensurepip" in runs(facts)[0] and "--require-hashes" in runs(facts)[1]


def test_a_changed_lock_is_installed_into_the_environment_that_is_there():
    (install,) = runs(replace(READY, lock_installed=False))
    assert "--require-hashes" in install


def test_an_old_python_is_told_what_is_needed():
    (step,) = plan(replace(BARE, python=(3, 10)))
    assert step == Step("This needs Python 3.11 or newer; python3 here is 3.10.", required=True)


@pytest.mark.parametrize("command", ["demo", "test", "migrate"])
def test_whatever_the_facts_every_step_says_something_and_nothing_is_done_twice(command):
    for no_lock, no_environment, no_venv, apt in product([True, False], [True, False], [True, False], [APT, (), None]):
        facts = replace(
            BARE_FOR_TESTS,
            command=command,
            lock_installed=not no_lock,
            environment_exists=not no_environment,
            can_make_environments=not no_venv,
            apt=apt,
        )
        steps = plan(facts)
        assert all(step.say for step in steps)
        assert len(runs(facts)) == len(set(runs(facts)))
        assert all(step.otherwise for step in steps if step.run and step.required)
        assert bool([step for step in steps if "--require-hashes" in step.run]) is no_lock


def test_a_required_step_that_fails_stops_with_what_it_printed(capsys):
    step = Step("Trying ...", (sys.executable, "-c", "print('no such disk'); raise SystemExit(3)"), True, "Buy a disk.")
    with pytest.raises(SystemExit):
        bootstrap.carry_out(step)
    assert capsys.readouterr().out == "Trying ...\nno such disk\nBuy a disk.\n"


def test_a_program_that_is_not_there_is_a_failed_step(capsys):
    bootstrap.carry_out(Step("Trying ...", ("no-such-program-here",), False, "Going on."))
    assert "no-such-program-here" in capsys.readouterr().out


def test_what_succeeds_is_quiet(capsys):
    bootstrap.carry_out(Step("Trying ...", (sys.executable, "-c", "print('much')"), True))
    assert capsys.readouterr().out == "Trying ...\n"


def test_the_stamp_follows_the_lock(tmp_path):
    lock = tmp_path / "requirements.txt"
    lock.write_text("django==1\n")
    before = bootstrap._stamp(lock)
    lock.write_text("django==2\n")
    assert bootstrap._stamp(lock) != before


def test_the_development_lock_holds_the_runtime_lock():
    def pins(path):
        return {line.split()[0] for line in path.read_text().splitlines() if "==" in line}

    runtime, development = pins(bootstrap.RUNTIME_LOCK), pins(bootstrap.DEVELOPMENT_LOCK)
    assert runtime < development
    assert any(pin.startswith("django==5.2.") for pin in runtime)


def test_the_locks_hold_what_the_project_asks_for():
    project = tomllib.loads((bootstrap.ROOT / "pyproject.toml").read_text())
    for lock, asked in (
        (bootstrap.RUNTIME_LOCK, project["project"]["dependencies"]),
        (bootstrap.DEVELOPMENT_LOCK, project["dependency-groups"]["dev"]),
    ):
        locked = dict(re.findall(r"^([a-z0-9-]+)==([^ ]+)", lock.read_text(), re.MULTILINE))
        for requirement in map(Requirement, asked):
            assert requirement.specifier.contains(locked.get(requirement.name, "0")), f"{requirement} in {lock.name}"


def test_the_bootstrap_needs_the_standard_library_only():
    code = "import sys; sys.path.insert(0, '.'); import foundation.bootstrap as b; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-I", "-S", "-c", code], cwd=bootstrap.ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "django" not in done.stdout
