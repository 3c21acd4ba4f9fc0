"""A move as fields: what it says of itself, of its train, and of each leg."""

from collections import defaultdict
from collections.abc import Mapping

from fastapi import APIRouter, Depends, Request, Response
from fastapi.concurrency import run_in_threadpool

from carknocker.documents import Problem
from carknocker.service import asked_move
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotUsable
from carknocker.service.pages.parts import SURE, VALUE, given_in, problem_words, under
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page
from carknocker.service.storage.history import Changed

_CHANGED = "Somebody else wrote to the move meanwhile. Look at what it says now, and send yours once more."


def move_of(keeping: Keeping) -> APIRouter:
    """The page over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)

    @router.get("/cars/{car}/move")
    @needs(Role.READER)
    def move(request: Request, car: str) -> Response:
        return _move(request, keeping, car)

    @router.post("/cars/{car}/move", dependencies=[Depends(from_our_page)])
    @needs(Role.OWNER)
    async def write(request: Request, car: str, who: Who) -> Response:
        given = given_in(await request.form())
        return await run_in_threadpool(_written, request, keeping, car, given, who.name)

    return router


def _written(request: Request, keeping: Keeping, car: str, given: dict[str, str], who: str) -> Response:
    version, text = keeping.text(car, "move")
    shown = {one.attribute: one.value for group in _groups(keeping, text) for one in group.fields}
    said = {key: value for key, value in under(given, VALUE).items() if value != shown.get(key)}
    if given.get("after", "") != str(version.number):
        return _move(request, keeping, car, 412, said=_CHANGED, given=given)
    sure = under(given, SURE)
    done = keeping.workers.ask(asked_move.with_fields, text, tuple(said.items()), tuple(sure.items()))
    if done.at_fields:
        return _refused(request, keeping, car, dict(done.at_fields), given)
    if not done.changed:
        return _move(request, keeping, car, entered="Nothing was changed: the move says so already.")
    try:
        keeping.accept(car, "move", done.move, who, "; ".join(done.changed)[:1_000], version.number)
    except NotUsable as refused:  # beside the record of the car
        return _refused(request, keeping, car, {"": refused.problems}, given)
    except Refused as refused:
        return _move(request, keeping, car, 422, said=refused.words, given=given)
    except Changed:
        return _move(request, keeping, car, 412, said=_CHANGED, given=given)
    return _move(request, keeping, car, entered="; ".join(done.changed))


def _groups(keeping: Keeping, text: str) -> tuple[asked_move.MoveGroup, ...]:
    return keeping.workers.ask(asked_move.move_fields, text)


def _refused(
    request: Request, keeping: Keeping, car: str, problems: Mapping[str, tuple[Problem, ...]], given: dict[str, str]
) -> Response:
    words = {key: "; ".join(map(problem_words, found)) for key, found in problems.items()}
    return _move(request, keeping, car, 422, said=words.pop("", ""), at_fields=words, given=given)


def _move(
    request: Request, keeping: Keeping, car: str, status: int = 200, *, said: str = "", entered: str = "",
    at_fields: dict[str, str] | None = None, given: dict[str, str] | None = None,
) -> Response:  # fmt: skip
    version, text = keeping.text(car, "move")
    return page(
        request, "move", status, car=keeping.car(car), version=version, groups=_groups(keeping, text), said=said,
        entered=entered, at_fields=defaultdict(str, at_fields or {}), given=defaultdict(str, given or {}),
        changed=status == 412,
    )  # fmt: skip
