"""A clock that is set an hour back, a year on, and right again: nothing breaks, and nothing that was ended opens."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from carknocker.service.access.accounts import Accounts, WrongNameOrPassword
from carknocker.service.access.calendars import Calendars
from carknocker.service.access.links import Links
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.access.tries import TooManyTries
from carknocker.service.background import Background
from carknocker.service.keeping import WAITS, Keeping
from carknocker.service.storage.accounts import NotOpen
from carknocker.service.storage.audit import AuditList
from carknocker.service.storage.backup import write_backup

Browsers = Callable[[], TestClient]
OWNER = Visitor("Ash", Role.OWNER)
WORD, NEW_WORD = "seven green lanterns", "eight green lanterns"
HOUR, YEAR = timedelta(hours=1), timedelta(days=366)
HERE = "192.0.2.7"


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "Ash").id


def join(accounts: Accounts, role: Role, name: str) -> str:
    """The secret of the first log-in of somebody new."""
    return accounts.make_account("invitation", accounts.invite(role, "", OWNER), name, WORD)


def opens(ask: Callable[[str], object], secret: str) -> bool:
    try:
        ask(secret)
    except NotOpen:
        return False
    return True


def test_what_opens_the_service_opens_until_its_own_moment_and_no_ended_one_opens_again(
    accounts: Accounts, keeping: Keeping, clock: Any, car: str
) -> None:
    links, calendars = Links(accounts.store, accounts.now), Calendars(accounts.store, accounts.now)
    session = join(accounts, Role.OWNER, "Birch")
    who = accounts.by_session(session)
    dossier = keeping.give_out(car, "markdown", keeping.today(), "Ash").digest
    all_of_them: list[tuple[Callable[[str], object], str]] = [
        (accounts.by_session, session),
        (accounts.by_token, accounts.make_token(who, Role.READER, "a script", 30)),
        (accounts.invited, accounts.invite(Role.READER, "", OWNER)),
        (lambda said: links.visitor(Role.INSPECTOR, said), links.make(Role.INSPECTOR, car, dossier, "", 90, OWNER)),
        (lambda said: links.visitor(Role.SHOP, said), links.make(Role.SHOP, car, "brakes", "Kim", 90, OWNER)),
    ]
    calendar = calendars.make(car, "", OWNER)
    gone = links.make(Role.INSPECTOR, car, dossier, "", 90, OWNER)
    assert links.take_back(car, links.of_car(car)[0].id, OWNER)
    right = clock.now
    for step, open_then in ((-HOUR, True), (YEAR, False), (timedelta(0), True), (-20 * YEAR, True)):
        clock.now = right + step
        assert [opens(*one) for one in all_of_them] == [open_then] * len(all_of_them), step
        assert opens(calendars.car_of, calendar), "ten years"
        assert not opens(lambda said: links.visitor(Role.INSPECTOR, said), gone)


def test_a_new_password_ends_the_other_log_ins_also_by_a_clock_that_is_a_year_on(
    accounts: Accounts, clock: Any
) -> None:
    stolen = join(accounts, Role.OWNER, "Birch")
    right = clock.now
    clock.now += YEAR
    own = accounts.log_in("Birch", WORD, HERE)
    accounts.change_password(accounts.by_session(own), WORD, NEW_WORD, HERE)
    clock.now = right
    assert not opens(accounts.by_session, stolen)
    assert opens(accounts.by_session, own)


@pytest.mark.parametrize("step", [YEAR, -HOUR])
def test_what_the_owner_ends_by_a_clock_that_is_wrong_stays_ended(
    accounts: Accounts, keeping: Keeping, clock: Any, car: str, step: timedelta
) -> None:
    links = Links(accounts.store, accounts.now)
    owner = accounts.by_session(join(accounts, Role.OWNER, "Cedar"))
    helper = join(accounts, Role.HELPER, "Birch")
    account = accounts.by_session(helper).account
    first = accounts.set_up_token()
    dossier = keeping.give_out(car, "markdown", keeping.today(), "Ash").digest
    link = links.make(Role.INSPECTOR, car, dossier, "", 9, OWNER)
    number = links.of_car(car)[0].id
    right = clock.now
    clock.now += step
    assert links.take_back(car, number, owner)
    accounts.end_sessions(owner, account)
    second = accounts.set_up_token()
    clock.now = right
    assert not opens(lambda said: links.visitor(Role.INSPECTOR, said), link)
    assert not opens(accounts.by_session, helper)
    assert not opens(lambda said: accounts.store.opener("set-up", said, accounts.at()), first)
    with pytest.raises(NotOpen):
        accounts.make_account("set-up", first, "Dogwood", WORD)
    accounts.make_account("set-up", second, "Dogwood", WORD)


def test_tries_to_log_in_are_counted_by_no_clock_that_can_be_set(accounts: Accounts, clock: Any) -> None:
    join(accounts, Role.READER, "Birch")
    for number in range(10):
        clock.now += YEAR if number % 2 else -2 * HOUR
        with pytest.raises(WrongNameOrPassword):
            accounts.log_in("Birch", "wrong words", HERE)
    for step in (YEAR, -YEAR, -HOUR):
        clock.now += step
        with pytest.raises(TooManyTries):
            accounts.log_in("Birch", WORD, HERE)


def test_the_list_the_history_and_the_audit_list_go_on(
    client: TestClient, keeping: Keeping, background: Background, clock: Any, car: str, record: str
) -> None:
    right = clock.now
    background.judge_waiting()
    row = keeping.list_cars()[0][1]
    outcome = row.outcome
    for number, step in enumerate((-HOUR, YEAR, -YEAR, timedelta(0)), 2):
        clock.now = right + step
        before, row = row, keeping.list_cars()[0][1]
        same_day = before.as_of == clock.now.date().isoformat()
        assert row.up_to_date == same_day, "what was judged on another day is not said to hold"
        assert row.outcome == (outcome if row.up_to_date else WAITS)
        keeping.accept(car, "record", f"{record}# {number}\n", "Ash", "", number - 1)
        background.judge_waiting()
        row = keeping.list_cars()[0][1]
        assert (row.up_to_date, row.as_of) == (True, clock.now.date().isoformat())
        for address in ("/", f"/cars/{car}", f"/cars/{car}/due", f"/cars/{car}/form", f"/cars/{car}/history", "/audit"):
            assert client.get(address).status_code in (200, 303), address
    assert row.outcome == outcome
    assert [one.number for one in keeping.history.versions(car, "record")] == [5, 4, 3, 2, 1]
    lines, place = 0, ""
    listing = AuditList(keeping.history.engine)
    while found := listing.lines(place, 2):
        lines, place = lines + len(found), found[-1].place
    assert lines == len(listing.lines(most=200)) >= 6


def test_a_machine_without_a_clock_of_its_own_is_backed_up(
    keeping: Keeping, tmp_path: Path, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It begins in 1970 when it is started, which is before what a zip can say."""
    began = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
    monkeypatch.setattr("time.time", began.timestamp)
    with open(tmp_path / "backup.zip", "xb") as opened:
        assert write_backup(keeping.history.engine, keeping.history.data, opened, "1970-01-01T00:05:00Z") == 2
