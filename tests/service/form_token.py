"""The token that a page of the service gives to the forms of a browser."""

from __future__ import annotations

import re

from fastapi.testclient import TestClient


def token(browser: TestClient, page: str) -> str:
    """The one on the page of an address."""
    found = re.search(r'name="token" value="([0-9a-f]{64})"', browser.get(page).text)
    assert found is not None, page
    return found[1]
