"""The addresses of the pages."""

from contextlib import suppress
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Query, Request, Response, UploadFile
from fastapi.responses import HTMLResponse

from carknocker.service import asked, asked_car, photographs
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.api.routes import Question, answer_response, kept_response, response_of
from carknocker.service.asked import MEDIA_TYPES, Refused
from carknocker.service.blanking import is_blankable, newest_of
from carknocker.service.bounds import Day, Number
from carknocker.service.findings import Findings
from carknocker.service.keeping import Keeping, place_of
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import file_name, form_file, from_our_page, page, text_of, to
from carknocker.service.shop_forms import ShopForms
from carknocker.service.storage.history import Place

SHOWN_AT_ONCE = 50
MOST_COMPARED = 200
SHOWN_ON_A_CAR = 6
"""Photographs."""


def pages_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/style.css")
    @needs(Role.ANYONE)
    def style() -> Response:
        return Response(text_of("style.css"), media_type="text/css", headers={"Cache-Control": "max-age=3600"})

    @router.get("/healthz")
    @needs(Role.ANYONE)
    def healthy() -> Response:
        unwell = keeping.unwell()
        return Response(f"{unwell or 'ok'}\n", 503 if unwell else 200, media_type="text/plain")

    @router.get("/")
    @needs(Role.READER)
    def cars(request: Request, after: Annotated[str, Query(max_length=80)] = "", away: bool = False) -> HTMLResponse:
        rows = keeping.list_cars(after=Place.read(after), most=SHOWN_AT_ONCE, away=away)
        last = str(place_of(*rows[-1])) if len(rows) == SHOWN_AT_ONCE else None
        return page(request, "cars", rows=rows, next=last, away=away, first=not after)

    @router.post("/cars/{car}/put-away", dependencies=ours)
    @needs(Role.OWNER)
    def put_away(
        car: str, who: Who, away: Annotated[bool, Form()], why: Annotated[str, Form(max_length=300)] = ""
    ) -> Response:
        keeping.put_away(car, away, who.name, why)
        return to(f"/cars/{car}")

    @router.get("/cars/{car}")
    @needs(Role.READER)
    def car(request: Request, car: str) -> HTMLResponse:
        shown = keeping.car(car)
        history = keeping.history.versions(car, most=20)
        pictures: tuple[photographs.Line, ...] = ()
        with suppress(Refused):  # of a record that is not read any more, which its row says
            pictures = photographs.at_hand(photographs.listed(keeping, car)[0])[:SHOWN_ON_A_CAR]
        glance = None
        with suppress(Refused):  # it can't be judged, which its row says, or not just now
            glance = keeping.workers.ask(asked_car.glance, keeping.sources(car))
        records = keeping.history.versions(car, "record", most=MOST_COMPARED)
        newest = newest_of(keeping, car)
        return page(request, "car", car=shown, standing=keeping.standing(car), history=history, glance=glance,
                     records=records, pictures=pictures, blanked=keeping.history.blanked(car),
                     may_go={one.id for one in history if is_blankable(one, newest)},
                     findings=Findings(keeping).of_car(car), sent=ShopForms(keeping).of_car(car))  # fmt: skip

    @router.get("/cars/{car}/worksheet.{ending}")
    @needs(Role.READER)
    def worksheet(car: str, ending: Literal["html", "xlsx"]) -> Response:
        return form_file(keeping.worksheet(car, ending), f"worksheet-{car}-{keeping.today().isoformat()}", ending)

    @router.get("/cars/{car}/form")
    @needs(Role.HELPER)
    def form(car: str) -> Response:
        record, move = keeping.newest(car, "record").number, keeping.newest(car, "move").number
        return to(f"/cars/{car}/form/{record}/{move}/{keeping.today().isoformat()}")

    @router.get("/cars/{car}/form/{record}/{move}/{day}")
    @needs(Role.HELPER)
    def form_that_sends(car: str, record: Number, move: Number, day: Day) -> Response:
        name = f"form-{day.isoformat()}.html"
        body = keeping.form_that_sends(car, record, move, day, f"/api/cars/{car}/forms?name={name}")
        return response_of(body, MEDIA_TYPES["html"], sends=True)

    @router.post("/cars/{car}/forms", dependencies=ours)
    @needs(Role.HELPER)
    def enter(request: Request, car: str, form: UploadFile, who: Who) -> Response:
        shown = keeping.car(car)
        name = file_name(form)
        try:
            done = keeping.enter_once(car, form.file.read(), name, who.name, None)
        except Refused as refused:
            return page(request, "entered", 422, car=shown, form_name=name, done=None, said=refused.words)
        return page(request, "entered", car=shown, form_name=name, done=done, said="")

    @router.post("/cars/{car}/dossiers", dependencies=ours)
    @needs(Role.OWNER)
    def give_out(car: str, who: Who, form: Annotated[Literal["html", "pdf"], Form()] = "pdf") -> Response:
        made = keeping.give_out(car, form, keeping.today(), who.name)
        return to(f"/cars/{car}/dossiers/{made.digest}")

    @router.get("/cars/{car}/dossiers/{digest}")
    @needs(Role.READER)
    def dossier(car: str, digest: str) -> Response:
        return kept_response(keeping, car, digest)

    @router.get("/cars/{car}/reasons")
    @needs(Role.READER)
    def reasons(
        request: Request, car: str, part: Annotated[str, Query(max_length=200)] = "",
        requirement: Annotated[str, Query(max_length=200)] = "",
    ) -> Response:  # fmt: skip
        sources = keeping.sources(car)
        said = keeping.workers.ask(asked_car.why, sources, part.strip(), requirement.strip())
        return page(request, "reasons", car=keeping.car(car), why=said, part=part, requirement=requirement)

    @router.get("/cars/{car}/compare")
    @needs(Role.READER)
    def compare_two(car: str, before: Number, after: Number) -> Response:
        return to(f"/cars/{car}/compare/{before}/{after}")

    @router.get("/cars/{car}/compare/{before}/{after}")
    @needs(Role.READER)
    def compare(car: str, before: Number, after: Number) -> Response:
        return answer_response(keeping.compare(car, before, after, "html", keeping.today()))

    @router.get("/cars/{car}/{question}")
    @needs(Role.READER)
    def answer(
        car: str, question: Question, form: Annotated[asked.Form, Query(alias="format")] = "html",
        as_of: Day | None = None, part: Annotated[str, Query(max_length=200)] = "",
        requirement: Annotated[str, Query(max_length=200)] = "",
    ) -> Response:  # fmt: skip
        options = (part, requirement) if question == "why" else ()
        return answer_response(keeping.answer(car, question, form, as_of or keeping.today(), options))

    return router
