"""Promises about the code as a whole."""

import os
import subprocess
import sys
from pathlib import Path

from foundation.bootstrap import ROOT

# Put together here, so that this file does not hold them either.
REGISTRIES = [
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("yarnpkg", "com"),
        ("unpkg", "com"),
        ("jsdelivr", "net"),
        ("deb", "debian", "org"),
        ("archive", "ubuntu", "com"),
        ("crates", "io"),
    )
]


def test_the_engine_is_usable_without_the_web_framework():
    code = (
        "import importlib, pkgutil, sys, takeoff\n"
        "for module in pkgutil.walk_packages(takeoff.__path__, 'takeoff.'):\n"
        "    importlib.import_module(module.name)\n"
        "print(*sorted(name for name in sys.modules if name.split('.')[0] in ('django', 'jobs', 'inspections')))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert (done.returncode, done.stdout.strip()) == (0, ""), done.stderr


def test_no_file_names_a_package_registry():
    found = [
        f"{path.relative_to(ROOT)}: {host}"
        for path in project_files()
        for host in REGISTRIES
        if host.encode() in path.read_bytes()
    ]
    assert found == []


def project_files() -> list[Path]:
    """The files of the project: git's list, or everything where the project was not checked out with git."""
    if (ROOT / ".git").exists():
        listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
        return [ROOT / name for name in listed.split("\0") if name and (ROOT / name).is_file()]
    found = []
    for folder, folders, names in os.walk(ROOT):
        folders[:] = [name for name in folders if name not in {".venv", "var", "__pycache__"} and "cache" not in name]
        found += [Path(folder) / name for name in names]
    return found
