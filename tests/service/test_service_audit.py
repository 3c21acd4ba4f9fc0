"""Who did what and when: the list, and that nothing that somebody writes makes a line or a header of its own."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.links import Links
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.keeping import Keeping
from carknocker.service.storage.audit import AuditList

OWNER = Visitor("Ash", Role.OWNER)
Browsers = Callable[[], TestClient]


def test_the_list_says_who_did_what_and_when_and_no_contents(
    public: Browsers, accounts: Accounts, keeping: Keeping, clock: Any, record: str, move: str
) -> None:
    links = Links(accounts.store, accounts.now)
    made = accounts.invite(Role.OWNER, "Birch", OWNER)
    owner = public()
    owner.cookies.set("__Host-carknocker", accounts.make_account("invitation", made, "Birch", "seven green lanterns"))
    clock.now += timedelta(seconds=1)
    car = keeping.add_car(record, move, "Birch").id
    dossier = keeping.give_out(car, "markdown", keeping.today(), "Birch").digest
    clock.now += timedelta(seconds=1)
    link = f"/inspect/{links.make(Role.INSPECTOR, car, dossier, 'the host', 9, OWNER)}"
    inspector = public()
    for _ in range(2):
        inspector.get(f"{link}/dossier")
    clock.now += timedelta(seconds=1)
    inspector.post(
        link, data={"token": token(inspector, link), "finding": "declined", "name": "Lee", "remarks": "secret word"}
    )
    keeping.history.blank([dossier], keeping.written_now(), "Birch", "another secret word")
    told = owner.get("/api/audit", params={"most": 200}).json()
    assert told["next"] is None
    assert [(one["at"][-3:], one["who"], one["what"], one["about"]) for one in told["acts"]] == [
        ("03Z", "Birch", "took something away for good", dossier[:8]),
        ("03Z", "Lee, by inspector's link 3", "wrote: remark", "version 1"),
        ("02Z", "inspector's link 3", "opened the dossier", dossier[:8]),
        ("02Z", "Ash", "made the inspector's link", "the host"),
        ("01Z", "Birch", "wrote: dossier", "version 1"),
        ("01Z", "Birch", "wrote: move", "version 1"),
        ("01Z", "Birch", "wrote: record", "version 1"),
        ("00Z", "Birch", "logged in", ""),
        ("00Z", "Birch", "made an account, as owner", ""),
        ("00Z", "Ash", "invited somebody, as owner", "Birch"),
    ]
    page = owner.get("/audit").text
    assert "opened the dossier" in page
    assert "secret word" not in page
    assert "secret word" not in str(told)


def test_it_comes_page_by_page(client: TestClient, keeping: Keeping, record: str, move: str) -> None:
    for _ in range(3):
        keeping.add_car(record, move, "owner")
    whole = AuditList(keeping.history.engine).lines(most=200)
    seen: list[str] = []
    before: str | None = ""
    while before is not None:
        told = client.get("/api/audit", params={"before": before, "most": 2}).json()
        seen += [f"{one['car']} {one['what']}" for one in told["acts"]]
        before = told["next"]
    assert seen == [f"{one.car} {one.what}" for one in whole]
    assert len(seen) == 6
    assert client.get("/audit?before=x").status_code == 404
    assert client.get("/api/audit?before=x").status_code == 400


def test_refused_log_ins_are_told_with_the_next_one_and_nothing_is_written_for_a_stranger(
    public: Browsers, accounts: Accounts
) -> None:
    """Writing takes its time: a row for a name that there is would tell a stranger that there is one."""
    accounts.make_account("invitation", accounts.invite(Role.READER, "", OWNER), "Birch", "seven green lanterns")
    audit = AuditList(accounts.store.engine)
    before = audit.lines(most=200)
    browser = public()
    for name in ("Birch", "my password by mistake", "birch"):
        browser.post("/log-in", data={"token": token(browser, "/log-in"), "name": name, "password": "typed in vain"})
    assert audit.lines(most=200) == before
    sent = {"token": token(browser, "/log-in"), "name": "Birch", "password": "seven green lanterns"}
    assert browser.post("/log-in", data=sent).status_code == 303
    newest = audit.lines(most=1)[0]
    assert (newest.who, newest.what, newest.about) == ("Birch", "logged in", "after 2 refused")


def test_what_is_typed_makes_no_line_of_its_own(public: Browsers, accounts: Accounts) -> None:
    made = accounts.invite(Role.OWNER, "", OWNER)
    owner = public()
    owner.cookies.set("__Host-carknocker", accounts.make_account("invitation", made, "Birch", "seven green lanterns"))
    sent = {
        "token": token(owner, "/people"),
        "role": "reader",
        "label": "x\r\n2026-10-08T12:00:00Z, Ash: closed an account",
    }
    owner.post("/people/invitations", data=sent)
    owner.post(
        "/me/tokens", data={"token": token(owner, "/me"), "role": "reader", "label": "x\u202e\x00\x1b[2J", "days": "9"}
    )
    for one in AuditList(accounts.store.engine).lines(most=200):
        assert one.about.isprintable(), one
        assert one.who.isprintable(), one


@pytest.mark.parametrize(
    "address",
    ["/%0d%0aSet-Cookie:%20a=b", "/cars/x%0d%0aSet-Cookie:%20a=b", "/?after=%0d%0aSet-Cookie:%20a=b",
     "/cars/x/why?part=%0d%0aSet-Cookie:%20a=b", "/inspect/%0d%0aSet-Cookie:%20a=b"],
)  # fmt: skip
def test_an_address_makes_no_header(public: Browsers, client: TestClient, address: str) -> None:
    for browser in (public(), client):
        answer = browser.get(address)
        assert "a=b" not in answer.headers.get("set-cookie", "")
        assert not [value for value in answer.headers.values() if "\r" in value or "\n" in value]


def test_a_name_of_a_file_makes_no_header_and_no_line(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = keeping.add_car(record, move, "owner").id
    answer = client.post(
        f"/cars/{car}/forms", data={"token": token(client, f"/cars/{car}")},
        files={"form": ('../../x"\r\nSet-Cookie: a=b\r\n.yaml', b"x: 1", "text/yaml")},
    )  # fmt: skip
    assert answer.status_code in (400, 422)
    assert "a=b" not in answer.headers.get("set-cookie", "")


@pytest.mark.parametrize("address", ["/cars/%00", "/people/%00/close", "/api/cars/%00", "/inspect/%00", "/shop/%00"])
def test_a_character_that_no_database_holds_is_refused_in_an_address(
    public: Browsers, accounts: Accounts, address: str
) -> None:
    owner = public()
    made = accounts.invite(Role.OWNER, "", OWNER)
    owner.cookies.set("__Host-carknocker", accounts.make_account("invitation", made, "Birch", "seven green lanterns"))
    method = "POST" if address.endswith("close") else "GET"
    sent = {"token": token(owner, "/people")} if method == "POST" else None
    assert owner.request(method, address, data=sent).status_code in (400, 404, 422)


def test_a_character_that_no_database_holds_is_refused_or_left_out_in_a_field(
    public: Browsers, client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    browser = public()
    sent = {"token": token(browser, "/log-in"), "name": "Bir\x00ch", "password": "seven green lanterns"}
    assert browser.post("/log-in", data=sent).status_code in (400, 403)
    car = keeping.add_car(record, move, "owner").id
    note = {"note": "a\x00b\r\nc", "text": record + "# more\n", "after": "1"}
    client.post(f"/cars/{car}/texts/record", data={"token": token(client, f"/cars/{car}"), **note})
    assert keeping.newest(car, "record").note.isprintable()
    assert keeping.newest(car, "record").number == 2


READING = """format: carknocker-form/1
car: "QWHX 27"
sheets:
  - sheet: "truck A"
    on: 2026-10-07
    by: RE
    readings:
      "wheel L1": {flange_thickness: {reads: 1 1/16 in, gauge: G-2}}
last_line: yes
"""


def test_of_a_reading_the_history_says_who_entered_it_and_who_read_it(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = keeping.add_car(record, move, "owner").id
    keeping.enter_once(car, READING.encode(), "w.yaml", "Birch", None)
    newest = keeping.newest(car, "record")
    assert (newest.by, newest.note) == ("Birch", "entered w.yaml: 1 reading, read by RE")
    shown = client.get(f"/cars/{car}").text
    assert "Birch: record 2, entered w.yaml: 1 reading, read by RE" in shown
