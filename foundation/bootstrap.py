"""Makes a machine with Python and nothing else able to run this project. Standard library only.

`python3 manage.py demo` and `python3 manage.py test` come through here first. The machine is looked at
(`look`), what is to be done is decided from those facts alone (`plan`), then done step by step
(`carry_out`), and the command starts again inside `.venv`. When nothing is missing that takes milliseconds.

What only the system can provide is installed through apt-get where we may; otherwise the one line to run
is printed and the command goes on with what works.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.metadata
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
PYTHON = ENVIRONMENT / "bin" / "python"
RUNTIME_LOCK = ROOT / "requirements.txt"
DEVELOPMENT_LOCK = ROOT / "requirements-dev.txt"

OLDEST_PYTHON = (3, 11)
# What only the system can give: the library that is looked for, and the Debian package that brings it.
# The first two set the type of PDFs (and bring a font), the last is wanted by the driver of the browser.
PDF_LIBRARIES = {"libpango-1.0.so.0": "libpango-1.0-0", "libpangoft2-1.0.so.0": "libpangoft2-1.0-0"}
BROWSER_LIBRARIES = {"libatomic.so.1": "libatomic1"}
CHROMIUM = "chromium"
# The faces the drawings are lettered for; a wider one runs off the sheet.
FONTS = "fonts-liberation"
FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")
CERTIFICATES = Path("/etc/ssl/certs/ca-certificates.crt")
# Set once the system was looked at, so that the restarted command does not say everything twice.
LOOKED = "FOOTINGS_LOOKED"
# A test run ends with this code where its PostgreSQL could not be started.
NO_POSTGRES = 75


@dataclass(frozen=True)
class Facts:
    """What matters about this machine.

    `missing` names the Debian packages this command could use and does not find. `apt` is how to call
    apt-get: empty where we may not, None where there is none.
    """

    command: str
    python: tuple[int, int]
    lock_installed: bool
    environment_exists: bool
    environment_has_pip: bool
    can_make_environments: bool
    has_certificates: bool
    missing: tuple[str, ...]
    apt: tuple[str, ...] | None
    is_ubuntu: bool = False


@dataclass(frozen=True)
class Step:
    """One thing to do: what is said, what is run, and what is said when that fails.

    A step that runs nothing only speaks. When a `required` step fails, or could not be run, we stop.
    """

    say: str
    run: tuple[str, ...] = ()
    required: bool = False
    otherwise: str = ""


def plan(facts: Facts) -> list[Step]:
    """Everything to be done on a machine of which `facts` are true, in order; nothing on one that is ready."""
    if facts.python < OLDEST_PYTHON:
        needs, has = (".".join(map(str, version)) for version in (OLDEST_PYTHON, facts.python))
        return [Step(f"This needs Python {needs} or newer; python3 here is {has}.", required=True)]
    return [*_system_steps(facts), *_environment_steps(facts), *_browser_steps(facts)]


def _system_steps(facts: Facts) -> Iterator[Step]:
    needed = _needed_packages(facts)
    wanted = _wanted_packages(facts)
    if not needed and not wanted:
        return
    if not facts.apt:
        yield from _please_install(facts, needed, wanted)
        return
    yield Step("Reading the system's package lists ...", (*facts.apt, "update", "-qq"))
    for packages, required in ((needed, True), (wanted, False)):
        if packages:
            names = " ".join(packages)
            yield Step(
                f"Installing {names} ...",
                (*facts.apt, "install", "-y", "-qq", "--no-install-recommends", *packages),
                required,
                f"That did not work. Please run: apt-get install {names}",
            )


def _please_install(facts: Facts, needed: list[str], wanted: list[str]) -> Iterator[Step]:
    names = " ".join(needed + wanted)
    if facts.apt is None:
        line = f"Install with this system's package manager what Debian calls: {names}"
    else:
        line = f"Run: sudo apt-get install {names}"
    yield Step(f"{_lack(needed, wanted)} {line}", required=bool(needed))


def _lack(needed: list[str], wanted: list[str]) -> str:
    """What cannot be done without these packages, as a sentence."""
    lacks = ["the environment cannot be made"] if needed else []
    lacks += ["hand-outs cannot be made as PDF"] if set(wanted) & set(PDF_LIBRARIES.values()) else []
    lacks += ["lettering may run off drawings"] if FONTS in wanted else []
    lacks += ["browser tests cannot run"] if set(wanted) - {*PDF_LIBRARIES.values(), FONTS} else []
    return f"Something is missing on this machine; without it {' and '.join(lacks)}."


def _needed_packages(facts: Facts) -> list[str]:
    """Packages without which there is no environment."""
    if facts.lock_installed:
        return []
    packages = []
    if not facts.can_make_environments and not (facts.environment_exists and facts.environment_has_pip):
        packages.append(f"python{facts.python[0]}.{facts.python[1]}-venv")
    if facts.apt is not None and not facts.has_certificates:
        packages.append("ca-certificates")
    return packages


def _wanted_packages(facts: Facts) -> list[str]:
    """Packages without which a part of the work cannot be done. Ubuntu's Chromium: see `_browser_steps`."""
    return [name for name in facts.missing if not (facts.is_ubuntu and name == CHROMIUM)]


def _environment_steps(facts: Facts) -> Iterator[Step]:
    if facts.lock_installed:
        return
    python = str(PYTHON)
    if not facts.environment_exists:
        make = (sys.executable, "-m", "venv", "--clear", str(ENVIRONMENT))
        yield Step("Making .venv ...", make, required=True, otherwise="Making .venv did not work.")
    elif not facts.environment_has_pip:
        yield Step(
            "Adding pip to .venv ...",
            (python, "-m", "ensurepip", "--upgrade"),
            required=True,
            otherwise="Remove the folder .venv and start again.",
        )
    lock = lock_for(facts.command)
    yield Step(
        f"Installing what {lock.name} lists ...",
        (python, "-m", "pip", "install", "-q", "--disable-pip-version-check", "--no-input", "--no-deps")
        + ("--require-hashes", "-r", str(lock)),
        required=True,
        otherwise="Installing did not work; is the package index reachable from here?",
    )


def _browser_steps(facts: Facts) -> Iterator[Step]:
    """Ubuntu's own Chromium is a snap, which does not start everywhere; there the driver fetches its own."""
    if facts.is_ubuntu and CHROMIUM in facts.missing:
        line = f"{PYTHON.relative_to(ROOT)} -m playwright install --with-deps chromium"
        yield Step(
            "Fetching Chromium ...",
            (str(PYTHON), *line.split()[1:]) if facts.apt else (),
            otherwise=f"Without Chromium browser tests cannot run. Run: {line}",
        )


def lock_for(command: str) -> Path:
    """The tests need more than the program."""
    return DEVELOPMENT_LOCK if command == "test" else RUNTIME_LOCK


def look(command: str) -> Facts:
    """The facts of this machine."""
    release = _text(Path("/etc/os-release"))
    facts = Facts(
        command=command,
        python=sys.version_info[:2],
        lock_installed=PYTHON.exists() and _stamp(lock_for(command)).exists(),
        environment_exists=PYTHON.exists(),
        environment_has_pip=any(ENVIRONMENT.glob("lib/python3*/site-packages/pip/__init__.py")),
        can_make_environments=all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")),
        has_certificates=CERTIFICATES.exists(),
        missing=() if LOOKED in os.environ else tuple(_missing(command)),
        apt=(),
        is_ubuntu=re.search(r"^ID=ubuntu$", release, re.MULTILINE) is not None,
    )
    # Asking for rights takes time and may be logged: only when there is something to install.
    return Facts(**{**vars(facts), "apt": _apt()}) if plan(facts) else facts


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def _apt() -> tuple[str, ...] | None:
    """How to call apt-get without being asked anything; empty where we may not, None where there is none."""
    if shutil.which("apt-get") is None:
        return None
    call = ("env", "DEBIAN_FRONTEND=noninteractive", "apt-get")
    if os.geteuid() == 0:
        return call
    may = shutil.which("sudo") and subprocess.run(["sudo", "-n", "true"], capture_output=True).returncode == 0
    return ("sudo", "-n", *call) if may else ()


def _missing(command: str) -> Iterator[str]:
    """Debian's names of what the system lacks for `command`; libraries are looked for on Linux only."""
    libraries = dict(PDF_LIBRARIES) if command in ("demo", "test") else {}
    if command == "test":
        libraries |= BROWSER_LIBRARIES
    if sys.platform == "linux":
        yield from (package for library, package in libraries.items() if not _loads(library))
        if command in ("demo", "test") and not _has_faces():
            yield FONTS
    if command == "test" and find_chromium() is None:
        yield CHROMIUM


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _has_faces() -> bool:
    folders = (Path(folder).expanduser() for folder in FONT_FOLDERS)
    return any(next(folder.rglob("LiberationSans-Regular*"), None) for folder in folders if folder.is_dir())


def find_chromium() -> str | None:
    """The Chromium for browser tests: the one named in CHROMIUM, the system's, or the one the driver fetched."""
    named = os.environ.get("CHROMIUM")
    if named:
        return named
    for name in ("chromium", "google-chrome-stable", "google-chrome"):
        found = shutil.which(name)
        if found and "/snap/" not in os.path.realpath(found):
            return found
    cache = Path(os.environ.get("PLAYWRIGHT_BROWSERS_PATH") or Path.home() / ".cache" / "ms-playwright")
    fetched = sorted(cache.glob("chromium-*/chrome-linux*/chrome"))
    return str(fetched[-1]) if fetched else None


def _stamp(lock: Path) -> Path:
    """An empty file in the environment whose name says that this very lock was installed there."""
    return ENVIRONMENT / f"installed-{lock.stem}-{hashlib.sha256(lock.read_bytes()).hexdigest()[:16]}"


def carry_out(step: Step) -> None:
    """Says and does one step; what it printed is shown only when it failed."""
    print(step.say, flush=True)
    if not step.run:
        failed = True
    else:
        try:
            done = subprocess.run(step.run, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        except OSError as problem:
            done = subprocess.CompletedProcess(step.run, 127, stdout=f"{problem}\n")
        failed = done.returncode != 0
        if failed:
            print(done.stdout[-3000:], end="", flush=True)
    if failed and step.otherwise:
        print(step.otherwise, flush=True)
    if failed and step.required:
        raise SystemExit(1)


def ensure() -> list[str]:
    """Makes the environment ready and restarts there; returns the command line once it is."""
    command = sys.argv[1] if len(sys.argv) > 1 else ""
    inside = Path(sys.prefix).resolve() == ENVIRONMENT.resolve()
    if not inside and _already_provided(command):
        return sys.argv
    facts = look(command)
    for step in plan(facts):
        carry_out(step)
    if not facts.lock_installed:
        # The development lock holds the runtime lock.
        for lock in {lock_for(command), RUNTIME_LOCK}:
            _stamp(lock).touch()
    if not inside:
        os.environ[LOOKED] = "1"
        os.execv(PYTHON, [str(PYTHON), *sys.orig_argv[1:]])
    return sys.argv


def _already_provided(command: str) -> bool:
    """Whether the Python that runs has the lock's Django, as in a container image or somebody's own environment."""
    names = ("django", "pytest", "playwright") if command == "test" else ("django",)
    lock = lock_for(command).read_text(encoding="utf-8")
    return all(_is_locked_version(name, lock) for name in names)


def _is_locked_version(name: str, lock: str) -> bool:
    try:
        return f"\n{name}=={importlib.metadata.version(name)} " in f"\n{lock}"
    except importlib.metadata.PackageNotFoundError:
        return False
