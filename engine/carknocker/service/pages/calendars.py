"""The calendar of a car: its dates as iCalendar at a private address, which the owner makes and takes back."""

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response

from carknocker.service.access.calendars import Calendars, TooManyCalendars
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.bounds import Number
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotThere
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, origin_of, page, to
from carknocker.service.storage.accounts import NotOpen


def calendars_of(keeping: Keeping, calendars: Calendars) -> APIRouter:
    """The pages and the feed over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/calendars/{secret}.ics")
    @needs(Role.ANYONE)
    def feed(secret: str) -> Response:
        try:
            car = calendars.car_of(secret[:200])
        except NotOpen:
            raise NotThere("calendar") from None
        return Response(keeping.calendar(car), media_type="text/calendar; charset=utf-8")

    @router.get("/cars/{car}/calendar")
    @needs(Role.OWNER)
    def addresses(request: Request, car: str) -> Response:
        return _addresses(request, keeping, calendars, car)

    @router.post("/cars/{car}/calendar", dependencies=ours)
    @needs(Role.OWNER)
    def make(request: Request, car: str, who: Who, label: Annotated[str, Form(max_length=80)] = "") -> Response:
        keeping.car(car)
        try:
            made = calendars.make(car, label, who)
        except TooManyCalendars as refused:
            return _addresses(request, keeping, calendars, car, 422, said=str(refused))
        return _addresses(request, keeping, calendars, car, made=f"{origin_of(request)}/calendars/{made}.ics")

    @router.post("/cars/{car}/calendar/{number}/end", dependencies=ours)
    @needs(Role.OWNER)
    def take_back(car: str, number: Number, who: Who) -> Response:
        if not calendars.take_back(car, number, who):
            raise NotThere(str(number))
        return to(f"/cars/{car}/calendar")

    return router


def _addresses(
    request: Request, keeping: Keeping, calendars: Calendars, car: str, status: int = 200, *, said: str = "",
    made: str = "",
) -> Response:  # fmt: skip
    return page(
        request, "calendar", status, car=keeping.car(car), addresses=calendars.of_car(car), said=said, made=made
    )
