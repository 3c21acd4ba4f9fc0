"""Which role each route needs, route by route: a new route without a row here is an error."""

import re
from collections.abc import Callable

import pytest
from fastapi import APIRouter
from fastapi.testclient import TestClient
from httpx import Response

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.links import Links
from carknocker.service.access.roles import Role, RouteWithRole, Visitor, needs
from carknocker.service.application import routers_of
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import AccountStore

NEEDED = """
GET    /style.css                                         anyone
GET    /healthz                                           anyone
GET    /log-in                                            anyone
POST   /log-in                                            anyone
POST   /log-out                                           reader
GET    /set-up                                            anyone
POST   /set-up                                            anyone
GET    /invited/{secret}                                  anyone
POST   /invited/{secret}                                  anyone
GET    /me                                                reader
POST   /me/password                                       reader
POST   /me/tokens                                         reader
POST   /me/tokens/{number}/end                            reader
GET    /people                                            owner
POST   /people/invitations                                owner
POST   /people/invitations/{number}/end                   owner
POST   /people/{account}/log-out                          owner
POST   /people/{account}/close                            owner
GET    /audit                                             owner
GET    /api/audit                                         owner
GET    /api/cars/{car}/findings                           reader
GET    /cars/{car}/links                                  owner
POST   /cars/{car}/links                                  owner
POST   /cars/{car}/links/{number}/end                     owner
GET    /inspect/{link}                                    inspector
GET    /inspect/{link}/dossier                            inspector
POST   /inspect/{link}                                    inspector
GET    /shop/{link}                                       shop
GET    /shop/{link}/worksheet.{ending}                    shop
POST   /shop/{link}                                       shop
GET    /cars/{car}/sent                                   helper
GET    /cars/{car}/sent/{number}                          helper
POST   /cars/{car}/sent/{number}                          helper
GET    /                                                  reader
GET    /new                                               owner
POST   /new                                               owner
GET    /cars/{car}                                        reader
POST   /cars/{car}/put-away                               owner
POST   /api/cars/{car}/put-away                           owner
GET    /text.js                                           reader
POST   /cars/{car}/texts/{kind}/look-through              owner
GET    /cars/{car}/texts/{kind}                           reader
POST   /cars/{car}/texts/{kind}                           owner
GET    /cars/{car}/worksheet.{ending}                     reader
GET    /cars/{car}/form                                   helper
GET    /cars/{car}/form/{record}/{move}/{day}             helper
POST   /cars/{car}/forms                                  helper
POST   /cars/{car}/dossiers                               owner
GET    /cars/{car}/dossiers/{digest}                      reader
GET    /cars/{car}/compare/{before}/{after}               reader
GET    /cars/{car}/photographs                            reader
POST   /cars/{car}/photographs                            helper
GET    /cars/{car}/photographs/{picture}                  reader
GET    /cars/{car}/history/{entry}/blank                  owner
POST   /cars/{car}/history/{entry}/blank                  owner
GET    /cars/{car}/parts                                  reader
GET    /cars/{car}/part                                   reader
POST   /cars/{car}/part/readings                          helper
POST   /cars/{car}/part/descriptions                      owner
GET    /cars/{car}/move                                   reader
POST   /cars/{car}/move                                   owner
GET    /cars/{car}/work                                   reader
POST   /cars/{car}/work                                   helper
GET    /calendars/{secret}.ics                            anyone
GET    /cars/{car}/calendar                               owner
POST   /cars/{car}/calendar                               owner
POST   /cars/{car}/calendar/{number}/end                  owner
GET    /cars/{car}/reasons                                reader
GET    /cars/{car}/compare                                reader
GET    /rules                                             reader
GET    /rules/compare                                     reader
GET    /rules/{ruleset}/{edition}                         reader
GET    /cars/{car}/{question}                             reader
GET    /api/openapi.json                                  reader
GET    /api/cars                                          reader
POST   /api/cars                                          owner
GET    /api/cars/{car}                                    reader
GET    /api/cars/{car}/history                            reader
GET    /api/cars/{car}/texts/{kind}                       reader
PUT    /api/cars/{car}/texts/{kind}                       owner
POST   /api/cars/{car}/texts/{kind}/look-through          owner
POST   /api/cars/{car}/forms                              helper
POST   /api/cars/{car}/photographs                        helper
GET    /api/cars/{car}/photographs/{picture}              reader
GET    /api/cars/{car}/answers/{question}                 reader
GET    /api/cars/{car}/compare                            reader
POST   /api/cars/{car}/dossiers                           owner
GET    /api/cars/{car}/dossiers/{digest}                  reader
GET    /api/cars/{car}/worksheet.{ending}                 reader
POST   /api/cars/{car}/lift                               reader
GET    /api/cars/{car}/pack                               reader
POST   /api/cars/{car}/verify                             reader
GET    /api/words                                         reader
GET    /api/rules                                         reader
GET    /api/rules/compare                                 reader
GET    /api/rules/{ruleset}/{edition}                     reader
GET    /api/rulesets                                      reader
GET    /api/rulesets/history                              reader
GET    /api/rulesets/history/{entry}/bytes                reader
GET    /api/rulesets/{ruleset}/{edition}                  reader
PUT    /api/rulesets/{ruleset}/{edition}                  owner
GET    /api/cars/{car}/history/{entry}/bytes              reader
GET    /cars/{car}/history                                reader
GET    /cars/{car}/history/{entry}/bytes                  reader
GET    /rules/sent                                        reader
POST   /rules/sent                                        owner
GET    /rules/sent/{ruleset}/{edition}                    reader
POST   /rules/sent/{ruleset}/{edition}                    owner
GET    /rules/history/{entry}/bytes                       reader
"""
ROWS = {(method, path): Role(role) for method, path, role in map(str.split, NEEDED.strip().splitlines())}
ADDRESS = {
    "{car}": "0" * 16, "{kind}": "record", "{ending}": "html", "{digest}": "0" * 64, "{before}": "1", "{after}": "2",
    "{record}": "1", "{move}": "1", "{picture}": "x.jpg", "{entry}": "1", "{day}": "2026-10-08",
    "{question}": "check", "{ruleset}": "line", "{edition}": "1", "{file}": "edition.yaml",
    "{secret}": "x" * 43, "{number}": "1", "{account}": "0" * 16,
}  # fmt: skip


MAY = {
    "anyone": {"anyone"},
    "reader": {"anyone", "reader"},
    "helper": {"anyone", "reader", "helper"},
    "owner": {"anyone", "reader", "helper", "owner"},
    "inspector": {"anyone", "inspector"},
    "shop": {"anyone", "shop"},
}
OWNER = Visitor("owner", Role.OWNER)


def logged_in(accounts: Accounts, role: Role) -> str:
    """The secret of a log-in of somebody new."""
    invitation = accounts.invite(role, "", OWNER)
    return accounts.make_account("invitation", invitation, f"Kim {len(accounts.people())}", "a long enough word")


def test_every_route_has_a_row_and_needs_what_the_row_says(keeping: Keeping, accounts: Accounts) -> None:
    routers = routers_of(keeping, Links(accounts.store, accounts.now), accounts)
    found = {
        (method, route.path): route.needed
        for router in routers
        for route in router.routes
        if isinstance(route, RouteWithRole)
        for method in route.methods
    }
    assert found == ROWS
    assert sum(len(router.routes) for router in routers) == len(found)


@pytest.mark.parametrize("role", Role)
def test_every_route_is_open_to_whom_its_row_says_alone(
    public: Callable[[], TestClient], accounts: Accounts, keeping: Keeping, record: str, move: str, role: Role
) -> None:
    car = keeping.add_car(record, move, "owner").id
    dossier = keeping.give_out(car, "markdown", keeping.today(), "owner").digest
    link = "x" * 43
    if role in (Role.INSPECTOR, Role.SHOP):
        about = dossier if role is Role.INSPECTOR else "brakes"
        link = Links(accounts.store, accounts.now).make(role, car, about, "Kim", 9, OWNER)
    session = logged_in(accounts, role) if role in (Role.READER, Role.HELPER, Role.OWNER) else ""
    for (method, path), needed in ROWS.items():
        browser = public()
        if session:
            browser.cookies.set("__Host-carknocker", session)
        elif role is not Role.ANYONE:
            browser.cookies.set("__Host-carknocker", link)
        address = path
        for name, value in {**ADDRESS, "{car}": car, "{digest}": dossier, "{link}": link}.items():
            address = address.replace(name, value)
        answer = browser.request(method, address, headers={"Origin": "https://cars.example.org"})
        allowed = needed.value in MAY[role.value]
        assert is_refused(answer) != allowed, (method, path, answer.status_code)


def is_refused(answer: Response) -> bool:
    """Whether it is refused since nobody logged in, the role does not allow it, or the link opens nothing; not for
    another reason."""
    return (
        answer.status_code == 401
        or answer.headers.get("location", "").startswith("/log-in?")
        or (answer.status_code == 403 and "role does not allow it" in answer.text)
        or (answer.status_code == 404 and "This link opens nothing" in answer.text)
    )


OF_A_CAR = [row for row in ROWS if "{car}" in row[1] and re.search(r"\{(digest|number|entry|picture)\}", row[1])]
ANSWERS = {
    "decision": "decline", "why": "x", "finding": "received", "name": "Lee", "kind": "inspector", "days": "9",
    "reason": "x",
}  # fmt: skip
"""What the forms ask, so that none is refused for want of an answer."""


@pytest.mark.parametrize(("method", "path"), OF_A_CAR)
def test_what_belongs_to_one_car_is_not_reached_through_another(
    client: TestClient, keeping: Keeping, record: str, move: str, method: str, path: str
) -> None:
    mine, other = (keeping.add_car(record, move, "owner").id for _ in range(2))
    dossier = keeping.give_out(mine, "markdown", keeping.today(), "owner").digest
    links = Links(AccountStore(keeping.history.engine), keeping.now)
    links.make(Role.INSPECTOR, mine, dossier, "", 9, OWNER)
    entry = keeping.history.versions(mine, "dossier")[0].id
    number = links.of_car(mine)[0].id if "links" in path else entry
    address = path.replace("{car}", other).replace("{digest}", dossier).replace("{picture}", "x.jpg")
    address = address.replace("{entry}", str(entry)).replace("{number}", str(number))
    token = re.search(r'name="token" value="([0-9a-f]{64})"', client.get(f"/cars/{other}").text)
    assert token is not None
    answer = client.request(method, address, data={"token": token[1], **ANSWERS} if method == "POST" else None)
    assert answer.status_code == 404, answer.text
    assert len(links.of_car(mine)) == 1
    assert keeping.history.blanked(mine) == {}


def test_a_route_that_does_not_say_its_role_is_refused_at_start() -> None:
    router = APIRouter(route_class=RouteWithRole)
    with pytest.raises(TypeError, match="/nothing does not say which role it needs"):
        router.get("/nothing")(lambda: None)
    router.get("/something")(needs(Role.OWNER)(lambda: None))
