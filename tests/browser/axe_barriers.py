"""Whether a page shuts anybody out, by axe-core; and whether it is as narrow as its window."""

from __future__ import annotations

from typing import Any


def has_no_barrier(page: Any, width: int | None = None) -> None:
    """width: to which the window is brought first; None: it stays."""
    from axe_playwright_python.sync_playwright import Axe

    if width is not None:
        page.set_viewport_size({"width": width, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), page.url
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == [], page.url
