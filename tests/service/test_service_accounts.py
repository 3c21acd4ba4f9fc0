"""Accounts of a service under a public name: set up, invited, logged in, ended; passwords, tries, tokens."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient
from form_token import token
from httpx import Response
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.service.access.accounts import Accounts
from carknocker.service.access.names import NameRefused
from carknocker.service.access.passwords import PasswordRefused, Passwords
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.access.tries import TooManyTries, Tries, network_of
from carknocker.service.address import AddressRefused, public_address
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import NameTaken, NotOpen
from carknocker.service.storage.database import SQLITE_FILE
from carknocker.service.storage.tables import metadata

OWNER = Visitor("Ash", Role.OWNER)
WORD = "seven green lanterns"
COOKIE = "__Host-carknocker"
Browsers = Callable[[], TestClient]


def send(browser: TestClient, page: str, address: str, **fields: str) -> Response:
    """Sends a form of a page, with the token that the page gave."""
    return browser.post(address, data={"token": token(browser, page), **fields})


def join(accounts: Accounts, browser: TestClient, role: Role, name: str) -> TestClient:
    """Somebody who was invited, and is logged in."""
    made = accounts.invite(role, name, OWNER)
    done = send(browser, f"/invited/{made}", f"/invited/{made}", name=name, password=WORD)
    assert done.status_code == 303, done.text
    return browser


def is_logged_in(browser: TestClient) -> bool:
    return browser.get("/me").status_code == 200


def id_of(accounts: Accounts, name: str) -> str:
    return next(one.id for one in accounts.people() if one.name == name)


# -------------------------------------------------------------------- set-up and invitation


def test_nobody_comes_in_before_the_set_up_and_its_token_makes_one_owner(public: Browsers, accounts: Accounts) -> None:
    browser = public()
    assert browser.get("/").headers["location"] == "/log-in?to=/"
    assert browser.get("/api/cars").status_code == 401
    token = accounts.set_up_token()
    assert send(browser, "/set-up", "/set-up", secret="x" * 43, name="Ash", password=WORD).status_code == 422
    assert send(browser, "/set-up", "/set-up", secret=token, name="Ash", password="short").status_code == 422
    assert send(browser, "/set-up", "/set-up", secret=token, name="Ash", password=WORD).status_code == 303
    assert browser.get("/people").status_code == 200
    again = send(public(), "/set-up", "/set-up", secret=token, name="Birch", password=WORD)
    assert again.status_code == 422
    assert [(one.name, one.role) for one in accounts.people()] == [("Ash", "owner")]


def test_a_newer_set_up_token_takes_the_older_one_back_and_each_is_good_for_a_day(
    accounts: Accounts, clock: Any
) -> None:
    first, second = accounts.set_up_token(), accounts.set_up_token()
    with pytest.raises(NotOpen):
        accounts.make_account("set-up", first, "Ash", WORD)
    start = clock.now
    clock.now = start + timedelta(hours=24, seconds=1)
    with pytest.raises(NotOpen):
        accounts.make_account("set-up", second, "Ash", WORD)
    clock.now = start + timedelta(hours=24)
    accounts.make_account("set-up", second, "Ash", WORD)


def test_an_owner_invites_and_the_invitation_opens_once(public: Browsers, accounts: Accounts) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    made = send(owner, "/people", "/people/invitations", role="helper", label="Birch")
    found = re.search(r"https://cars\.example\.org(/invited/[\w-]{43})", made.text)
    assert found is not None
    assert found[1] not in owner.get("/people").text, "shown once"
    other = public()
    assert "invites you as helper" in other.get(found[1]).text
    assert other.get(found[1]).status_code == 200, "looking does not use it up"
    assert send(other, found[1], found[1], name="Birch", password=WORD).status_code == 303
    assert "Birch, helper" in other.get("/me").text
    assert public().get(found[1]).status_code == 404
    assert "Birch, helper" in owner.get("/people").text


def test_an_invitation_that_is_forged_used_taken_back_or_old_says_the_same(
    public: Browsers, accounts: Accounts, clock: Any
) -> None:
    used, back, old = (accounts.invite(Role.READER, "", OWNER) for _ in range(3))
    accounts.make_account("invitation", used, "Birch", WORD)
    number = next(one.id for one in accounts.invitations() if accounts.invited(back).id == one.id)
    assert accounts.end_invitation(OWNER, number)
    assert not accounts.end_invitation(OWNER, number)
    clock.now += timedelta(days=7, seconds=1)
    browser = public()
    browser.get("/log-in")
    said = {(one.status_code, one.text) for one in (browser.get(f"/invited/{x}") for x in ("x" * 43, used, back, old))}
    assert len(said) == 1
    assert said.pop()[0] == 404
    for one in ("x" * 43, used, back, old):
        with pytest.raises(NotOpen):
            accounts.make_account("invitation", one, "Cedar", WORD)


@pytest.mark.parametrize("name", ["Birch", "Zoë O’Hara-Smith", "J. Ash 2", "x" * 40, "a\nb"])
def test_a_name_is_given_once_however_it_is_written(accounts: Accounts, name: str) -> None:
    accounts.make_account("invitation", accounts.invite(Role.READER, "", OWNER), name, WORD)
    again = accounts.invite(Role.READER, "", OWNER)
    with pytest.raises(NameTaken):
        accounts.make_account("invitation", again, f" {name.upper()}", WORD)
    assert [one.name for one in accounts.people()] == [name.replace("\n", " ")]
    assert accounts.invited(again), "a slip of the pen does not use it up"


@pytest.mark.parametrize(
    "name", ["", "x" * 41, "Birch, by Ash", "<b>", "a\x00b", "Owner", "CARKNOCKER", "Bir\u202ech", "Birch (owner)", "_"]
)
def test_names_that_would_mislead_are_refused(accounts: Accounts, name: str) -> None:
    made = accounts.invite(Role.READER, "", OWNER)
    with pytest.raises(NameRefused):
        accounts.make_account("invitation", made, name, WORD)
    assert accounts.people() == ()
    assert accounts.invited(made)


def test_a_closed_account_opens_nothing_and_its_name_is_not_given_again(public: Browsers, accounts: Accounts) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    helper = join(accounts, public(), Role.HELPER, "Birch")
    who = accounts.by_session(helper.cookies[COOKIE])
    token = accounts.make_token(who, Role.HELPER, "", 9)
    done = send(owner, "/people", f"/people/{id_of(accounts, 'Birch')}/close")
    assert done.status_code == 303
    assert not is_logged_in(helper)
    assert public().get("/api/cars", headers={"Authorization": f"Bearer {token}"}).status_code == 401
    assert send(public(), "/log-in", "/log-in", name="Birch", password=WORD).status_code == 403
    made = accounts.invite(Role.READER, "", OWNER)
    assert send(public(), f"/invited/{made}", f"/invited/{made}", name="birch", password=WORD).status_code == 422
    assert "closed" in owner.get("/people").text


def test_the_last_owner_is_not_closed(public: Browsers, accounts: Accounts) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    assert send(owner, "/people", f"/people/{id_of(accounts, 'Ash')}/close").status_code == 422
    assert is_logged_in(owner)
    join(accounts, public(), Role.OWNER, "Birch")
    assert send(owner, "/people", f"/people/{id_of(accounts, 'Ash')}/close").status_code == 303
    assert not is_logged_in(owner)


# -------------------------------------------------------------------- log-in


def test_a_log_in_gives_a_cookie_of_its_own(public: Browsers, accounts: Accounts) -> None:
    join(accounts, public(), Role.READER, "Birch")
    browser = public()
    before = browser.get("/log-in").cookies[COOKIE]
    done = send(browser, "/log-in", "/log-in", name="BIRCH", password=WORD, to="/cars/abc")
    assert done.headers["location"] == "/cars/abc"
    after = browser.cookies[COOKIE]
    assert after != before, "what a stranger gave the browser before is worth nothing"
    stranger = public()
    stranger.cookies.set(COOKIE, before)
    assert not is_logged_in(stranger)
    said = done.headers["set-cookie"]
    assert all(word in said for word in ("HttpOnly", "Secure", "SameSite=lax", "Path=/", "Max-Age=604800"))
    assert "Domain" not in said


@pytest.mark.parametrize("planted", ["x" * 43, "of the attacker", "", None])
def test_a_cookie_that_was_planted_before_the_log_in_fixes_no_session(
    public: Browsers, accounts: Accounts, planted: str | None
) -> None:
    """Session fixation: who gave a browser a cookie, made up or from the service, is not logged in by its log-in."""
    join(accounts, public(), Role.OWNER, "Birch")
    attacker, victim = public(), public()
    cookie = planted if planted is not None else attacker.get("/log-in").cookies[COOKIE]
    victim.cookies.set(COOKIE, cookie, domain="cars.example.org", path="/")
    assert send(victim, "/log-in", "/log-in", name="Birch", password=WORD).status_code == 303
    own = {one.value for one in victim.cookies.jar if one.name == COOKIE} - {cookie}
    assert len(own) == 1
    attacker.cookies.clear()
    attacker.cookies.set(COOKIE, cookie)
    assert not is_logged_in(attacker)
    assert attacker.get("/api/cars").status_code == 401


@pytest.mark.parametrize(
    "to", ["//evil.example", "https://evil.example", "/\\evil.example", "/a\r\nX-Bad: 1", "/%0d%0aX: 1", "", "x"]
)
def test_nobody_is_sent_elsewhere_after_the_log_in(public: Browsers, accounts: Accounts, to: str) -> None:
    join(accounts, public(), Role.READER, "Birch")
    done = send(public(), "/log-in", "/log-in", name="Birch", password=WORD, to=to)
    assert done.headers["location"] == "/"
    assert "x-bad" not in done.headers


def test_a_log_in_ends_by_going_out_by_age_and_by_the_owner(public: Browsers, accounts: Accounts, clock: Any) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    browser = join(accounts, public(), Role.READER, "Birch")
    kept = browser.cookies[COOKIE]
    assert send(browser, "/me", "/log-out").headers["location"] == "/log-in"
    assert COOKIE not in browser.cookies
    browser.cookies.set(COOKIE, kept)
    assert not is_logged_in(browser), "a cookie that was kept opens nothing"

    again = public()
    send(again, "/log-in", "/log-in", name="Birch", password=WORD)
    assert is_logged_in(again)
    send(owner, "/people", f"/people/{id_of(accounts, 'Birch')}/log-out")
    assert not is_logged_in(again)
    assert is_logged_in(owner)

    send(again, "/log-in", "/log-in", name="Birch", password=WORD)
    clock.now += timedelta(days=7)
    assert is_logged_in(again)
    clock.now += timedelta(seconds=1)
    assert not is_logged_in(again)


def test_a_wrong_password_and_a_name_that_nobody_has_are_answered_alike(
    public: Browsers, accounts: Accounts, passwords: Passwords, monkeypatch: pytest.MonkeyPatch
) -> None:
    join(accounts, public(), Role.READER, "Birch")
    looked: list[bool] = []
    hasher = passwords._hasher
    verify = type(hasher).verify
    monkeypatch.setattr(type(hasher), "verify", lambda *given: (looked.append(True), verify(*given))[1])
    browser = public()
    browser.get("/log-in")
    wrong = send(browser, "/log-in", "/log-in", name="Birch", password="another long word")
    nobody = send(browser, "/log-in", "/log-in", name="Cedar", password="another long word")
    assert wrong.status_code == nobody.status_code == 403
    assert wrong.text.replace("Birch", "Cedar") == nobody.text
    assert looked == [True, True], "as much work for the one as for the other"
    assert not passwords.is_right(None, "the password of nobody")


def test_tries_are_limited_by_name_and_by_address(public: Browsers, accounts: Accounts) -> None:
    join(accounts, public(), Role.READER, "Birch")
    for name in ("Birch", "Nobody here"):
        statuses = [send(public(), "/log-in", "/log-in", name=name, password="wrong words").status_code
                    for _ in range(11)]  # fmt: skip
        assert statuses == [403] * 10 + [429], name
    assert send(public(), "/log-in", "/log-in", name="Birch", password=WORD).status_code == 429, "also the right one"
    for number in range(28):
        send(public(), "/log-in", "/log-in", name=f"Nobody {number}", password="wrong words")
    refused = send(public(), "/log-in", "/log-in", name="Another", password="wrong words")
    assert refused.status_code == 429
    elsewhere = public()
    elsewhere.headers["X-Forwarded-For"] = "192.0.2.7, 198.51.100.4"
    assert send(elsewhere, "/log-in", "/log-in", name="Another", password="wrong words").status_code == 403


def test_tries_are_forgotten_in_time_and_by_success() -> None:
    now = [0.0]
    tries = Tries(2, 60, lambda: now[0])
    tries.count("a")
    now[0] = 30
    tries.count("a")
    with pytest.raises(TooManyTries) as refused:
        tries.count("a")
    assert refused.value.minutes == 1
    tries.count("b")
    now[0] = 60
    tries.count("a")
    tries.forget("a")
    tries.count("a")
    tries.count("a")


@pytest.mark.parametrize(
    ("address", "network"),
    [("192.0.2.7", "192.0.2.7"), ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"), ("::ffff:192.0.2.7", "192.0.2.7"),
     ("", "unknown"), ("x" * 500, "unknown")],
)  # fmt: skip
def test_a_house_counts_as_one_address(address: str, network: str) -> None:
    assert network_of(address) == network


@pytest.mark.parametrize(("password", "good"), [("abcdefghijkl", True), ("abcdefghijk", False), ("abababababab", False),
                                                ("x" * 201, False), ("abcde" * 40, True)])  # fmt: skip
def test_which_passwords_are_taken(passwords: Passwords, password: str, good: bool) -> None:
    if not good:
        with pytest.raises(PasswordRefused):
            passwords.hash(password)
        return
    kept = passwords.hash(password)
    assert kept.startswith("$argon2id$")
    assert passwords.is_right(kept, password)
    assert not passwords.is_right(kept, password[:-1])


def test_the_hash_that_is_used_is_argon2id_with_the_memory_of_the_standard() -> None:
    """RFC 9106, section 4, second recommended option: t=3, p=4, m=2^16 KiB."""
    assert Passwords().hash("a long enough word").startswith("$argon2id$v=19$m=65536,t=3,p=4$")


def test_not_more_passwords_are_looked_at_at_once_than_memory_allows(
    passwords: Passwords, monkeypatch: pytest.MonkeyPatch
) -> None:
    from carknocker.service.access import passwords as module

    monkeypatch.setattr(module, "LONGEST_WAIT_SECONDS", 0.01)
    with passwords._in_turn(), passwords._in_turn(), pytest.raises(module.Busy):
        passwords.is_right(None, "a long enough word")
    assert not passwords.is_right(None, "a long enough word")


def test_a_new_password_ends_the_other_log_ins(public: Browsers, accounts: Accounts) -> None:
    here = join(accounts, public(), Role.READER, "Birch")
    there = public()
    send(there, "/log-in", "/log-in", name="Birch", password=WORD)
    assert send(here, "/me", "/me/password", before="not this one", password="eight blue lamps").status_code == 403
    assert is_logged_in(there)
    assert send(here, "/me", "/me/password", before=WORD, password="eight blue lamps").status_code == 200
    assert is_logged_in(here)
    assert not is_logged_in(there)
    assert send(there, "/log-in", "/log-in", name="Birch", password=WORD).status_code == 403
    assert send(there, "/log-in", "/log-in", name="Birch", password="eight blue lamps").status_code == 303


# -------------------------------------------------------------------- forms of other pages, and programs


def test_a_form_of_another_log_in_or_page_changes_nothing(
    public: Browsers, accounts: Accounts, record: str, move: str
) -> None:
    owner, other = join(accounts, public(), Role.OWNER, "Ash"), join(accounts, public(), Role.OWNER, "Birch")
    theirs = re.search(r'name="token" value="([0-9a-f]+)"', other.get("/new").text)
    assert theirs is not None
    sent = {"record": record, "move": move}
    assert owner.post("/new", data={**sent, "token": theirs[1]}).status_code == 403
    for headers in ({"Origin": "https://evil.example"}, {"Origin": "http://cars.example.org"},
                    {"Sec-Fetch-Site": "same-site"}, {"Origin": "null"}):  # fmt: skip
        assert owner.post("/api/cars", json=sent, headers=headers).status_code == 403
    assert owner.post("/api/cars", json=sent).status_code == 401, "a browser says from which page it comes"
    assert owner.get("/api/cars").json()["cars"] == []
    done = owner.post("/api/cars", json=sent, headers={"Origin": "https://cars.example.org"})
    assert done.status_code == 201


def test_a_token_opens_the_api_alone_until_it_is_taken_back(
    public: Browsers, accounts: Accounts, record: str, move: str
) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    made = send(owner, "/me", "/me/tokens", role="reader", label="a script", days="30")
    token = re.search(r"<pre>([\w-]{43})</pre>", made.text)
    assert token is not None
    assert token[1] not in owner.get("/me").text, "shown once"
    program = public()
    program.headers["Authorization"] = f"Bearer {token[1]}"
    assert program.get("/api/cars").status_code == 200
    assert program.post("/api/cars", json={"record": record, "move": move}).status_code == 403, "no more than its role"
    for page in ("/", "/me", "/people"):
        assert program.get(page).status_code == 303, page
    (number,) = [one.id for one in accounts.tokens(accounts.by_session(owner.cookies[COOKIE]))]
    other = join(accounts, public(), Role.OWNER, "Birch")
    assert send(other, "/me", f"/me/tokens/{number}/end").status_code == 404, "another's token"
    assert program.get("/api/cars").status_code == 200
    assert send(owner, "/me", f"/me/tokens/{number}/end").status_code == 303
    assert program.get("/api/cars").status_code == 401


def test_a_token_writes_in_the_name_of_its_account_and_ends_in_time(
    public: Browsers, accounts: Accounts, clock: Any, record: str, move: str
) -> None:
    who = accounts.by_session(join(accounts, public(), Role.OWNER, "Ash").cookies[COOKIE])
    program = public()
    program.headers["Authorization"] = f"Bearer {accounts.make_token(who, Role.OWNER, '', 1)}"
    made = program.post("/api/cars", json={"record": record, "move": move})
    assert made.status_code == 201, made.text
    assert program.get(f"/api/cars/{made.json()['id']}/history").json()["versions"][0]["by"] == "Ash"
    clock.now += timedelta(days=1, seconds=1)
    assert program.get("/api/cars").status_code == 401


def test_nobody_makes_a_token_of_more_than_the_own_role(public: Browsers, accounts: Accounts) -> None:
    helper = join(accounts, public(), Role.HELPER, "Birch")
    assert send(helper, "/me", "/me/tokens", role="owner", days="9").status_code == 404
    assert send(helper, "/me", "/me/tokens", role="anyone", days="9").status_code == 404
    assert accounts.tokens(accounts.by_session(helper.cookies[COOKIE])) == ()


@pytest.mark.parametrize("said", ["Basic QTpC", "Bearer", "Bearer x", "Bearer " + "x" * 43, "bearer ../..", ""])
def test_a_wrong_authorization_is_nobody_also_beside_a_log_in(public: Browsers, accounts: Accounts, said: str) -> None:
    owner = join(accounts, public(), Role.OWNER, "Ash")
    assert owner.get("/api/cars", headers={"Authorization": said}).status_code == 401


def test_no_secret_lies_in_the_database(public: Browsers, accounts: Accounts, keeping: Keeping) -> None:
    browser = join(accounts, public(), Role.OWNER, "Ash")
    secrets = [WORD, browser.cookies[COOKIE], accounts.set_up_token(), accounts.invite(Role.READER, "", OWNER),
               accounts.make_token(accounts.by_session(browser.cookies[COOKIE]), Role.READER, "", 1)]  # fmt: skip
    lying = b"".join(one.read_bytes() for one in keeping.history.data.glob(f"{SQLITE_FILE}*"))
    with keeping.history.engine.connect() as connection:
        for table in metadata.sorted_tables:
            lying += repr(connection.execute(table.select()).all()).encode()
    assert b"Ash" in lying
    assert not [one for one in secrets if one.encode() in lying]


# -------------------------------------------------------------------- the way to it


def test_it_is_reached_through_its_proxy_over_https_alone(public: Browsers, accounts: Accounts) -> None:
    there = public()
    assert there.get("/log-in").headers["strict-transport-security"] == "max-age=31536000"
    assert there.get("/log-in", headers={"X-Forwarded-Proto": "http"}).status_code == 403
    assert there.get("/log-in", headers={"X-Forwarded-Proto": "https, http"}).status_code == 403
    assert there.get("/log-in", headers={"Host": "localhost"}).status_code == 421
    past_it = TestClient(there.app, base_url="https://cars.example.org", client=("192.0.2.9", 50_000),
                         headers={"X-Forwarded-Proto": "https"})  # fmt: skip
    assert past_it.get("/log-in").status_code == 403
    assert past_it.get("/healthz").text == "ok\n"


def test_on_its_own_machine_there_is_no_log_in_and_no_proxy(client: TestClient) -> None:
    assert client.get("/log-in").status_code == 404
    assert client.get("/people").status_code == 404
    for name in ("X-Forwarded-For", "Forwarded", "Via", "X-Real-IP", "X-Forwarded-Proto", "X-Forwarded-Host"):
        assert client.get("/", headers={name: "192.0.2.1"}).status_code == 403, name


@pytest.mark.parametrize(
    ("name", "origin"),
    [("https://cars.example.org", "https://cars.example.org"), ("https://Cars.Example.org/", "https://cars.example.org"),
     ("https://cars.example.org:443", "https://cars.example.org"),
     ("https://cars.example.org:8443", "https://cars.example.org:8443")],
)  # fmt: skip
def test_public_names(name: str, origin: str) -> None:
    assert public_address(name).origin == origin


@pytest.mark.parametrize("name", ["http://cars.example.org", "cars.example.org", "https://", "https://a/b",
                                  "https://a@b", "https://a\n", "https://*"])  # fmt: skip
def test_what_is_no_public_name(name: str) -> None:
    with pytest.raises(AddressRefused):
        public_address(name)


@pytest.mark.parametrize(
    "given", [("--address", "0.0.0.0"), ("--address", "192.0.2.1"), ("--proxy", "192.0.2.1"), ("--another-owner",),
              ("--public-name", "http://cars.example.org")]
)  # fmt: skip
def test_it_is_not_opened_to_others_without_https_and_accounts(tmp_path: Any, given: tuple[str, ...]) -> None:
    done = CliRunner().invoke(app, ["serve", "--data", str(tmp_path / "data"), *given])
    assert done.exit_code == 2
    assert "https://" in done.stderr
    assert not (tmp_path / "data").exists()
