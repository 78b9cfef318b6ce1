"""Values from the environment, read in one way and refused with a sentence that says what to do.

Every message reaches the person who starts the server, so it names the variable,
what was found and what would be accepted.
"""

import os
import secrets
from collections.abc import MutableMapping
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

YES = {"1", "true", "yes", "on"}
NO = {"0", "false", "no", "off", ""}


def text(name: str, default: str | None = None, hint: str = "") -> str:
    """The variable `name`, or `default`; with neither, says what is missing and `hint`, how to get it."""
    value = os.environ.get(name, "").strip() or default
    if value is None:
        raise ImproperlyConfigured(f"{name} is not set. {hint}".strip())
    return value


def flag(name: str, default: bool) -> bool:
    """The variable `name` as yes or no."""
    value = os.environ.get(name)
    if value is None:
        return default
    word = value.strip().lower()
    if word not in YES | NO:
        raise ImproperlyConfigured(f"{name} is {value!r}; write 1 for yes or 0 for no.")
    return word in YES


def number(name: str, default: int) -> int:
    """The variable `name` as a whole number."""
    value = os.environ.get(name, "").strip()
    if not value:
        return default
    if not value.isdecimal():
        raise ImproperlyConfigured(f"{name} is {value!r}; write a whole number such as {default}.")
    return int(value)


def words(name: str, default: str = "") -> list[str]:
    """The variable `name` as a list, parted by commas or spaces."""
    return os.environ.get(name, default).replace(",", " ").split()


def read_file(path: Path, environ: MutableMapping[str, str] = os.environ) -> None:
    """Adds the NAME=value lines of `path` to the environment; what is set already stays.

    Blank lines and lines starting with # are passed over; a pair of quotes round a value is dropped.
    """
    if not path.is_file():
        return
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        line = line.strip().removeprefix("export ")
        if not line or line.startswith("#"):
            continue
        name, equals, value = line.partition("=")
        if not equals or not name.strip().isidentifier():
            raise ImproperlyConfigured(f"{path.name}, line {number}: write NAME=value, not {line!r}.")
        environ.setdefault(name.strip(), _unquoted(value.strip()))


def _unquoted(value: str) -> str:
    if len(value) >= 2 and value[0] == value[-1] and value[0] in "\"'":
        return value[1:-1]
    return value


def kept_secret(path: Path) -> str:
    """A random secret kept in `path`, made when it is first asked for; only its owner may read it.

    Two processes that start at once agree: the one that comes second reads what the first wrote.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = secrets.token_urlsafe(50)
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    if not path.exists():
        draft.touch(mode=0o600)
        draft.write_text(fresh, encoding="ascii")
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    return path.read_text(encoding="ascii").strip()


def assume_a_developer() -> None:
    """Called by manage.py: where nothing says that this is a server, it is somebody's own machine."""
    read_file(Path(__file__).resolve().parent.parent / ".env")
    if "DJANGO_SECRET_KEY" not in os.environ:
        os.environ.setdefault("DJANGO_DEBUG", "1")
