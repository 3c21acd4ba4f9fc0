"""The addresses of the API that ask what the command line asks."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from carknocker.service import asked_files, asked_rules
from carknocker.service.access.roles import Role, needs
from carknocker.service.api.problems import TITLES, InProblemDetails
from carknocker.service.api.routes import ANSWER, AsOf, CarId, answer_response
from carknocker.service.asked import MEDIA_TYPES, Form
from carknocker.service.asked_questions import Options
from carknocker.service.bounds import Number, Question
from carknocker.service.keeping import Keeping

InForm = Annotated[Form, Query(alias="format")]
Word = Annotated[str, Query(max_length=200)]
_PROBLEMS: dict[int | str, dict[str, Any]] = {
    status: {"description": words, "content": {"application/problem+json": {}}} for status, words in TITLES.items()
}
_FILE_TYPES = {
    "html": MEDIA_TYPES["html"], "csv": "text/csv; charset=utf-8", "yaml": "text/yaml; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}  # fmt: skip
_A_FORM: dict[int | str, dict[str, Any]] = {
    200: {"description": "The form", "content": {kind: {} for kind in _FILE_TYPES.values()}}
}
_A_PACK: dict[int | str, dict[str, Any]] = {200: {"description": "The pack", "content": {"application/zip": {}}}}
_YAML_BODY = {"requestBody": {"required": True, "content": {"text/yaml": {"schema": {"type": "string"}}}}}
_JSON_BODY = {"requestBody": {"required": True, "content": {"application/octet-stream": {}}}}
_OF_QUESTION: dict[str, tuple[str, ...]] = {
    "why": ("part", "requirement"), "wheel-order": ("axle",),
    "tag": ("inspector", "location", "inspected_on", "destination"),
}  # fmt: skip
"""What else each question is told, but for the worksheet."""


def _of_worksheet(sheet: Word = "", before_departure: bool = False, advised: bool = False) -> Options:
    given = {"sheet": sheet, "before_departure": _said(before_departure), "advised": _said(advised)}
    return tuple((name, said) for name, said in given.items() if said)


OfWorksheet = Annotated[Options, Depends(_of_worksheet)]
"""What else the worksheet is told, on paper and as a form."""


def questions_of(keeping: Keeping) -> APIRouter:
    """The questions about the cars that are kept, and about rules and words."""
    router = APIRouter(prefix="/api", route_class=InProblemDetails, responses=_PROBLEMS)

    @router.get("/cars/{car}/answers/{question}", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def answer(
        car: CarId, question: Question, worksheet: OfWorksheet, as_of: AsOf = None, form: InForm = "json",
        version: Number | None = None,
        part: Word = "", requirement: Word = "", axle: Annotated[int | None, Query(ge=1, le=12)] = None,
        inspector: Word = "", location: Word = "", inspected_on: AsOf = None, destination: Word = "",
    ) -> Response:  # fmt: skip
        """An answer of the command line. part, requirement: of `why`. axle: of `wheel-order`. inspector, location,
        inspected_on, destination: of `tag`. sheet, before_departure, advised: of `worksheet`. version: of the
        record."""
        given = {
            "part": part, "requirement": requirement, "axle": "" if axle is None else str(axle),
            "inspector": inspector, "location": location, "destination": destination,
            "inspected_on": "" if inspected_on is None else inspected_on.isoformat(),
        }  # fmt: skip
        options = tuple((name, given[name]) for name in _OF_QUESTION.get(question, ()) if given[name])
        options = worksheet if question == "worksheet" else options
        return answer_response(keeping.answer(car, question, form, as_of or keeping.today(), options, version))

    @router.get("/cars/{car}/compare", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def compare(
        car: CarId, before: Number, after: Number, move_before: Number | None = None, move_after: Number | None = None,
        as_of: AsOf = None, form: InForm = "json",
    ) -> Response:  # fmt: skip
        """What changed between two versions of the record, each for a version of the move; the newest if none is
        named."""
        moves = move_before, move_after
        return answer_response(keeping.compare(car, before, after, form, as_of or keeping.today(), moves))

    @router.get("/cars/{car}/worksheet.{ending}", response_class=Response, responses=_A_FORM)
    @needs(Role.READER)
    def worksheet(
        car: CarId, ending: Annotated[asked_files.Ending, Path()], options: OfWorksheet, as_of: AsOf = None,
    ) -> Response:  # fmt: skip
        """The worksheet as a form to fill in, as `worksheet --form` writes it."""
        body = keeping.worksheet_file(car, ending, as_of or keeping.today(), options)
        headers = {"Content-Disposition": f'attachment; filename="worksheet.{ending}"'}
        return Response(body, media_type=_FILE_TYPES[ending], headers=headers)

    @router.post("/cars/{car}/lift", response_class=Response, responses=ANSWER, openapi_extra=_YAML_BODY)
    @needs(Role.READER)
    async def lift(
        request: Request, car: CarId, end: Literal["A", "B"], as_of: AsOf = None, form: InForm = "json"
    ) -> Response:
        """The sheet for lifting one end, by the plan of the lift that is sent. Nothing is kept."""
        plan = (await request.body()).decode("utf-8-sig", errors="replace")
        day = as_of or keeping.today()
        return answer_response(await run_in_threadpool(keeping.lift, car, end, plan, form, day))

    @router.get("/cars/{car}/pack", response_class=Response, responses=_A_PACK)
    @needs(Role.READER)
    def pack(car: CarId, as_of: AsOf = None) -> Response:
        """Record, move, rules, reduced photographs and dossier in one file, which anybody can verify."""
        body = keeping.pack(car, as_of or keeping.today())
        return Response(body, media_type="application/zip",
                        headers={"Content-Disposition": 'attachment; filename="pack.zip"'})  # fmt: skip

    @router.post("/cars/{car}/verify", response_class=Response, responses=ANSWER, openapi_extra=_JSON_BODY)
    @needs(Role.READER)
    async def verify(request: Request, car: CarId, form: InForm = "json") -> Response:
        """Whether the dossier that is sent, as JSON, is still true: worked out again as of its own day, from the texts
        that it was made from, where they are in the history. Nothing is kept."""
        return answer_response(await run_in_threadpool(keeping.verify, car, await request.body(), form))

    @router.get("/words", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def words(name: Word = "", form: InForm = "json") -> Response:
        """Which keys and words a record or a rule may have: of one name, or of all."""
        return answer_response(keeping.workers.ask(asked_files.words, name, form))

    @router.get("/rules", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def rules(form: InForm = "json") -> Response:
        """The editions at hand."""
        return answer_response(keeping.workers.ask(asked_rules.editions_listed, keeping.sent_editions.files(), form))

    @router.get("/rules/compare", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def compare_editions(before: Word, after: Word, form: InForm = "json") -> Response:
        """What changes between two editions, each named `ruleset/edition`."""
        texts = keeping.sent_editions.files()
        return answer_response(keeping.workers.ask(asked_rules.editions_compared, texts, before, after, form))

    @router.get("/rules/{ruleset}/{edition}", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def edition(
        ruleset: Annotated[str, Path(max_length=80)], edition: Annotated[str, Path(max_length=80)], rule: Word = "",
        form: InForm = "json",
    ) -> Response:  # fmt: skip
        """What an edition says, or one rule of it, each with its source."""
        texts = keeping.sent_editions.files()
        return answer_response(
            keeping.workers.ask(asked_rules.edition_shown, texts, ruleset, edition, rule.strip(), form)
        )

    return router


def _said(yes: bool) -> str:
    return "yes" if yes else ""
