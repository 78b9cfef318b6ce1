"""Values from the environment, and the sentences said when they are wrong."""

import stat
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.core.exceptions import ImproperlyConfigured

from foundation import environment


def test_text_is_trimmed_and_falls_back(monkeypatch):
    monkeypatch.setenv("FOOTINGS_X", "  a b ")
    assert environment.text("FOOTINGS_X") == "a b"
    monkeypatch.setenv("FOOTINGS_X", " ")
    assert environment.text("FOOTINGS_X", "default") == "default"


def test_text_that_is_missing_is_named_with_its_hint(monkeypatch):
    monkeypatch.delenv("FOOTINGS_X", raising=False)
    with pytest.raises(ImproperlyConfigured, match=r"^FOOTINGS_X is not set\. Ask the office\.$"):
        environment.text("FOOTINGS_X", hint="Ask the office.")


@pytest.mark.parametrize(("word", "value"), [("1", True), ("Yes", True), (" on ", True), ("0", False), ("", False)])
def test_flags(monkeypatch, word, value):
    monkeypatch.setenv("FOOTINGS_X", word)
    assert environment.flag("FOOTINGS_X", default=not value) is value


def test_a_flag_that_is_neither_is_refused(monkeypatch):
    monkeypatch.setenv("FOOTINGS_X", "perhaps")
    with pytest.raises(ImproperlyConfigured, match="FOOTINGS_X is 'perhaps'; write 1 for yes or 0 for no"):
        environment.flag("FOOTINGS_X", default=True)


def test_numbers(monkeypatch):
    monkeypatch.setenv("FOOTINGS_X", " 25 ")
    assert environment.number("FOOTINGS_X", 587) == 25
    monkeypatch.setenv("FOOTINGS_X", "")
    assert environment.number("FOOTINGS_X", 587) == 587


def test_a_number_that_is_none_is_refused(monkeypatch):
    monkeypatch.setenv("FOOTINGS_X", "25a")
    with pytest.raises(ImproperlyConfigured, match="FOOTINGS_X is '25a'; write a whole number such as 587"):
        environment.number("FOOTINGS_X", 587)


def test_words_are_parted_by_commas_or_spaces(monkeypatch):
    monkeypatch.setenv("FOOTINGS_X", "a.example, b.example c.example")
    assert environment.words("FOOTINGS_X") == ["a.example", "b.example", "c.example"]
    monkeypatch.delenv("FOOTINGS_X")
    assert environment.words("FOOTINGS_X") == []


def test_a_file_adds_what_is_not_set(tmp_path):
    path = tmp_path / ".env"
    path.write_text("# ours\n\nA=1\nexport B='two words'\nC=\"x=y\"\nD=from file\n")
    values = {"D": "from outside"}
    environment.read_file(path, values)
    assert values == {"A": "1", "B": "two words", "C": "x=y", "D": "from outside"}


def test_a_line_that_is_no_pair_is_named(tmp_path):
    path = tmp_path / ".env"
    path.write_text("A=1\nSECRET abc\n")
    with pytest.raises(ImproperlyConfigured, match=r"\.env, line 2: write NAME=value, not 'SECRET abc'"):
        environment.read_file(path, {})


def test_no_file_is_no_trouble(tmp_path):
    environment.read_file(tmp_path / "none", {})


def test_the_secret_is_made_once_for_its_owner_only(tmp_path):
    path = tmp_path / "var" / "secret_key"
    with ThreadPoolExecutor(8) as threads:
        secrets = set(threads.map(lambda _: environment.kept_secret(path), range(16)))
    assert len(secrets) == 1
    assert len(secrets.pop()) > 60
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [found.name for found in path.parent.iterdir()] == ["secret_key"]


@pytest.mark.parametrize(
    ("given", "debug"),
    [({}, "1"), ({"DJANGO_SECRET_KEY": "a server's"}, None), ({"DJANGO_DEBUG": "0"}, "0")],
)
def test_without_a_servers_secret_it_is_a_developers_machine(monkeypatch, given, debug):
    monkeypatch.setattr(environment, "read_file", lambda path: None)
    for name in ("DJANGO_SECRET_KEY", "DJANGO_DEBUG"):
        monkeypatch.delenv(name, raising=False)
    for name, value in given.items():
        monkeypatch.setenv(name, value)
    environment.assume_a_developer()
    assert environment.os.environ.get("DJANGO_DEBUG") == debug
    monkeypatch.delenv("DJANGO_DEBUG", raising=False)
