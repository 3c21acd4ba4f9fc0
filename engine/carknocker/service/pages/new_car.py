"""A new car: by the answers to the interview, as fields of a page, or by both texts where they are at hand."""

from collections import defaultdict

from fastapi import APIRouter, Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse

from carknocker.documents import Problem, show_problems
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotUsable
from carknocker.service.pages.parts import given_in, problem_words
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page, to
from carknocker.service.pages.texts import MOST_CHARACTERS, lines_of

_ANSWER, _OPTION = "answer.", "--answer "
_MOST = 1_000


def new_car_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)

    @router.get("/new")
    @needs(Role.OWNER)
    def new(request: Request) -> HTMLResponse:
        return _page(request, keeping, 200, {})

    @router.post("/new", dependencies=[Depends(from_our_page)])
    @needs(Role.OWNER)
    async def add(request: Request, who: Who) -> Response:
        form = await request.form()
        texts = [str(form.get(name, "")) for name in ("record", "move")]
        return await run_in_threadpool(_added, request, keeping, who.name, given_in(form), *texts)

    return router


def _added(request: Request, keeping: Keeping, by: str, given: dict[str, str], record: str, move: str) -> Response:
    from carknocker.forms.rows import with_unit

    record, move = (lines_of(text)[:MOST_CHARACTERS] for text in (record, move))
    answers = {key.removeprefix(_ANSWER): said[:_MOST] for key, said in given.items() if key.startswith(_ANSWER)}
    try:
        if record.strip() or move.strip():
            made = keeping.add_car(record, move, by)
        else:
            missing = {
                one.key: "an answer is needed"
                for screen in keeping.interview() for one in screen.fields
                if one.must and not one.only_where and not answers.get(one.key, "").strip()
            }  # fmt: skip
            if missing:
                return _page(request, keeping, 422, answers, record, move, "", missing)
            units = {one.key: one.unit for screen in keeping.interview() for one in screen.fields}
            told = tuple(f"{key}={with_unit(said, units.get(key, ''))}" for key, said in answers.items())
            made = keeping.add_car_by_answers(told, by)
    except (Refused, NotUsable) as refused:
        at_fields, said = _by_field(refused)
        return _page(request, keeping, 422, answers, record, move, said, at_fields)
    return to(f"/cars/{made.id}")


def _by_field(refused: Refused | NotUsable) -> tuple[dict[str, str], str]:
    """Why each answer was refused, and what is about none of them."""
    found: dict[str, str] = {}
    rest: list[Problem] = []
    for one in refused.problems:
        key = one.where.file.removeprefix(_OPTION)
        if key == one.where.file:
            rest.append(one)
        else:
            found[key] = "; ".join(filter(None, (found.get(key, ""), problem_words(one))))
    return found, show_problems(tuple(rest)) if rest else "" if found else refused.words


def _page(
    request: Request, keeping: Keeping, status: int, answers: dict[str, str], record: str = "", move: str = "",
    said: str = "", at_fields: dict[str, str] | None = None,
) -> HTMLResponse:  # fmt: skip
    return page(
        request, "new", status, screens=keeping.interview(), answers=defaultdict(str, answers), record=record,
        move=move, said=said, at_fields=defaultdict(str, at_fields or {}),
    )  # fmt: skip
