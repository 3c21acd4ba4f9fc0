"""The pages of a car's texts: its record and its move as they are written, with each problem at its line."""

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Request, Response

from carknocker.documents import Problem, show_problems
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import CAR_FILE, MOVE_FILE, Refused
from carknocker.service.bounds import Number
from carknocker.service.guard import OWN_POLICY
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotUsable
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page, text_of, to
from carknocker.service.storage.history import Changed

MOST_CHARACTERS = 2_000_000
WITH_SCRIPT = f"{OWN_POLICY}; script-src 'self'; connect-src 'self'"
"""The policy of the page whose script asks the service what is wrong with a text."""

Kind = Literal["record", "move"]
Text = Annotated[str, Form(max_length=MOST_CHARACTERS)]
After = Annotated[int, Form(ge=0, le=2**31)]
_FILES: dict[Kind, str] = {"record": CAR_FILE, "move": MOVE_FILE}


def texts_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/text.js")
    @needs(Role.READER)
    def script() -> Response:
        return Response(text_of("text.js"), media_type="text/javascript", headers={"Cache-Control": "max-age=3600"})

    @router.get("/cars/{car}/texts/{kind}")
    @needs(Role.READER)
    def text(request: Request, car: str, kind: Kind, version: Number | None = None) -> Response:
        found, said = keeping.text(car, kind, version)
        if found.number != keeping.newest(car, kind).number:
            return page(request, "old_text", car=keeping.car(car), kind=kind, version=found, text=said)
        return _text(request, keeping, car, kind, said)

    @router.post("/cars/{car}/texts/{kind}/look-through", dependencies=ours)
    @needs(Role.OWNER)
    def look_through(request: Request, car: str, kind: Kind, text: Text, after: After) -> Response:
        problems = keeping.look_through(car, kind, lines_of(text))
        said = _shown(kind, text, problems) if problems else "Nothing is wrong with the text. It is not written yet."
        return _text(request, keeping, car, kind, text, looked=said, after=after)

    @router.post("/cars/{car}/texts/{kind}", dependencies=ours)
    @needs(Role.OWNER)
    def accept(
        request: Request, car: str, kind: Kind, who: Who, text: Text, after: After,
        note: Annotated[str, Form(max_length=1_000)] = "",
    ) -> Response:  # fmt: skip
        try:
            keeping.accept(car, kind, lines_of(text), who.name, note, after)
        except NotUsable as refused:
            said = _shown(kind, text, refused.problems)
            return _text(request, keeping, car, kind, text, 422, said=said, after=after)
        except Refused as refused:
            return _text(request, keeping, car, kind, text, 422, said=refused.words, after=after)
        except Changed:
            other = difference(text, keeping.text(car, kind)[1])
            return _text(request, keeping, car, kind, text, 412, other=other)
        return to(f"/cars/{car}")

    return router


def lines_of(text: str) -> str:
    """A text from a field of a form, which a browser sends with carriage returns."""
    return text.replace("\r\n", "\n")


def difference(mine: str, theirs: str) -> str:
    """How a text that was typed differs from the one that is kept."""
    from difflib import unified_diff

    lines = unified_diff(
        theirs.splitlines(), lines_of(mine).splitlines(), "the newest version", "yours", lineterm="", n=2
    )
    return "\n".join(lines)


def _shown(kind: Kind, text: str, problems: tuple[Problem, ...]) -> str:
    return show_problems(problems, {_FILES[kind]: lines_of(text)})


def _text(
    request: Request, keeping: Keeping, car: str, kind: Kind, text: str, status: int = 200, *, said: str = "",
    looked: str = "", other: str = "", after: int | None = None,
) -> Response:  # fmt: skip
    """after: the version that the text was made from; the newest if it is left out."""
    shown, newest = keeping.car(car), keeping.newest(car, kind)
    response = page(
        request, "text", status, car=shown, kind=kind, version=newest, after=newest.number if after is None else after,
        text=text, said=said, looked=looked, other=other, file=_FILES[kind],
    )  # fmt: skip
    response.headers["Content-Security-Policy"] = WITH_SCRIPT
    return response
