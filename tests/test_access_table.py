"""Every address tried by every role, by a stranger who builds next door, and by nobody."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.access import TO_LOGIN, Entry, foundation, inspections, jobs, winter
from tests.cast import ANONYMOUS, EVERYBODY, Cast

ENTRIES: dict[str, Entry] = {**foundation.ENTRIES, **jobs.ENTRIES, **inspections.ENTRIES, **winter.ENTRIES}


def names(patterns: list[URLPattern | URLResolver], space: str = "") -> Iterator[str]:
    """Every address by its full name; one without a name by its pattern."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from names(pattern.url_patterns, f"{space}{pattern.namespace}:" if pattern.namespace else space)
        else:
            yield f"{space}{pattern.name}" if pattern.name else f"without a name: {pattern.pattern}"


def test_every_address_has_an_entry():
    assert set(names(get_resolver().url_patterns)) == set(ENTRIES)


@pytest.mark.parametrize("name", ENTRIES)
def test_every_entry_speaks_of_everybody(name):
    for answers in (ENTRIES[name].get, ENTRIES[name].post):
        assert set(answers) == set(EVERYBODY)


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", ENTRIES)
def test_who_gets_what(name: str, method: str, cast: Cast, clients: dict[str, Client]):
    entry = ENTRIES[name]
    url, data = reverse(name, kwargs=entry.args(cast)), entry.data(cast)
    got = {part: getattr(clients[part], method)(url, data if method == "post" else None) for part in EVERYBODY}

    expected = getattr(entry, method)
    assert {part: answer.status_code for part, answer in got.items()} == dict(expected)
    if expected[ANONYMOUS] == TO_LOGIN:
        assert got[ANONYMOUS].url.startswith("/account/login/")
