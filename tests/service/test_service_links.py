"""Links for those who have no account: what they open, to whom, how long; and what the host's inspector leaves."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient
from form_token import token
from httpx import Response

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.links import LONGEST_DAYS, MOST_OF_CAR, Links, TooManyLinks
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.findings import MOST_BY_LINK
from carknocker.service.keeping import Keeping

OWNER = Visitor("Ash", Role.OWNER)
Browsers = Callable[[], TestClient]


@pytest.fixture
def links(accounts: Accounts) -> Links:
    return Links(accounts.store, accounts.now)


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "Ash").id


@pytest.fixture
def dossier(keeping: Keeping, car: str) -> str:
    return keeping.give_out(car, "markdown", keeping.today(), "Ash").digest


@pytest.fixture
def link(links: Links, car: str, dossier: str) -> str:
    return f"/inspect/{links.make(Role.INSPECTOR, car, dossier, 'the host', 14, OWNER)}"


@pytest.fixture
def owner(public: Browsers, accounts: Accounts) -> TestClient:
    made = accounts.invite(Role.OWNER, "", OWNER)
    browser = public()
    browser.cookies.set("__Host-carknocker", accounts.make_account("invitation", made, "Ash", "seven green lanterns"))
    return browser


def send(browser: TestClient, page: str, address: str, **fields: str) -> Response:
    """Sends a form of a page, with the token that the page gave."""
    return browser.post(address, data={"token": token(browser, page), **fields})


def test_an_owner_gives_a_link_and_the_inspector_leaves_his_finding(
    public: Browsers, owner: TestClient, keeping: Keeping, car: str, dossier: str
) -> None:
    made = send(owner, f"/cars/{car}/links", f"/cars/{car}/links", kind="inspector", about=dossier, label="the host")
    found = re.search(r"https://cars\.example\.org(/inspect/[\w-]{43})", made.text)
    assert found is not None, made.text
    assert found[1] not in owner.get(f"/cars/{car}/links").text, "shown once"
    inspector = public()
    page = inspector.get(found[1]).text
    assert "QWHX 27 Wren Hollow" in page
    assert "NOT READY" in page
    assert 'href="/"' not in page, "there is nothing else for him"
    assert inspector.get(f"{found[1]}/dossier").content == keeping.dossier(car, dossier)[0]
    done = send(inspector, found[1], found[1], finding="declined", name="Lee Alder", remarks="No <b>brake</b> test.")
    assert done.headers["location"] == found[1]
    assert "No &lt;b&gt;brake&lt;/b&gt; test." in inspector.get(found[1]).text
    shown = owner.get(f"/cars/{car}").text
    assert "<strong>Declined</strong>" in shown
    assert "by Lee Alder (inspector's link 3)" in shown
    entry = keeping.history.versions(car, "remark")[0]
    assert (entry.by, entry.note) == ("Lee Alder, by inspector's link 3", f"declined the dossier {dossier[:8]}")


@pytest.mark.parametrize(
    "fields",
    [{"finding": "declined", "name": "Ash, owner"}, {"finding": "declined", "name": "owner"},
     {"finding": "declined", "name": ""}, {"finding": "approved", "name": "Lee"}, {"name": "Lee"},
     {"finding": "accepted", "name": "Lee\nBcc: x"[:3] + "\x00"}],
)  # fmt: skip
def test_a_finding_under_no_name_or_the_owners_is_not_taken(
    public: Browsers, keeping: Keeping, car: str, link: str, fields: dict[str, str]
) -> None:
    assert send(public(), link, link, **fields).status_code in (400, 422)
    assert keeping.history.versions(car, "remark") == ()


def test_a_finding_from_another_page_or_past_the_most_is_not_taken(
    public: Browsers, keeping: Keeping, car: str, link: str
) -> None:
    sent = {"finding": "received", "name": "Lee"}
    assert public().post(link, data=sent).status_code == 403
    browser = public()
    for _ in range(MOST_BY_LINK):
        assert send(browser, link, link, **sent).status_code == 303
    assert send(browser, link, link, **sent).status_code == 422
    assert len(keeping.history.versions(car, "remark", most=100)) == MOST_BY_LINK


def test_two_inspectors_do_not_see_each_other(
    public: Browsers, links: Links, car: str, dossier: str, link: str
) -> None:
    other = f"/inspect/{links.make(Role.INSPECTOR, car, dossier, '', 14, OWNER)}"
    send(public(), link, link, finding="accepted", name="Lee", remarks="mine alone")
    assert "mine alone" in public().get(link).text
    assert "mine alone" not in public().get(other).text


def test_a_link_that_is_forged_old_or_taken_back_is_refused_alike(
    public: Browsers, owner: TestClient, links: Links, clock: Any, car: str, dossier: str, link: str
) -> None:
    back = f"/inspect/{links.make(Role.INSPECTOR, car, dossier, '', 90, OWNER)}"
    number = links.of_car(car)[0].id
    assert send(owner, f"/cars/{car}/links", f"/cars/{car}/links/{number}/end").status_code == 303
    assert send(owner, f"/cars/{car}/links", f"/cars/{car}/links/{number}/end").status_code == 404
    forged = link[:-1] + ("A" if link[-1] != "A" else "B")
    clock.now += timedelta(days=14)
    assert public().get(link).status_code == 200
    clock.now += timedelta(seconds=1)
    browser = public()
    said = set()
    for one in (forged, link, back, "/inspect/" + "x" * 43, "/inspect/%00", "/inspect/x"):
        for address in (one, f"{one}/dossier"):
            answer = browser.get(address)
            said.add((answer.status_code, answer.text, tuple(answer.headers)))
    assert {status for status, _, _ in said} == {404}
    assert len(said) == 1


def test_a_link_opens_its_own_dossier_and_nothing_else(
    public: Browsers, keeping: Keeping, links: Links, record: str, move: str, car: str, dossier: str, link: str
) -> None:
    other = keeping.add_car(record, move.replace("2026-11-06", "2026-11-05"), "Ash").id
    theirs = keeping.give_out(other, "json", keeping.today(), "Ash").digest
    secret = link.removeprefix("/inspect/")
    browser = public()
    for address in (f"{link}/{theirs}", f"{link}/dossier/{theirs}", f"/cars/{car}", f"/cars/{other}",
                    f"/cars/{car}/dossiers/{dossier}", f"/api/cars/{car}", f"/shop/{secret}"):  # fmt: skip
        answer = browser.get(address, headers={"Authorization": f"Bearer {secret}"})
        assert answer.status_code in (303, 401, 404), address
        assert "Wren Hollow" not in answer.text
    assert browser.get(f"{link}/dossier?digest={theirs}").content == keeping.dossier(car, dossier)[0]


def test_an_owner_can_not_make_a_link_to_another_cars_dossier(
    owner: TestClient, keeping: Keeping, links: Links, record: str, move: str, car: str, dossier: str
) -> None:
    other = keeping.add_car(record, move, "Ash").id
    page = f"/cars/{other}/links"
    send(owner, f"/cars/{car}", f"/cars/{other}/dossiers", form="pdf")
    assert send(owner, page, page, kind="inspector", about=dossier).status_code == 404
    links.make(Role.INSPECTOR, car, dossier, "", 9, OWNER)
    number = links.of_car(car)[0].id
    assert send(owner, page, f"/cars/{other}/links/{number}/end").status_code == 404, "by the number of another car's"
    assert len(links.of_car(car)) == 1


def test_how_long_and_how_many(links: Links, car: str, dossier: str) -> None:
    for days in (0, LONGEST_DAYS + 1):
        with pytest.raises(ValueError, match=str(days)):
            links.make(Role.INSPECTOR, car, dossier, "", days, OWNER)
    for _ in range(MOST_OF_CAR):
        links.make(Role.INSPECTOR, car, dossier, "", LONGEST_DAYS, OWNER)
    with pytest.raises(TooManyLinks):
        links.make(Role.INSPECTOR, car, dossier, "", 1, OWNER)


def test_a_blanked_finding_leaves_its_line(public: Browsers, owner: TestClient, keeping: Keeping, car: str,
                                           link: str) -> None:  # fmt: skip
    send(public(), link, link, finding="received", name="Lee", remarks="a telephone number")
    entry = keeping.history.versions(car, "remark")[0]
    keeping.history.blank([entry.digest], keeping.written_now(), "Ash", "names a person")
    shown = owner.get(f"/cars/{car}").text
    assert "a telephone number" not in shown
    assert "Its text was taken away for good" in shown
    assert "Lee, by inspector&#39;s link" in shown


def test_on_its_own_machine_links_open_too(client: TestClient, keeping: Keeping, car: str, dossier: str) -> None:
    made = send(client, f"/cars/{car}/links", f"/cars/{car}/links", kind="inspector", about=dossier)
    found = re.search(r"http://localhost(/inspect/[\w-]{43})", made.text)
    assert found is not None
    assert "answers on this machine alone" in made.text
    assert send(client, found[1], found[1], finding="accepted", name="Lee").status_code == 303


def test_no_address_is_sent_on_to_another_with_the_secret_of_a_link_in_it(client: TestClient) -> None:
    """Behind a proxy the service would name an address without TLS."""
    for address in (f"/inspect/{'x' * 43}/", f"/invited/{'x' * 43}/", "/rules/"):
        answer = client.get(address, follow_redirects=False)
        assert answer.status_code == 404, address
        assert "location" not in answer.headers
