"""Pages of the owner: links to a car for those who have no account, and who did what."""

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Query, Request, Response

from carknocker.service.access.links import LONGEST_DAYS, Links, TooManyLinks
from carknocker.service.access.names import NameRefused
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import ForShops, Refused
from carknocker.service.bounds import Number
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotThere
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, origin_of, page, to
from carknocker.service.shop_forms import ShopForms
from carknocker.service.storage.audit import AuditList

SHOWN_AT_ONCE = 100
_PLACES = {Role.INSPECTOR: "inspect", Role.SHOP: "shop"}
_ROLES = {"inspector": Role.INSPECTOR, "shop": Role.SHOP}


def links_of(keeping: Keeping, links: Links) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]
    forms = ShopForms(keeping)
    audit = AuditList(keeping.history.engine)

    def shown(request: Request, car: str, status: int = 200, said: str = "", made: str = "") -> Response:
        gone = keeping.history.blanked(car)
        dossiers = [one for one in keeping.history.versions(car, "dossier", most=20) if one.digest not in gone]
        return page(request, "links", status, car=keeping.car(car), links=links.of_car(car), said=said, made=made,
                    dossiers=dossiers, longest=LONGEST_DAYS,
                    offered=_offered(forms, car))  # fmt: skip

    @router.get("/audit")
    @needs(Role.OWNER)
    def who_did_what(request: Request, before: Annotated[str, Query(max_length=60)] = "") -> Response:
        try:
            lines = audit.lines(before, SHOWN_AT_ONCE)
        except ValueError:
            raise NotThere(before) from None
        return page(request, "audit", lines=lines, next=lines[-1].place if len(lines) == SHOWN_AT_ONCE else None)

    @router.get("/cars/{car}/links")
    @needs(Role.OWNER)
    def all_links(request: Request, car: str) -> Response:
        return shown(request, car)

    @router.post("/cars/{car}/links", dependencies=ours)
    @needs(Role.OWNER)
    def make(
        request: Request, car: str, who: Who, kind: Annotated[Literal["inspector", "shop"], Form()],
        about: Annotated[str, Form(max_length=100)], label: Annotated[str, Form(max_length=80)] = "",
        days: Annotated[int, Form(ge=1, le=LONGEST_DAYS)] = 14, signer: Annotated[str, Form(max_length=200)] = "",
    ) -> Response:  # fmt: skip
        role = _ROLES[kind]
        if role is Role.INSPECTOR:
            keeping.dossier(car, about)  # of this car
        else:
            offered = forms.on_offer(car)
            if about not in offered.sheets:
                raise NotThere(about)
            if signer not in offered.people:
                return shown(request, car, 422, said="Nothing was made: choose who signs, of the people on record.")
        try:
            made = links.make(role, car, about, label, days, who, signer if role is Role.SHOP else "")
        except (NameRefused, TooManyLinks) as refused:
            return shown(request, car, 422, said=f"Nothing was made: {refused}.")
        return shown(request, car, made=f"{origin_of(request)}/{_PLACES[role]}/{made}")

    @router.post("/cars/{car}/links/{number}/end", dependencies=ours)
    @needs(Role.OWNER)
    def take_back(car: str, number: Number, who: Who) -> Response:
        if not links.take_back(car, number, who):
            raise NotThere(number)
        return to(f"/cars/{car}/links")

    return router


def _offered(forms: ShopForms, car: str) -> ForShops:
    try:
        return forms.on_offer(car)
    except Refused:
        return ForShops()  # the record can't be read now
