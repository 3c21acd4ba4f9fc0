"""A shop's link: one sheet of its own, which waits until the owner or a helper accepts it."""

import re
from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient
from form_token import token
from httpx import Response

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.links import Links
from carknocker.service.access.names import NameRefused
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.keeping import Keeping
from carknocker.service.shop_forms import MOST_WAITING, ShopForms
from carknocker.service.storage.history import NewVersion

OWNER = Visitor("Ash", Role.OWNER)
SHEET = "work, tests and papers"
FORM = """format: carknocker-form/1
car: "QWHX 27"
sheets:
  - sheet: "work, tests and papers"
    readings:
      "test “single-car brake test”":
        {on: 2026-10-07, by: TV, result: passed, code: passenger, device: D-7, device_due: 2026-10-20,
         leakage: 2 psi/min}
"""
END = "last_line: yes\n"
WHEELS = """  - sheet: "work, tests and papers"
    on: 2026-10-07
    by: TV
    readings:
      "wheel L1": {flange_thickness: {reads: 1 in, gauge: G-2}}
"""
Browsers = Callable[[], TestClient]


@pytest.fixture
def links(accounts: Accounts) -> Links:
    return Links(accounts.store, accounts.now)


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "Ash").id


@pytest.fixture
def link(links: Links, car: str) -> str:
    return f"/shop/{links.make(Role.SHOP, car, SHEET, 'Riverside Shop', 14, OWNER)}"


def person(public: Browsers, accounts: Accounts, role: Role, name: str) -> TestClient:
    made = accounts.invite(role, "", OWNER)
    browser = public()
    browser.cookies.set("__Host-carknocker", accounts.make_account("invitation", made, name, "seven green lanterns"))
    return browser


def send(browser: TestClient, page: str, address: str, text: str | None = None, **fields: str) -> Response:
    """Sends a form of a page, with the token that the page gave."""
    files = None if text is None else {"form": ("sheet.yaml", text.encode(), "text/yaml")}
    return browser.post(address, data={"token": token(browser, page), **fields}, files=files)


def test_what_a_shop_sends_waits_and_is_entered_as_its_own(
    public: Browsers, accounts: Accounts, keeping: Keeping, car: str, link: str
) -> None:
    shop, helper = public(), person(public, accounts, Role.HELPER, "Birch")
    assert SHEET in shop.get(link).text
    done = send(shop, link, link, FORM + END)
    assert "It is here, and waits" in done.text, done.text
    assert "single-car brake test" in done.text
    assert keeping.newest(car, "record").number == 1, "nothing is entered yet"
    waits = re.search(rf"/cars/{car}/sent/(\d+)", helper.get(f"/cars/{car}").text)
    assert waits is not None
    page = helper.get(waits[0]).text
    assert "single-car brake test" in page
    assert re.search(r"done by TV [^<]*\([a-z][^<]*\)</strong>, with the role", page), "whom the shop named"
    assert send(helper, waits[0], waits[0], decision="accept").status_code == 303
    newest = keeping.newest(car, "record")
    assert newest.number == 2
    assert newest.by == "Riverside Shop, by shop's link 1; accepted by Birch"
    assert "2026-10-07" in keeping.text(car, "record")[1]
    assert send(helper, f"/cars/{car}", waits[0], decision="accept").status_code == 412, "it is decided"
    assert keeping.newest(car, "record").number == 2
    assert "accepted" in shop.get(link).text


def test_a_form_that_is_declined_changes_nothing_and_stays_in_the_history(
    public: Browsers, accounts: Accounts, keeping: Keeping, car: str, link: str
) -> None:
    shop, helper = public(), person(public, accounts, Role.HELPER, "Birch")
    send(shop, link, link, FORM + END)
    number = keeping.history.versions(car, "sent form")[0].id
    page = f"/cars/{car}/sent/{number}"
    assert send(helper, page, page, decision="decline", why="the device was\nanother").status_code == 303
    assert keeping.newest(car, "record").number == 1
    assert "declined: the device was another" in shop.get(link).text
    (decision,) = keeping.history.versions(car, "decision")
    assert (decision.by, decision.note) == ("Birch", "declined: the device was another")
    assert send(helper, f"/cars/{car}", page, decision="accept").status_code == 412


@pytest.mark.parametrize(
    "text",
    [FORM + WHEELS, "format: carknocker-form/1\ncar: QWHX 27\nsheets:\n" + WHEELS,
     FORM.replace("test “single-car brake test”", "brake system"), FORM.replace("QWHX 27", "QWHX 28"),
     FORM.replace("on: 2026-10-07, by: TV", "on: 2027-10-07, by: TV"), "x: [", ""],
)  # fmt: skip
def test_a_form_that_says_anything_of_another_sheet_or_car_is_not_taken(
    public: Browsers, keeping: Keeping, car: str, link: str, text: str
) -> None:
    done = send(public(), link, link, text + END)
    assert done.status_code == 422
    assert "Nothing was taken" in done.text
    assert keeping.history.versions(car, "sent form") == ()


def test_a_shop_of_the_wheels_enters_wheels_and_no_test(
    public: Browsers, links: Links, keeping: Keeping, car: str
) -> None:
    head = "format: carknocker-form/1\ncar: QWHX 27\nsheets:\n"
    link = f"/shop/{links.make(Role.SHOP, car, 'truck A', 'Riverside Shop', 14, OWNER)}"
    taken = send(public(), link, link, head + WHEELS.replace("L1", "L6") + END)
    assert ("It is here, and waits" in taken.text) != ("an answer about wheel L6" in taken.text)
    other = send(public(), link, link, head + WHEELS + END)
    assert ("It is here, and waits" in taken.text) != ("It is here, and waits" in other.text), "one truck has the wheel"
    assert "an answer about test" in send(public(), link, link, FORM + END).text


def test_not_more_wait_than_may(public: Browsers, keeping: Keeping, car: str, link: str) -> None:
    shop = public()
    for _ in range(MOST_WAITING):
        assert send(shop, link, link, FORM + END).status_code == 200
    assert send(shop, link, link, FORM + END).status_code == 422
    assert len(keeping.history.versions(car, "sent form")) == MOST_WAITING


def test_the_sheet_to_fill_in_is_that_one_alone(public: Browsers, link: str) -> None:
    form = public().get(f"{link}/worksheet.html")
    assert form.headers["content-disposition"].startswith("attachment")
    assert "single-car brake test" in form.text
    assert public().get(f"{link}/worksheet.xlsx").content.startswith(b"PK")


def test_a_reader_decides_nothing_and_another_car_is_not_reached(
    public: Browsers, accounts: Accounts, keeping: Keeping, record: str, move: str, car: str, link: str
) -> None:
    other = keeping.add_car(record, move, "Ash").id
    send(public(), link, link, FORM + END)
    number = keeping.history.versions(car, "sent form")[0].id
    reader, helper = (person(public, accounts, role, role.value.title()) for role in (Role.READER, Role.HELPER))
    assert "A form of a shop waits" not in reader.get(f"/cars/{car}").text
    assert reader.get(f"/cars/{car}/sent/{number}").status_code == 403
    crossed = f"/cars/{other}/sent/{number}"
    assert helper.get(crossed).status_code == 404
    assert send(helper, f"/cars/{car}", crossed, decision="accept").status_code == 404
    assert keeping.newest(other, "record").number == keeping.newest(car, "record").number == 1


def test_an_owner_makes_the_link_for_a_sheet_that_there_is(
    public: Browsers, accounts: Accounts, links: Links, car: str
) -> None:
    owner = person(public, accounts, Role.OWNER, "Alder")
    page = f"/cars/{car}/links"
    assert send(owner, page, page, kind="shop", about="roof", label="Riverside").status_code == 404
    assert send(owner, page, page, kind="shop", about=SHEET, label="Riverside, by Ash", signer="TV").status_code == 422
    assert links.of_car(car) == ()
    for nobody in ("", "XX", "TV (qualified maintenance person)"):
        refused = send(owner, page, page, kind="shop", about=SHEET, label="Riverside", signer=nobody)
        assert (refused.status_code, "choose who signs" in refused.text) == (422, True), nobody
    assert links.of_car(car) == ()
    made = send(owner, page, page, kind="shop", about=SHEET, label="Riverside", signer="TV")
    assert [one.signer for one in links.of_car(car)] == ["TV"]
    assert "signed by TV" in owner.get(page).text
    assert re.search(r"https://cars\.example\.org/shop/[\w-]{43}", made.text)
    with pytest.raises(NameRefused):
        links.make(Role.SHOP, car, SHEET, "owner", 9, OWNER)


JOB = """      "job 1": {did: safety appliance repaired, at: "1", on: 2026-10-07%s}
"""
NEW_PERSON = """  - sheet: "who read, and with what"
    readings:
      "person 1": {name: ZZ, role: shop inspector}
"""


@pytest.fixture
def signed_by(links: Links, car: str) -> Callable[[str], str]:
    """A link for one who signs."""
    return lambda name: f"/shop/{links.make(Role.SHOP, car, SHEET, 'Riverside Shop', 14, OWNER, name)}"


def test_what_the_one_whom_the_link_names_signed_is_taken(
    public: Browsers, accounts: Accounts, keeping: Keeping, car: str, signed_by: Callable[[str], str]
) -> None:
    link = signed_by("TV")
    assert "signed by TV alone" in public().get(link).text
    offered = public().get(f"{link}/worksheet.html").text
    assert "TV (qualified maintenance person)" in offered
    assert "HM (shop inspector)" not in offered
    taken = send(public(), link, link, FORM + JOB % ", by: TV" + END)
    assert "It is here, and waits" in taken.text, taken.text
    number = keeping.history.versions(car, "sent form")[0].id
    helper, page = person(public, accounts, Role.HELPER, "Birch"), f"/cars/{car}/sent/{number}"
    assert "may have named anybody" not in helper.get(page).text
    assert send(helper, page, page, decision="accept").status_code == 303
    assert keeping.newest(car, "record").number == 2


@pytest.mark.parametrize(
    ("signer", "text", "said"),
    [("HM", FORM, "signed by TV"), ("TV", FORM + JOB % ", by: HM", "signed by HM"),
     ("TV", FORM + JOB % "", "a job that nobody signed"),
     ("TV", FORM + NEW_PERSON, "somebody who is to be put on record")],
)  # fmt: skip
def test_what_anybody_else_signed_is_not_taken(
    public: Browsers, keeping: Keeping, car: str, signed_by: Callable[[str], str], signer: str, text: str, said: str
) -> None:
    link = signed_by(signer)
    done = send(public(), link, link, text + END)
    assert done.status_code == 422, done.text
    assert said in done.text
    assert f"what {signer} signed alone" in done.text
    assert keeping.history.versions(car, "sent form") == ()


def test_who_signs_is_looked_at_again_when_it_is_accepted(
    public: Browsers, keeping: Keeping, accounts: Accounts, car: str, signed_by: Callable[[str], str]
) -> None:
    """Also once the link is taken back, or its time is over."""
    link = signed_by("TV")
    assert send(public(), link, link, FORM + END).status_code == 200
    sent = ShopForms(keeping).of_car(car, most=1)[0]
    assert ShopForms(keeping).signer_of(sent) == "TV"
    Links(accounts.store, accounts.now).take_back(car, sent.link, OWNER)
    assert ShopForms(keeping).signer_of(sent) == "TV"
    assert ShopForms(keeping).would_bring(car, sent).readers == ("TV (qualified maintenance person)",)


def sent_by(keeping: Keeping, car: str, link: str, number: int, name: str = "sheet.yaml") -> int:
    """A form as a link of that number keeps it; its number in the history."""
    body = f"{name} {number}".encode()
    new = NewVersion(car, "sent form", f"{link} {SHEET}", body, "text/plain", "2026-10-08T12:00:00Z", "Shop", name)
    return keeping.history.add([new])[0].id


def test_of_many_forms_each_is_reached_and_what_waits_is_never_hidden_behind_what_is_decided(
    public: Browsers, accounts: Accounts, keeping: Keeping, links: Links, car: str, link: str
) -> None:
    """A form that waits, and 260 that came after it and are decided."""
    helper, reader = person(public, accounts, Role.HELPER, "Birch"), person(public, accounts, Role.READER, "Cedar")
    (own,) = [one for one in links.of_car(car) if one.label == "Riverside Shop"]
    first = sent_by(keeping, car, str(own.id), 0, "first.yaml")
    forms = ShopForms(keeping)
    for number in range(1, 261):
        forms.decline(car, sent_by(keeping, car, str(own.id), number), OWNER, f"reason {number}")
    assert f"/cars/{car}/sent/{first}" in helper.get(f"/cars/{car}").text
    assert forms.one(car, first).decision == ""
    assert helper.get(f"/cars/{car}/sent/{first}").status_code == 200
    met, address = [], f"/cars/{car}/sent"
    while address:
        page = helper.get(address).text
        assert page.count("<li>") <= 50
        met += [int(one) for one in re.findall(rf'/cars/{car}/sent/(\d+)"', page)]
        older = re.search(r'<a href="([^"]+)">Older</a>', page)
        address = older[1] if older is not None else ""
    assert met == sorted(met, reverse=True)
    assert (len(met), met[-1]) == (261, first)
    assert "declined: reason 260, by Ash" in helper.get(f"/cars/{car}/sent").text
    assert reader.get(f"/cars/{car}/sent").status_code == 403
    assert helper.get(f"/cars/{car}/sent/{first + 1}0000").status_code == 404
    record = keeping.newest(car, "record").id
    assert helper.get(f"/cars/{car}/sent/{record}").status_code == 404, "no form"


def test_how_many_wait_counts_for_each_link_whatever_others_sent(
    public: Browsers, keeping: Keeping, links: Links, car: str, link: str
) -> None:
    shop = public()
    (own,) = [one for one in links.of_car(car) if one.label == "Riverside Shop"]
    for number in range(MOST_WAITING):
        sent_by(keeping, car, str(own.id), number, "own.yaml")
    for number in range(210):
        sent_by(keeping, car, str(own.id + 1), number, "other.yaml")
    assert send(shop, link, link, FORM + END).status_code == 422
    page = shop.get(link).text
    assert page.count("own.yaml: waits") == MOST_WAITING
    assert "other.yaml" not in page


def test_a_page_of_a_car_shows_ten_forms_that_wait_and_says_that_there_are_more(
    public: Browsers, accounts: Accounts, keeping: Keeping, car: str
) -> None:
    helper = person(public, accounts, Role.HELPER, "Birch")
    numbers = [sent_by(keeping, car, "7", number) for number in range(10)]
    assert "More forms of shops wait" not in helper.get(f"/cars/{car}").text
    numbers.append(sent_by(keeping, car, "7", 10))
    page = helper.get(f"/cars/{car}").text
    assert [int(one) for one in re.findall(rf'/cars/{car}/sent/(\d+)"', page)] == numbers[:10]
    assert "More forms of shops wait" in page
    ShopForms(keeping).decline(car, numbers[0], OWNER, "")
    page = helper.get(f"/cars/{car}").text
    assert [int(one) for one in re.findall(rf'/cars/{car}/sent/(\d+)"', page)] == numbers[1:]
    assert "More forms of shops wait" not in page


def test_a_shop_sees_all_that_it_sent_page_by_page(
    public: Browsers, keeping: Keeping, links: Links, car: str, link: str
) -> None:
    (own,) = [one for one in links.of_car(car) if one.label == "Riverside Shop"]
    for number in range(53):
        sent_by(keeping, car, str(own.id), number, f"sheet-{number}.yaml")
    shop = public()
    first = shop.get(link).text
    older = re.search(r'<a href="([^"]+)">What you sent before</a>', first)
    assert older is not None
    rest = shop.get(older[1]).text
    assert [page.count("waits</li>") for page in (first, rest)] == [50, 3]
    assert "sheet-0.yaml" in rest
    assert "What you sent before" not in rest
