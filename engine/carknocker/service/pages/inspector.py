"""Pages of the host's inspector, who has no account: one dossier, as it was given out, and his finding on it."""

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response

from carknocker.service.access.names import NameRefused
from carknocker.service.access.roles import Role, Visitor, Who, needs
from carknocker.service.api.routes import kept_response
from carknocker.service.findings import FINDINGS, MOST_CHARACTERS, Finding, Findings, TooManyFindings
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page, to


def inspector_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept. Which car and which dossier is in the link, not in the address."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    findings = Findings(keeping)

    def shown(request: Request, link: str, who: Visitor, status: int = 200, **said: str) -> Response:
        given = keeping.history.kept(who.car, "dossier", who.about)
        words = {"said": "", "name": "", "remarks": "", "finding": "", **said}
        return page(request, "inspector", status, link=link, car=keeping.car(who.car), given=given,
                    findings=findings.by_link(who), choices=FINDINGS, typed=words)  # fmt: skip

    @router.get("/inspect/{link}")
    @needs(Role.INSPECTOR)
    def inspect(request: Request, link: str, who: Who) -> Response:
        return shown(request, link, who)

    @router.get("/inspect/{link}/dossier")
    @needs(Role.INSPECTOR)
    def dossier(link: str, who: Who) -> Response:
        return kept_response(keeping, who.car, findings.open(who))

    @router.post("/inspect/{link}", dependencies=[Depends(from_our_page)])
    @needs(Role.INSPECTOR)
    def leave(
        request: Request, link: str, who: Who, finding: Annotated[Finding, Form()],
        name: Annotated[str, Form(max_length=200)] = "",
        remarks: Annotated[str, Form(max_length=2 * MOST_CHARACTERS)] = "",
    ) -> Response:  # fmt: skip
        try:
            findings.leave(who, finding, name, remarks)
        except NameRefused as refused:
            return shown(request, link, who, 422, said=f"Nothing was written: {refused}.", name=name, remarks=remarks,
                         finding=finding)  # fmt: skip
        except TooManyFindings:
            return shown(request, link, who, 422, said="Nothing was written: there are as many findings by this link "
                                                       "as there may be.")  # fmt: skip
        return to(f"/inspect/{link}")

    return router
