"""A real browser, and one page of each kind to open in it. Needs the extras `browser` and `pdf`, and Chromium."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from page_list import write_page

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
