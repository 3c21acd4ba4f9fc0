"""The API against its own description: schemathesis asks every operation what the description allows, and what it does
not, and looks whether each answer is one that is described. Nothing may end in an error of the server."""

from typing import Any

import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance

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
    "PUT /api/rulesets/{ruleset}/{edition}/{file}",
)  # fmt: skip

OF_A_TEXT = ("POST /api/cars", "PUT /api/cars/{car}/texts/{kind}", "POST /api/cars/{car}/forms",
             "POST /api/cars/{car}/photographs", "PUT /api/rulesets/{ruleset}/{edition}/{file}")  # fmt: skip
"""A description of JSON can't say which texts are records, and which files photographs: one that is none is refused
with 422, and described so."""


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
        case.call_and_validate(excluded_checks=[positive_data_acceptance] if operation in OF_A_TEXT else [])

    ask()
