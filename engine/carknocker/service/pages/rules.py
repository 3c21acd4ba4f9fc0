"""The pages of rules: the editions at hand, what one says with its sources, and what changes between two."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from carknocker.service import asked_rules
from carknocker.service.access.roles import Role, needs
from carknocker.service.asked import Form
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import page, with_way_back

_BACK = "All rules"

Name = Annotated[str, Query(max_length=200)]
InForm = Annotated[Form, Query(alias="format")]


def rules_of(keeping: Keeping) -> APIRouter:
    """The pages over the rulesets that come with the program and those that were sent in."""
    router = APIRouter(route_class=InWords, include_in_schema=False)

    @router.get("/rules")
    @needs(Role.READER)
    def rules(request: Request) -> Response:
        listed = keeping.workers.ask(asked_rules.editions, keeping.sent_editions.files())
        return page(request, "rules", editions=listed, newest=_last_two(listed))

    @router.get("/rules/compare")
    @needs(Role.READER)
    def compare(before: Name, after: Name, form: InForm = "html") -> Response:
        said = keeping.workers.ask(asked_rules.editions_compared, keeping.sent_editions.files(), before, after, form)
        return with_way_back(said, "/rules", _BACK)

    @router.get("/rules/{ruleset}/{edition}")
    @needs(Role.READER)
    def edition(ruleset: str, edition: str, rule: Name = "", form: InForm = "html") -> Response:
        said = keeping.workers.ask(
            asked_rules.edition_shown, keeping.sent_editions.files(), ruleset, edition, rule.strip(), form
        )
        return with_way_back(said, "/rules", _BACK)

    return router


def _last_two(listed: Sequence[asked_rules.EditionLine]) -> tuple[str, str]:
    """The names of two editions that follow each other, to begin with; of two rulesets where none has two."""
    pairs = [(one.name, other.name) for one, other in pairwise(listed) if one.ruleset == other.ruleset]
    return pairs[-1] if pairs else (listed[0].name, listed[-1].name)
