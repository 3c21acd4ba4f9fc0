"""The API against its own description: schemathesis asks every operation what the description allows, and what it does
not, and looks whether each answer is one that is described. Nothing may end in an error of the server."""

from typing import Any

import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance
from test_service_roles import MAY, OWNER, ROWS

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.roles import Role
from carknocker.service.address import Address
from carknocker.service.application import application
from carknocker.service.keeping import Keeping

EXAMPLES = 12
OPERATIONS = (
    "GET /api/cars", "POST /api/cars", "GET /api/cars/{car}", "GET /api/cars/{car}/history",
    "GET /api/cars/{car}/texts/{kind}", "PUT /api/cars/{car}/texts/{kind}",
    "POST /api/cars/{car}/texts/{kind}/look-through", "POST /api/cars/{car}/forms",
    "POST /api/cars/{car}/photographs", "GET /api/cars/{car}/photographs/{picture}",
    "GET /api/cars/{car}/answers/{question}", "GET /api/cars/{car}/compare", "POST /api/cars/{car}/dossiers",
    "GET /api/cars/{car}/dossiers/{digest}", "GET /api/cars/{car}/findings", "GET /api/audit",
    "GET /api/cars/{car}/worksheet.{ending}", "POST /api/cars/{car}/lift", "GET /api/cars/{car}/pack",
    "POST /api/cars/{car}/verify", "GET /api/words", "GET /api/rules", "GET /api/rules/compare",
    "GET /api/rules/{ruleset}/{edition}", "GET /api/rulesets", "GET /api/rulesets/history",
    "GET /api/rulesets/history/{entry}/bytes",
    "GET /api/rulesets/{ruleset}/{edition}", "PUT /api/rulesets/{ruleset}/{edition}", "POST /api/cars/{car}/put-away",
    "GET /api/cars/{car}/history/{entry}/bytes",
)  # fmt: skip

OF_A_TEXT = ("POST /api/cars", "PUT /api/cars/{car}/texts/{kind}", "POST /api/cars/{car}/forms",
             "POST /api/cars/{car}/photographs", "PUT /api/rulesets/{ruleset}/{edition}",
             "POST /api/cars/{car}/put-away", "POST /api/cars/{car}/lift", "POST /api/cars/{car}/verify")  # fmt: skip
"""A description of JSON can't say which texts are records, which files photographs, and that a reason is needed for the
one and not for the other: one that is none is refused with 422, and described so."""

OF_A_DAY = ("GET /api/cars/{car}/answers/{question}", "GET /api/cars/{car}/compare", "POST /api/cars/{car}/dossiers",
            "GET /api/cars/{car}/worksheet.{ending}", "GET /api/cars/{car}/pack")  # fmt: skip
"""Nor which years a day may be of: 1800 to 2200, as in a record; another one is refused with 400."""


FEW_EXAMPLES = 3
REFUSED_ANYWAY = [positive_data_acceptance, negative_data_rejection]
"""Whoever may not ask is refused, whatever is asked."""
ORIGIN = "https://testserver"


@pytest.fixture
def described(client: TestClient, keeping: Keeping, record: str, move: str) -> dict[str, Any]:
    """Each operation by its method and address."""
    assert client.post("/api/cars", json={"record": record, "move": move}).status_code == 201
    app = application(keeping, Address(frozenset(("testserver", "localhost"))))
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app)
    found = [one.ok() for one in schema.get_all_operations()]
    return {f"{one.method.upper()} {one.path}": one for one in found}


def test_the_description_names_every_operation(described: dict[str, Any]) -> None:
    assert set(described) == set(OPERATIONS)


@pytest.mark.parametrize("operation", OPERATIONS)
def test_every_operation_answers_as_it_is_described(described: dict[str, Any], operation: str) -> None:
    @given(case=described[operation].as_strategy())
    @settings(
        max_examples=EXAMPLES, deadline=None, database=None, suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.generate),
    )  # fmt: skip
    def ask(case: Any) -> None:
        case.call_and_validate(excluded_checks=not_described(operation))

    ask()


@pytest.fixture
def by_proxy(keeping: Keeping, accounts: Accounts, record: str, move: str) -> Any:
    """The application under a public name, with a car."""
    keeping.add_car(record, move, "Ash")
    return application(keeping, Address(frozenset(("testserver",)), ORIGIN, frozenset(("testclient",))), accounts)


@pytest.mark.parametrize("role", [Role.OWNER, Role.HELPER, Role.READER, None])
def test_every_operation_answers_as_it_is_described_to_whoever_has_a_token(
    by_proxy: Any, accounts: Accounts, role: Role | None
) -> None:
    """A token of each role, and none: what the role does not allow is refused as the description says, whatever else is
    wrong with the request."""
    headers = {"X-Forwarded-Proto": "https", "X-Forwarded-For": "192.0.2.7"}
    owner = {**headers, "Authorization": f"Bearer {token_of(accounts, Role.OWNER)}"}
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", by_proxy, headers=owner)
    sent = dict(headers) if role is None else {**headers, "Authorization": f"Bearer {token_of(accounts, role)}"}
    for found in schema.get_all_operations():
        operation = found.ok()
        needed = ROWS[operation.method.upper(), operation.path]
        ask_as(operation, sent, allowed=role is not None and needed.value in MAY[role.value])


def ask_as(operation: Any, headers: dict[str, str], *, allowed: bool) -> None:
    """Asks an operation with these headers, of which the description says nothing."""
    named = f"{operation.method.upper()} {operation.path}"

    @given(case=operation.as_strategy())
    @settings(
        max_examples=FEW_EXAMPLES, deadline=None, database=None, suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.generate),
    )  # fmt: skip
    def ask(case: Any) -> None:
        case.headers.update(headers)
        answer = case.call()
        assert answer.status_code < 500 or answer.status_code == 503, named
        assert (answer.status_code in (401, 403)) is not allowed, (named, answer.status_code)
        case.validate_response(answer, excluded_checks=[*not_described(named), *([] if allowed else REFUSED_ANYWAY)])

    ask()


def not_described(operation: str) -> list[Any]:
    """The checks that take for granted what a description can't say."""
    return [positive_data_acceptance] if operation in (*OF_A_TEXT, *OF_A_DAY) else []


def token_of(accounts: Accounts, role: Role) -> str:
    """A token of somebody new."""
    invitation = accounts.invite(role, "", OWNER)
    name = f"Kim {len(accounts.people())}"
    who = accounts.by_session(accounts.make_account("invitation", invitation, name, "a long enough word"))
    return accounts.make_token(who, role, "", 9)
