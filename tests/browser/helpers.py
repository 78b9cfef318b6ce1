"""What journeys share: logging in, looking for barriers, keeping pictures, listening for errors."""

import os
import re
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import BrowserContext, ConsoleMessage, Page

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}


class Ears:
    """Hears every console error and uncaught exception of a browser window; the tests expect none.

    With strict pages a forbidden script or style shows nowhere else. A test that means to provoke an
    error, such as one that goes offline, allows it by a pattern first. The icon that a browser asks for
    of its own accord, on pages that name none, is nobody's error.
    """

    def __init__(self, context: BrowserContext) -> None:
        self.heard: list[str] = []
        self.allowed: list[str] = [r"/favicon\.ico\)$"]
        context.on("console", self._console)
        context.on("weberror", lambda error: self.heard.append(str(error.error)))

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.heard.append(f"{message.text} ({message.location.get('url', '')})")

    def allow(self, pattern: str) -> None:
        """Lets errors pass whose text matches the regular expression `pattern`."""
        self.allowed.append(pattern)

    @property
    def problems(self) -> list[str]:
        """What was heard and is not allowed."""
        return [text for text in self.heard if not any(re.search(pattern, text) for pattern in self.allowed)]


def log_in(page: Page, person) -> None:
    """Gives the browser the session of `person`, as if they had typed their password."""
    client = Client()
    client.force_login(person)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME]
    page.context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": "http://localhost"}])


def barriers(page: Page) -> list[str]:
    """One line per barrier that axe finds on the page as it is shown."""
    found = Axe().run(page).response["violations"]
    return [f"{rule['id']}: {rule['help']}: {node['html'][:200]}" for rule in found for node in rule["nodes"]]


def assert_accessible(page: Page) -> None:
    """Fails with one line per barrier that axe finds, in light and in dark."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = barriers(page)
        assert not found, f"{page.url} in {scheme}:\n" + "\n".join(found)
    page.emulate_media(color_scheme="light")


def assert_fits(page: Page) -> None:
    """Fails where the page is wider than its window, so that a thumb would have to scroll sideways."""
    wide, room = page.evaluate("document.documentElement.scrollWidth"), page.viewport_size["width"]
    assert wide <= room, f"{page.url} is {wide} px wide in a window of {room} px"


def shot(page: Page, name: str) -> None:
    """Keeps a picture of the whole page in the folder that SHOTS names; without SHOTS does nothing."""
    folder = os.environ.get("SHOTS")
    if folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        kept = re.sub(r"[^\w.-]+", "-", name)
        page.screenshot(path=Path(folder) / f"{kept}.png", full_page=True)
