"""A real Chromium, and a page of it on a phone and at a desk, against a live server."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from foundation.bootstrap import find_chromium
from tests.browser.helpers import DESK, PHONE, Ears, shot

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder drives a browser, and the server's threads must see what a test wrote."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.django_db(transaction=True))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the whole run."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def ears() -> Callable[[Page], Ears]:
    """The `Ears` that listen to a page: `ears(phone).allow("ERR_INTERNET_DISCONNECTED")`."""
    return lambda page: page.context.ears


@pytest.fixture
def window(chromium: Browser, live_server, request: pytest.FixtureRequest) -> Iterator[Callable[..., Page]]:
    """Opens further windows, each with its own cookies, as for a second person: `window(PHONE, touch=True)`."""
    opened: list[Page] = []

    with ExitStack() as closing:

        def open_window(size: dict[str, int], touch: bool = False) -> Page:
            context = chromium.new_context(
                base_url=live_server.url,
                viewport=size,
                has_touch=touch,
                is_mobile=touch,
                device_scale_factor=2 if touch else 1,
                timezone_id="America/Chicago",
                locale="en-US",
                reduced_motion="reduce",
            )
            closing.callback(context.close)
            context.ears = Ears(context)
            context.set_default_timeout(10_000)
            opened.append(context.new_page())
            return opened[-1]

        yield open_window
        for number, page in enumerate(opened):
            if not page.is_closed():
                # One round trip, so that what the page said until now has arrived.
                page.evaluate("0")
                shot(page, f"end-{request.node.name}-{number}")
        problems = [problem for page in opened for problem in page.context.ears.problems]
        assert not problems, "The browser reported:\n" + "\n".join(problems)


@pytest.fixture
def phone(window: Callable[..., Page]) -> Page:
    """A phone in a gloved hand: 390 by 844, touch."""
    return window(PHONE, touch=True)


@pytest.fixture
def desk(window: Callable[..., Page]) -> Page:
    """A desk: 1440 by 900, mouse and keyboard."""
    return window(DESK)
