"""A real browser, and one page of each kind to open in it. Needs the extras `browser` and `pdf`, and Chromium."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
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


class OpenedPage(NamedTuple):
    """A page in the browser, in one window for all tests of the page; each sets what it looks at it with."""

    page: Any
    requests: list[str]
    reports: list[str]


@pytest.fixture(scope="module")
def opened(browser: Any, written: Callable[[str, str], Path], name: str) -> Iterator[OpenedPage]:
    with _opened(browser, written(name, "html")) as one:
        yield one


@pytest.fixture(scope="module")
def opened_to_shorten(browser: Any, written: Callable[[str, str], Path], name: str) -> Iterator[OpenedPage]:
    """The same page a second time, for tests that take something out of it."""
    with _opened(browser, written(name, "html")) as one:
        yield one


@contextmanager
def _opened(browser: Any, file: Path) -> Iterator[OpenedPage]:
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    one = OpenedPage(context.new_page(), [], [])
    one.page.on("request", lambda request: one.requests.append(request.url))
    one.page.on("console", lambda message: one.reports.append(message.text))
    one.page.on("pageerror", lambda error: one.reports.append(str(error)))
    one.page.goto(file.as_uri())
    yield one
    context.close()
