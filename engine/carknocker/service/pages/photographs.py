"""Pages of a car's photographs: shown, sent in, and blanked."""

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response, UploadFile

from carknocker.service import blanking, photographs
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import Refused
from carknocker.service.bounds import Day, Number
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import file_name, from_our_page, page, to
from carknocker.service.storage.contents import JPEG
from carknocker.service.storage.history import Changed

_CHANGED = "Somebody else wrote to the record at the same moment. Send it once more."
ShortText = Annotated[str, Form(max_length=200)]


def photographs_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/cars/{car}/photographs")
    @needs(Role.READER)
    def shown(request: Request, car: str) -> Response:
        return _photographs(request, keeping, car)

    @router.post("/cars/{car}/photographs", dependencies=ours)
    @needs(Role.HELPER)
    def send_in(
        request: Request, car: str, who: Who, photograph: UploadFile, of: ShortText, on: Annotated[Day, Form()],
        by: ShortText, reading: ShortText = "",
    ) -> Response:  # fmt: skip
        name = file_name(photograph, "photograph")
        given = {"of": of, "on": on.isoformat(), "by": by, "reading": reading}
        try:
            photographs.put_on_record(
                keeping, car, photograph.file.read(), name, [of], on, by.strip(), reading.strip(), who.name
            )
        except Refused as refused:
            return _photographs(request, keeping, car, 422, said=refused.words, given=given)
        except Changed:
            return _photographs(request, keeping, car, 412, said=_CHANGED, given=given)
        return to(f"/cars/{car}/photographs")

    @router.get("/cars/{car}/photographs/{picture}")
    @needs(Role.READER)
    def picture_of(car: str, picture: str) -> Response:
        return Response(photographs.body_of(keeping, car, picture), media_type=JPEG)

    @router.get("/cars/{car}/history/{entry}/blank")
    @needs(Role.OWNER)
    def what_to_blank(request: Request, car: str, entry: Number) -> Response:
        one, also = blanking.blankable(keeping, car, entry)
        return page(request, "blank", car=keeping.car(car), one=one, also=also, said="")

    @router.post("/cars/{car}/history/{entry}/blank", dependencies=ours)
    @needs(Role.OWNER)
    def blank(
        request: Request, car: str, entry: Number, who: Who, why: Annotated[str, Form(max_length=1_000)] = "",
        also: Annotated[list[Number] | None, Form(max_length=500)] = None,
    ) -> Response:  # fmt: skip
        one, others = blanking.blankable(keeping, car, entry)
        try:
            blanking.blank(keeping, car, [one.id, *(also or ())], who.name, why)
        except Refused as refused:
            return page(request, "blank", 422, car=keeping.car(car), one=one, also=others, said=refused.said)
        return to(f"/cars/{car}")

    return router


def _photographs(
    request: Request, keeping: Keeping, car: str, status: int = 200, said: str = "", given: dict[str, str] | None = None
) -> Response:
    lines, choices = photographs.listed(keeping, car)
    entries = {one.digest: one.id for one in keeping.history.series(car, "photograph")}
    return page(
        request, "photographs", status, car=keeping.car(car), lines=lines, choices=choices, entries=entries, said=said,
        given=given or dict.fromkeys(("of", "on", "by", "reading"), ""), today=keeping.today().isoformat(),
    )  # fmt: skip
