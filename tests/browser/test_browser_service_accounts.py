"""Coming in, in Chromium: set-up, an invitation, the inspector's link, a log-in, without a barrier for anybody."""

from __future__ import annotations

import re
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import uvicorn
from service_samples import CASE, NOW

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.passwords import Passwords
from carknocker.service.address import Address
from carknocker.service.application import application
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

pytestmark = pytest.mark.browser
WORD = "seven green lanterns"


class Site(NamedTuple):
    keeping: Keeping
    accounts: Accounts
    address: str
    car: str


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    """The service under a public name. A browser takes its cookies from `localhost` as if by https, so that the proxy
    that ends TLS is here no more than what it says of each request."""
    workers, engine = Workers(1), open_database(tmp_path)
    keeping = Keeping(History(engine, tmp_path), workers, lambda: NOW)
    keeping.ensure()
    texts = [(CASE / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    car = keeping.add_car(*texts, "owner").id
    accounts = Accounts(AccountStore(engine), Passwords(), keeping.now)
    listening = socket.create_server(("127.0.0.1", 0))
    origin = f"http://localhost:{listening.getsockname()[1]}"
    inner = application(keeping, Address(frozenset(("localhost",)), origin, frozenset(("127.0.0.1",))), accounts)

    async def behind_a_proxy(scope: Any, receive: Any, send: Any) -> None:
        said = [(b"x-forwarded-proto", b"https"), (b"x-forwarded-for", b"192.0.2.7")]
        await inner({**scope, "headers": [*scope.get("headers", []), *said]}, receive, send)

    server = uvicorn.Server(uvicorn.Config(behind_a_proxy, log_level="error", lifespan="off", proxy_headers=False))
    thread = threading.Thread(target=lambda: server.run(sockets=[listening]), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield Site(keeping, accounts, origin, car)
    server.should_exit = True
    thread.join(10)
    workers.stop()
    engine.dispose()


def has_no_barrier(page: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390, page.url
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == [], page.url


def person(browser: Any) -> Any:
    return browser.new_context().new_page()


def test_from_the_set_up_to_the_inspectors_finding(site: Site, browser: Any) -> None:
    owner = person(browser)
    owner.goto(site.address)
    assert owner.title() == "Log in"
    has_no_barrier(owner)
    owner.goto(f"{site.address}/set-up")
    has_no_barrier(owner)
    owner.fill("#secret", site.accounts.set_up_token())
    owner.fill("#name", "Ash")
    owner.fill("#password", WORD)
    owner.keyboard.press("Enter")
    owner.get_by_role("heading", name="Cars by coming move").wait_for()
    (cookie,) = owner.context.cookies()
    assert (cookie["name"], cookie["httpOnly"], cookie["secure"]) == ("__Host-carknocker", True, True)

    owner.get_by_role("link", name="People").click()
    owner.fill("#label", "Birch")
    owner.get_by_role("button", name="Make an invitation").click()
    address = owner.get_by_role("alert").locator("pre").inner_text()
    has_no_barrier(owner)

    helper = person(browser)
    helper.goto(address)
    has_no_barrier(helper)
    helper.fill("#name", "Birch")
    helper.fill("#password", WORD)
    helper.get_by_role("button", name="Make the account").click()
    helper.get_by_role("link", name="Birch").click()
    has_no_barrier(helper)
    helper.goto(f"{site.address}/cars/{site.car}")
    assert helper.get_by_role("button", name="Give out a PDF").count() == 0
    assert helper.goto(f"{site.address}/people").status == 403

    owner.goto(f"{site.address}/cars/{site.car}")
    owner.get_by_role("button", name="Give out a web page").click()
    owner.goto(f"{site.address}/cars/{site.car}/links")
    has_no_barrier(owner)
    owner.get_by_role("button", name="Make a link").first.click()
    link = owner.get_by_role("alert").locator("pre").inner_text()
    assert re.fullmatch(rf"{site.address}/inspect/[\w-]{{43}}", link)

    inspector = person(browser)
    inspector.goto(link)
    has_no_barrier(inspector)
    inspector.get_by_label("declined").check()
    inspector.get_by_label("Your name").fill("Lee Alder")
    inspector.get_by_label("Remarks").fill("Nothing was measured.")
    inspector.get_by_role("button", name="Leave it with the owner").click()
    inspector.get_by_role("heading", name="What you left").wait_for()
    inspector.get_by_role("link", name="Open the dossier").click()
    assert "NOT" in inspector.locator("body").inner_text().upper()
    assert inspector.goto(f"{site.address}/").url.startswith(f"{site.address}/log-in")

    owner.goto(f"{site.address}/cars/{site.car}")
    assert "Nothing was measured." in owner.locator("main").inner_text()
    owner.goto(f"{site.address}/cars/{site.car}/links")
    owner.get_by_role("button", name="Take back").first.click()
    assert inspector.goto(link).status == 404
    owner.goto(f"{site.address}/audit")
    assert "opened the dossier" in owner.locator("main").inner_text()
    has_no_barrier(owner)

    owner.get_by_role("link", name="Ash", exact=True).click()
    owner.get_by_role("button", name="Log out").click()
    owner.get_by_role("heading", name="Log in").wait_for()
    owner.fill("#name", "Ash")
    owner.fill("#password", "another long word")
    owner.keyboard.press("Enter")
    owner.get_by_role("alert", name="").first.wait_for()
    assert "don't go together" in owner.get_by_role("alert").inner_text()
    owner.fill("#password", WORD)
    owner.keyboard.press("Enter")
    owner.get_by_role("heading", name="Cars by coming move").wait_for()
