"""Which role each route needs, route by route: a new route without a row here is an error."""

import pytest
from fastapi import APIRouter
from fastapi.testclient import TestClient

from carknocker.service.access.roles import Role, RouteWithRole, Visitor, needs
from carknocker.service.application import application, routers_of
from carknocker.service.keeping import Keeping

NEEDED = """
GET    /style.css                                         anyone
GET    /healthz                                           anyone
GET    /                                                  reader
GET    /new                                               owner
POST   /new                                               owner
GET    /cars/{car}                                        reader
GET    /cars/{car}/texts/{kind}                           reader
POST   /cars/{car}/texts/{kind}                           owner
GET    /cars/{car}/worksheet.{ending}                     reader
GET    /cars/{car}/form                                   helper
GET    /cars/{car}/form/{record}/{move}/{day}             helper
POST   /cars/{car}/forms                                  helper
POST   /cars/{car}/dossiers                               owner
GET    /cars/{car}/dossiers/{digest}                      reader
GET    /cars/{car}/compare/{before}/{after}               reader
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
GET    /api/cars/{car}/answers/{question}                 reader
GET    /api/cars/{car}/compare                            reader
POST   /api/cars/{car}/dossiers                           owner
GET    /api/cars/{car}/dossiers/{digest}                  reader
PUT    /api/rulesets/{ruleset}/{edition}/{file}           owner
"""
ROWS = {(method, path): Role(role) for method, path, role in map(str.split, NEEDED.strip().splitlines())}
ADDRESS = {
    "{car}": "0" * 16, "{kind}": "record", "{ending}": "html", "{digest}": "0" * 64, "{before}": "1", "{after}": "2",
    "{record}": "1", "{move}": "1", "{day}": "2026-10-08",
    "{question}": "check", "{ruleset}": "line", "{edition}": "1", "{file}": "edition.yaml",
}  # fmt: skip


def test_every_route_has_a_row_and_needs_what_the_row_says(keeping: Keeping) -> None:
    found = {
        (method, route.path): route.needed
        for router in routers_of(keeping)
        for route in router.routes
        if isinstance(route, RouteWithRole)
        for method in route.methods
    }
    assert found == ROWS
    assert sum(len(router.routes) for router in routers_of(keeping)) == len(found)


class _Door:
    def __init__(self, role: Role) -> None:
        self.role = role

    def visitor(self, _request: object) -> Visitor:
        return Visitor("somebody", self.role)


@pytest.mark.parametrize("role", Role)
def test_every_route_is_open_to_its_role_and_those_above_alone(keeping: Keeping, role: Role) -> None:
    client = TestClient(application(keeping, door=_Door(role)), base_url="http://localhost", follow_redirects=False)
    above = [Role.ANYONE, Role.READER, Role.HELPER, Role.OWNER]
    for (method, path), needed in ROWS.items():
        address = path
        for name, value in ADDRESS.items():
            address = address.replace(name, value)
        answer = client.request(method, address)
        allowed = above.index(role) >= above.index(needed)
        refused = 401 if role is Role.ANYONE else 403
        if method == "POST" and not path.startswith("/api"):
            assert ("Your role does not allow it" in answer.text or answer.status_code == 401) != allowed, path
        else:
            assert (answer.status_code == refused) != allowed, (method, path, answer.status_code)


def test_a_route_that_does_not_say_its_role_is_refused_at_start() -> None:
    router = APIRouter(route_class=RouteWithRole)
    with pytest.raises(TypeError, match="/nothing does not say which role it needs"):
        router.get("/nothing")(lambda: None)
    router.get("/something")(needs(Role.OWNER)(lambda: None))
