"""A person at a page without a browser: reads headings, links, forms and troubles, fills fields in, presses buttons.

Only what stands on a page can be filled in and pressed, so a test that goes through it goes where a person could.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from tests.inspections.world import PHOTO

_VOID = {"input", "img", "br", "hr", "meta", "link", "path", "wbr"}
#: Classes of elements that say what went wrong.
_TROUBLE = {"errors", "error"}


@dataclass
class Field:
    """One input as it stands: its kind, what it would send, and whether it sends it."""

    name: str
    kind: str
    value: str
    sends: bool


@dataclass
class Button:
    """What it says, what it sends, and where."""

    label: str = ""
    name: str = ""
    value: str = ""
    goes_to: str = ""


@dataclass
class Form:
    """A form with its fields in order and its buttons."""

    action: str
    fields: list[Field] = field(default_factory=list)
    buttons: list[Button] = field(default_factory=list)

    def button(self, label: str) -> Button | None:
        """The button whose words match."""
        return next((b for b in self.buttons if re.search(label, b.label)), None)

    def choices(self, name: str) -> list[str]:
        """What may be ticked or chosen under a name."""
        return [f.value for f in self.fields if f.name == name]

    def data(self, typed: Mapping[str, Any], button: Button) -> dict[str, Any]:
        """What is sent with these fields filled in. A field that is not there cannot be filled in."""
        missing = set(typed) - {f.name for f in self.fields}
        assert not missing, f"{self.action} has no field {sorted(missing)}"
        out: dict[str, Any] = {}
        for each in self.fields:
            for value in _sent(each, typed):
                out.setdefault(each.name, []).append(value)
        if button.name:
            out[button.name] = [button.value]
        return out


def _sent(each: Field, typed: Mapping[str, Any]) -> Iterator[Any]:
    if each.name not in typed:
        if each.sends and each.kind != "file":
            yield each.value
        return
    wanted = typed[each.name]
    if each.kind in ("checkbox", "radio", "option"):
        ticked = wanted if isinstance(wanted, (list, tuple)) else [wanted]
        if each.value in ticked or wanted is True:
            yield each.value
    else:
        yield wanted


@dataclass
class Page:
    """One page as it came: address, status, and what is on it."""

    url: str
    status: int
    text: str
    heading: str = ""
    forms: list[Form] = field(default_factory=list)
    links: list[tuple[str, str]] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)

    def form(self, label: str) -> Form | None:
        """The first form with a button that says so."""
        return next((f for f in self.forms if f.button(label)), None)

    def link(self, label: str) -> str | None:
        """Where the first link with these words leads."""
        return next((href for href, words in self.links if re.search(label, words)), None)


class _Reader(HTMLParser):
    """Builds a `Page` while the HTML goes by."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page = page
        self.stack: list[tuple[str, bool]] = []
        self.form: Form | None = None
        self.caught: list[tuple[str, list[str]]] = []  # elements whose words are being read
        self.select = ""
        self.link = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {k: v or "" for k, v in attrs}
        is_trouble = bool(_TROUBLE & set(said.get("class", "").split()))
        if tag not in _VOID:
            self.stack.append((tag, is_trouble))
        if tag == "form":
            self.form = Form(said.get("action") or self.page.url)
            self.page.forms.append(self.form)
        elif tag == "a":
            self.link = said.get("href", "")
        elif tag == "select":
            self.select = said.get("name", "")
        if self.form is not None:
            self._control(tag, said)
        if tag in ("h1", "a", "button", "textarea") or (tag in ("li", "p") and any(t for _, t in self.stack)):
            self.caught.append((tag, []))

    def _control(self, tag: str, said: dict[str, str]) -> None:
        assert self.form is not None
        kind, name = said.get("type", "text"), said.get("name", "")
        if tag == "input" and name:
            sends = kind not in ("checkbox", "radio") or "checked" in said
            value = said.get("value", "on" if kind == "checkbox" else "")
            self.form.fields.append(Field(name, kind, value, sends))
        elif tag == "option":
            self.form.fields.append(Field(self.select, "option", said.get("value", ""), "selected" in said))
        elif tag == "textarea":
            self.form.fields.append(Field(name, "textarea", "", True))
        elif tag == "button":
            self.form.buttons.append(Button("", name, said.get("value", ""), said.get("formaction", "")))

    def handle_endtag(self, tag: str) -> None:
        if self.caught and self.caught[-1][0] == tag:
            self._read(tag, " ".join("".join(self.caught.pop()[1]).split()))
        if tag == "form":
            self.form = None
        if tag == "select" and self.form is not None:
            self._first_option()
        while self.stack and tag not in _VOID:
            if self.stack.pop()[0] == tag:
                break

    def _first_option(self) -> None:
        """A list of which nothing is chosen sends its first."""
        assert self.form is not None
        own = [f for f in self.form.fields if f.name == self.select and f.kind == "option"]
        if own and not any(f.sends for f in own):
            own[0].sends = True

    def _read(self, tag: str, words: str) -> None:
        if tag == "h1":
            self.page.heading = words
        elif tag == "a":
            self.page.links.append((self.link, words))
        elif tag == "button" and self.form is not None:
            self.form.buttons[-1].label = words
        elif tag == "textarea" and self.form is not None:
            self.form.fields[-1].value = words
        elif tag in ("li", "p") and words:
            self.page.troubles.append(words)
        if self.caught:
            self.caught[-1][1].append(words)

    def handle_data(self, data: str) -> None:
        if self.caught:
            self.caught[-1][1].append(data)


def read(url: str, status: int, text: str) -> Page:
    """A page from its HTML."""
    page = Page(url, status, text)
    _Reader(page).feed(text)
    return page


class Visitor:
    """Somebody with a browser's cookies. ``seen`` are all pages they were on."""

    def __init__(self) -> None:
        self.client = Client()
        self.seen: set[str] = set()
        #: The last post, to be sent again: address and data.
        self.sent: tuple[str, dict[str, Any]] = ("", {})

    def open(self, url: str, status: int = 200) -> Page:
        """Go to an address; the page must be whole."""
        answer = self.client.get(url)
        assert answer.status_code == status, f"{url}: {answer.status_code}"
        if answer.get("Content-Type", "").startswith("text/html"):
            page = read(url, status, answer.content.decode())
            _whole(page)
        else:
            page = Page(url, status, "")
        self.seen.add(url.partition("#")[0])
        return page

    def follow(self, page: Page, label: str) -> Page:
        """Press a link by its words."""
        href = page.link(label)
        assert href, f"{page.url} has no link “{label}”"
        return self.open(href)

    def press(self, page: Page, label: str, status: int = 200, htmx: bool = False, **typed: Any) -> Page:
        """Fill in the form that has a button saying so, and press it; the page that answers. ``typed`` goes by the
        names of the fields; True ticks."""
        form = page.form(label)
        assert form, f"{page.url} has no button “{label}”: {[b.label for f in page.forms for b in f.buttons]}"
        return self.send(page, form, label, status, htmx, typed)

    def send(
        self, page: Page, form: Form, label: str, status: int = 200, htmx: bool = False,
        typed: Mapping[str, Any] | None = None,
    ) -> Page:  # fmt: skip
        """As :meth:`press`, for one of several forms."""
        button = form.button(label)
        assert button
        return self.post(button.goes_to or form.action, form.data(typed or {}, button), status, htmx)

    def post(self, url: str, data: dict[str, Any], status: int = 200, htmx: bool = False) -> Page:
        """Send a body to an address, as a page or by htmx."""
        self.sent = (url, dict(data))
        headers = {"HX-Request": "true"} if htmx else {}
        answer = self.client.post(url, fresh(data), follow=True, headers=headers)
        landed = answer.redirect_chain[-1][0] if answer.redirect_chain else url
        page = read(landed, answer.status_code, answer.content.decode())
        assert answer.status_code == status, f"{url}: {answer.status_code} {page.troubles}"
        _whole(page, part=htmx)
        if status >= 400:
            assert_said(page)
        if answer.redirect_chain:
            self.seen.add(landed.partition("#")[0])
        return page


def fresh(data: Mapping[str, Sequence[Any]]) -> dict[str, Any]:
    """A body that can be sent again: files are read from their start."""
    return {name: [_again(value) for value in values] for name, values in data.items()}


def _again(value: Any) -> Any:
    return SimpleUploadedFile("photo.jpg", PHOTO, "image/jpeg") if value is PICTURE else value


#: Put in a file field: a small photo.
PICTURE = object()


def _whole(page: Page, part: bool = False) -> None:
    """No trace of a template that broke, and a heading."""
    assert "{{" not in page.text and "{%" not in page.text, page.url
    assert part or page.heading, f"{page.url} has no heading"
    assert not re.search(r">\s*None\s*<", page.text), f"{page.url} says None"


def assert_said(page: Page) -> None:
    """A refusal says why, in sentences."""
    said = [t for t in page.troubles if t.endswith((".", "?", "”"))]
    assert said, f"{page.url} answers {page.status} and says {page.troubles}"
