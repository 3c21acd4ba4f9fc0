"""Pages of a shop, which has no account: one sheet to fill in and to send; and where the owner or a helper decides."""

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Request, Response, UploadFile

from carknocker.service.access.roles import Role, Visitor, Who, needs
from carknocker.service.asked import EnteredForm, Refused
from carknocker.service.bounds import Number
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import file_name, form_file, from_our_page, page, to
from carknocker.service.shop_forms import SentForm, ShopForms, TooManyWait
from carknocker.service.storage.contents import ContentMissing
from carknocker.service.storage.history import Changed

SHOWN_AT_ONCE = 50
"""Forms."""


def shop_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept. Which car and which sheet is in the link, not in the address."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]
    forms = ShopForms(keeping)

    def shown(request: Request, link: str, who: Visitor, status: int = 200, said: str = "",
              would: EnteredForm | None = None, before: int | None = None) -> Response:  # fmt: skip
        sent = forms.by_link(who, before=before, most=SHOWN_AT_ONCE)
        return page(request, "shop", status, link=link, car=keeping.car(who.car), sheet=who.about, said=said,
                    would=would, sent=sent, next=_older(sent))  # fmt: skip

    @router.get("/shop/{link}")
    @needs(Role.SHOP)
    def shop(request: Request, link: str, who: Who, before: Number | None = None) -> Response:
        return shown(request, link, who, before=before)

    @router.get("/shop/{link}/worksheet.{ending}")
    @needs(Role.SHOP)
    def sheet(who: Who, ending: Literal["html", "xlsx"]) -> Response:
        return form_file(forms.to_fill_in(who, ending), f"sheet-{keeping.today().isoformat()}", ending)

    @router.post("/shop/{link}", dependencies=ours)
    @needs(Role.SHOP)
    def send(request: Request, link: str, who: Who, form: UploadFile) -> Response:
        name = file_name(form)
        try:
            would = forms.send(who, form.file.read(), name)
        except Refused as refused:
            return shown(request, link, who, 422, said=refused.words)
        except TooManyWait:
            return shown(request, link, who, 422, said="As many forms wait as may wait; the owner decides first.")
        return shown(request, link, who, would=would)

    @router.get("/cars/{car}/sent")
    @needs(Role.HELPER)
    def all_sent(request: Request, car: str, before: Number | None = None) -> Response:
        sent = forms.of_car(car, before=before, most=SHOWN_AT_ONCE)
        return page(request, "all_sent", car=keeping.car(car), sent=sent, next=_older(sent), first=before is None)

    @router.get("/cars/{car}/sent/{number}")
    @needs(Role.HELPER)
    def look(request: Request, car: str, number: Number) -> Response:
        return _look(request, keeping, forms, car, number)

    @router.post("/cars/{car}/sent/{number}", dependencies=ours)
    @needs(Role.HELPER)
    def decide(
        request: Request, car: str, number: Number, who: Who, decision: Annotated[Literal["accept", "decline"], Form()],
        why: Annotated[str, Form(max_length=300)] = "",
    ) -> Response:  # fmt: skip
        keeping.car(car)
        try:
            if decision == "accept":
                forms.accept(car, number, who)
            else:
                forms.decline(car, number, who, why)
        except Refused as refused:
            return _look(request, keeping, forms, car, number, 422, refused.words)
        except Changed:
            said = "Somebody else wrote meanwhile. Look at it again, and decide."
            return _look(request, keeping, forms, car, number, 412, said)
        return to(f"/cars/{car}")

    return router


def _older(sent: tuple[SentForm, ...]) -> int | None:
    """Behind which the list of forms goes on; None at its end."""
    return sent[-1].entry.id if len(sent) == SHOWN_AT_ONCE else None


def _look(request: Request, keeping: Keeping, forms: ShopForms, car: str, number: int, status: int = 200,
          said: str = "") -> Response:  # fmt: skip
    shown, sent = keeping.car(car), forms.one(car, number)
    would = None
    if not sent.decision:
        try:
            would = forms.would_bring(car, sent)
        except Refused as refused:
            said = said or refused.words
        except ContentMissing as missing:
            said = said or str(missing)
    return page(request, "sent", status, car=shown, sent=sent, would=would, said=said, signer=forms.signer_of(sent))
