"""The record of a car as fields by part: what is on record, what is read anew, and descriptions put right."""

from collections import defaultdict
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from carknocker.documents import Problem
from carknocker.service import asked_fields
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import Refused
from carknocker.service.asked_fields import Fields
from carknocker.service.keeping import Keeping
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page
from carknocker.service.storage.history import Changed

VALUE, SURE, _HEADS = "value.", "sure.", ("on", "by", "gauge")
_MOST = 2_000
CHANGED = "Somebody else wrote to the record meanwhile. Look at what it says now, and send yours once more."
Name = Annotated[str, Query(max_length=200)]


def parts_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/cars/{car}/parts")
    @needs(Role.READER)
    def parts(request: Request, car: str) -> Response:
        lines = keeping.workers.ask(asked_fields.parts, keeping.text(car, "record")[1])
        return page(request, "parts", car=keeping.car(car), lines=lines)

    @router.get("/cars/{car}/part")
    @needs(Role.READER)
    def part(request: Request, car: str, name: Name, entered: str = "") -> Response:
        return _part(request, keeping, car, name, entered=entered[:200])

    @router.post("/cars/{car}/part/readings", dependencies=ours)
    @needs(Role.HELPER)
    async def readings(request: Request, car: str, name: Name, who: Who) -> Response:
        given = given_in(await request.form())
        return await run_in_threadpool(_readings, request, keeping, car, name, given, who.name)

    @router.post("/cars/{car}/part/descriptions", dependencies=ours)
    @needs(Role.OWNER)
    async def descriptions(request: Request, car: str, name: Name, who: Who) -> Response:
        given = given_in(await request.form())
        return await run_in_threadpool(_descriptions, request, keeping, car, name, given, who.name)

    return router


def given_in(form: Any) -> dict[str, str]:
    """What was typed; several words chosen in one field stand beside each other."""
    found: dict[str, list[str]] = {}
    for key, value in form.multi_items():
        if isinstance(value, str) and value.strip():
            found.setdefault(key, []).append(value.strip()[:_MOST])
    return {key: ", ".join(values) for key, values in found.items()}


def under(given: dict[str, str], start: str) -> dict[str, str]:
    """What was typed into the fields whose names begin so, by the rest of the name."""
    return {key.removeprefix(start): value for key, value in given.items() if key.startswith(start)}


def _readings(request: Request, keeping: Keeping, car: str, name: str, given: dict[str, str], who: str) -> Response:
    fields = keeping.workers.ask(asked_fields.fields_of, keeping.text(car, "record")[1], name)
    head = {key: given.get(key, "") for key in _HEADS}
    typed = under(given, VALUE)
    form = asked_fields.form_of_fields(fields, head, typed, under(given, SURE))
    if not typed:
        return _part(request, keeping, car, name, 422, said="No reading was filled in.", given=given)
    try:
        done = keeping.enter_once(car, form.text.encode("utf-8"), "fields.yaml", who, None)
    except Refused as refused:
        at_fields, said = _by_field(refused, dict(form.lines))
        return _part(request, keeping, car, name, 422, said=said, at_fields=at_fields, given=given)
    except Changed:
        return _part(request, keeping, car, name, 412, said=CHANGED, given=given)
    words = "; ".join((f"{done.brought} entered", *done.doubtful, *done.notes))
    return _part(request, keeping, car, name, entered=words)


def _by_field(refused: Refused, lines: dict[int, str]) -> tuple[dict[str, str], str]:
    """Why each field was refused, and what is about none of them."""
    found: dict[str, list[Problem]] = {}
    for one in refused.problems:
        found.setdefault(lines.get(one.where.line, ""), []).append(one)
    rest = found.pop("", [])
    said = "; ".join(problem_words(one) for one in rest) or ("" if refused.problems else refused.said)
    return {attribute: "; ".join(map(problem_words, problems)) for attribute, problems in found.items()}, said


def problem_words(one: Problem) -> str:
    """A problem of a field, in one line."""
    more = (("expected", one.expected), ("nearest right word", one.nearest), ("to do", one.remedy))
    return "; ".join((one.found, *(f"{key}: {words}" for key, words in more if words)))


def _descriptions(request: Request, keeping: Keeping, car: str, name: str, given: dict[str, str], who: str) -> Response:
    version, text = keeping.text(car, "record")
    shown = {one.attribute: one.value for one in keeping.workers.ask(asked_fields.fields_of, text, name).fields}
    said = {key: value for key, value in under(given, VALUE).items() if value != shown.get(key)}
    done = keeping.workers.ask(asked_fields.described, text, name, tuple(said.items()))
    if done.refused:
        at_fields = {attribute: "; ".join(map(problem_words, problems)) for attribute, problems in done.refused}
        return _part(request, keeping, car, name, 422, said="", at_fields=at_fields, given=given)
    if not done.changed:
        return _part(request, keeping, car, name, entered="Nothing was changed: the record says so already.")
    made_from = given.get("after", "")
    try:
        if made_from != str(version.number):
            raise Changed(version)
        keeping.accept(car, "record", done.record, who, f"{name}: {'; '.join(done.changed)}"[:1_000], version.number)
    except Changed:
        return _part(request, keeping, car, name, 412, said=CHANGED, given=given)
    return _part(request, keeping, car, name, entered="; ".join(done.changed))


def _part(
    request: Request, keeping: Keeping, car: str, name: str, status: int = 200, *, said: str = "", entered: str = "",
    at_fields: dict[str, str] | None = None, given: dict[str, str] | None = None,
) -> Response:  # fmt: skip
    version, text = keeping.text(car, "record")
    fields: Fields = keeping.workers.ask(asked_fields.fields_of, text, name)
    return page(
        request, "part", status, car=keeping.car(car), version=version, fields=fields, said=said, entered=entered,
        at_fields=defaultdict(str, at_fields or {}), given=defaultdict(str, given or {}), changed=status == 412,
        today=keeping.today().isoformat(),
    )  # fmt: skip
