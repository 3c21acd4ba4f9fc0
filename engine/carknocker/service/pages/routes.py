"""The addresses of the pages."""

from contextlib import suppress
from typing import Annotated, Any, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Form, Query, Request, Response, UploadFile
from fastapi.responses import HTMLResponse

from carknocker.service import asked, asked_car, photographs
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.api.routes import kept_file, kept_response, response_of
from carknocker.service.asked import MEDIA_TYPES, Refused
from carknocker.service.blanking import is_blankable, newest_of
from carknocker.service.bounds import MOST_SEARCHED_FOR, Day, Number, Question
from carknocker.service.findings import Findings
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import (
    file_name,
    form_file,
    from_our_page,
    moment,
    page,
    text_of,
    to,
    with_way_back,
)
from carknocker.service.shop_forms import ShopForms
from carknocker.service.storage.car_list import Place

_BACK = "Back to the car"
SHOWN_AT_ONCE = 50
MOST_COMPARED = 200
SHOWN_ON_A_CAR = 6
"""Photographs."""
SENT_ON_A_CAR = 10
"""Forms of shops that wait."""
SHOWN_OF_HISTORY = 20
"""Entries on the page of a car."""


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
    def cars(
        request: Request, after: Annotated[str, Query(max_length=80)] = "", away: bool = False,
        search: Annotated[str, Query(max_length=MOST_SEARCHED_FOR)] = "",
    ) -> HTMLResponse:  # fmt: skip
        rows = keeping.list_cars(after=Place.read(after), most=SHOWN_AT_ONCE, away=away, search=search)
        last = rows[-1][1].place if len(rows) == SHOWN_AT_ONCE else None
        return page(request, "cars", rows=rows, next=last, away=away, first=not after, search=search.strip())

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
        pictures: tuple[photographs.Line, ...] = ()
        with suppress(Refused):  # of a record that is not read any more, which its row says
            pictures = photographs.at_hand(photographs.listed(keeping, car)[0])[:SHOWN_ON_A_CAR]
        glance = None
        with suppress(Refused):  # it can't be judged, which its row says, or not just now
            glance = keeping.workers.ask(asked_car.glance, keeping.sources(car))
        waiting = ShopForms(keeping).that_wait(car, most=SENT_ON_A_CAR + 1)
        return page(request, "car", car=shown, standing=keeping.standing(car), glance=glance, pictures=pictures,
                     findings=Findings(keeping).of_car(car), sent=waiting[:SENT_ON_A_CAR],
                     more_sent=len(waiting) > SENT_ON_A_CAR,
                     **_history(keeping, car, SHOWN_OF_HISTORY))  # fmt: skip

    @router.get("/cars/{car}/history")
    @needs(Role.READER)
    def history(request: Request, car: str, before: Number | None = None) -> HTMLResponse:
        return page(request, "history", car=keeping.car(car), **_history(keeping, car, SHOWN_AT_ONCE, before))

    @router.get("/cars/{car}/history/{entry}/bytes")
    @needs(Role.READER)
    def kept(car: str, entry: Number) -> Response:
        return kept_file(*keeping.kept(car, entry))

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
    def give_out(car: str, who: Who, form: Annotated[Literal["html", "pdf", "json"], Form()] = "pdf") -> Response:
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
    def compare_two(
        car: str, before: Number, after: Number, move_before: Number | None = None, move_after: Number | None = None
    ) -> Response:
        moves = {"move_before": move_before, "move_after": move_after}
        named = urlencode({name: number for name, number in moves.items() if number is not None})
        return to(f"/cars/{car}/compare/{before}/{after}{'?' if named else ''}{named}")

    @router.get("/cars/{car}/compare/{before}/{after}")
    @needs(Role.READER)
    def compare(
        car: str, before: Number, after: Number, move_before: Number | None = None, move_after: Number | None = None
    ) -> Response:
        moves = move_before, move_after
        said = keeping.compare(car, before, after, "html", keeping.today(), moves)
        sides = zip((before, after), moves, strict=True)
        about = " → ".join(_side(keeping, car, *side) for side in sides)
        return with_way_back(said, f"/cars/{car}", _BACK, f"{keeping.car(car).title}: {about}")

    @router.get("/cars/{car}/{question}")
    @needs(Role.READER)
    def answer(
        car: str, question: Question, form: Annotated[asked.Form, Query(alias="format")] = "html",
        as_of: Day | None = None, part: Annotated[str, Query(max_length=200)] = "",
        requirement: Annotated[str, Query(max_length=200)] = "",
    ) -> Response:  # fmt: skip
        options = (("part", part), ("requirement", requirement)) if question == "why" else ()
        said = keeping.answer(car, question, form, as_of or keeping.today(), options)
        return with_way_back(said, f"/cars/{car}", _BACK)

    return router


def _side(keeping: Keeping, car: str, record: int, move: int | None) -> str:
    """One side of a comparison: which version of the record, by whom, and of the move where one was named."""
    version = keeping.text(car, "record", record)[0]
    for_move = "" if move is None else f", for move {move}"
    return f"record {version.number} of {moment(version.at)}, by {version.by}{for_move}"


def _history(keeping: Keeping, car: str, most: int, before: int | None = None) -> dict[str, Any]:
    """Entries of the history of a car, and what may be done with each. records, moves: those that can be compared."""
    found = keeping.history.versions(car, before=before, most=most)
    gone, newest = keeping.history.blanked(car), newest_of(keeping, car)
    records, moves = (
        tuple(one for one in keeping.history.versions(car, kind, most=MOST_COMPARED) if one.digest not in gone)
        for kind in ("record", "move")
    )
    return {
        "history": found, "blanked": gone, "records": records, "moves": moves,
        "comparable": {one.number for one in records},
        "may_go": {one.id for one in found if is_blankable(one, newest)},
        "next": found[-1].id if len(found) == most else None,
    }  # fmt: skip
