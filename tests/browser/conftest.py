"""A real browser, and one page of each kind to open in it. Needs the extra `browser`, and Chromium."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from page_list import PAGES, write_page

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
QUIET = (
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-quic",
)  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    assert found is not None, "no Chromium on this machine; on Debian: apt-get install chromium"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found, args=list(QUIET))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, str], Path]:
    """Writes a page of `page_list` in a form, once."""
    folder = tmp_path_factory.mktemp("pages")
    files: dict[tuple[str, str], Path] = {}

    def write(name: str, form: str) -> Path:
        if (name, form) not in files:
            files[name, form] = write_page(name, form, folder)
        return files[name, form]

    return write


@pytest.fixture(scope="module", params=sorted(PAGES))
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


class Tab(NamedTuple):
    """A tab of the browser, and what it asked for and reported since its page was opened. A new one for each page would
    cost more than the page."""

    page: Any
    requests: list[str]
    reports: list[str]

    def open(self, file: Path) -> None:
        self.page.set_viewport_size({"width": 1440, "height": 900})
        self.page.emulate_media(media="screen", color_scheme="light")
        self.requests.clear()
        self.reports.clear()
        self.page.goto(file.as_uri())


@pytest.fixture(scope="session")
def tabs(browser: Any) -> Iterator[tuple[Tab, Tab]]:
    context = browser.new_context()
    one, other = _tab(context), _tab(context)
    yield one, other
    context.close()


def _tab(context: Any) -> Tab:
    tab = Tab(context.new_page(), [], [])
    tab.page.on("request", lambda request: tab.requests.append(request.url))
    tab.page.on("console", lambda message: tab.reports.append(message.text))
    tab.page.on("pageerror", lambda error: tab.reports.append(str(error)))
    return tab


@pytest.fixture(scope="module")
def opened(tabs: tuple[Tab, Tab], written: Callable[[str, str], Path], name: str) -> Tab:
    """The page, for all tests that leave it whole; each sets the window and the medium that it looks at it with."""
    tabs[0].open(written(name, "html"))
    return tabs[0]


@pytest.fixture(scope="module")
def opened_to_shorten(tabs: tuple[Tab, Tab], written: Callable[[str, str], Path], name: str) -> Tab:
    """The page a second time, for tests that take something out of it."""
    tabs[1].open(written(name, "html"))
    return tabs[1]
