"""The addresses of the API."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Header, Path, Query, Request, Response
from fastapi.responses import JSONResponse

from carknocker.service import photographs
from carknocker.service.access.roles import Role, Visitor, Who, needs
from carknocker.service.api.models import (
    Act,
    Acts,
    CarByAnswers,
    CarByTexts,
    CarLine,
    Cars,
    EditionTexts,
    EditionWithTexts,
    Entered,
    FindingLeft,
    FindingsLeft,
    HeldSheet,
    Looked,
    NewText,
    PutAway,
    SentEdition,
    SentEditions,
    Version,
    Versions,
    VersionWithText,
)
from carknocker.service.api.problems import TITLES, InProblemDetails, placed
from carknocker.service.asked import MEDIA_TYPES, Form, Said
from carknocker.service.bounds import MOST_SEARCHED_FOR, Day, Number
from carknocker.service.findings import Findings, KeptFinding
from carknocker.service.guard import policy_of_file
from carknocker.service.keeping import Keeping, Row
from carknocker.service.not_taken import NotThere
from carknocker.service.sent_editions import RULESETS
from carknocker.service.sent_editions import SentEdition as KeptEdition
from carknocker.service.storage import history
from carknocker.service.storage.audit import AuditList
from carknocker.service.storage.car_list import PLACE, Car, Place
from carknocker.service.storage.contents import JPEG

Short = Annotated[str, Query(min_length=1, max_length=200)]
CarId = Annotated[str, Path(max_length=40)]
Key = Annotated[str | None, Header(max_length=120)]
NameOfRules = Annotated[str, Path(max_length=80)]
Texts = Literal["record", "move"]
Search = Annotated[
    str,
    Query(
        max_length=MOST_SEARCHED_FOR,
        description="Words with which words of the mark or the name begin, such as `QTST 27`: all of them have to.",
    ),
]
AsOf = Annotated[Day | None, Query(description="The day of the judgement; today if it is left out.")]
_PROBLEMS: dict[int | str, dict[str, Any]] = {
    status: {"description": words, "content": {"application/problem+json": {}}} for status, words in TITLES.items()
}

_FORM_NAME = r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,110}\.(html|htm|xlsx|csv|yaml|yml)$"
_AFTER = rf"^({PLACE})?$"
"""What `next` says."""
_BEFORE = r"^([0-9TZ:-]{20}~[01]~[0-9]{1,9})?$"
"""What `next` of the audit list says."""
_TAG = r'^(W/)?"?[0-9]{1,9}"?$'
_EDITION_TAG = r'^(W/)?"?([0-9a-f]{16}|0)"?$'
_A_FILE = {"requestBody": {"required": True, "content": {"application/octet-stream": {}}}}
_A_PICTURE: dict[int | str, dict[str, Any]] = {200: {"description": "The picture", "content": {JPEG: {}}}}
_A_KEPT_FILE: dict[int | str, dict[str, Any]] = {
    200: {"description": "The bytes", "content": {"application/octet-stream": {}}}
}
ANSWER: dict[int | str, dict[str, Any]] = {
    200: {"description": "The answer", "content": {kind: {} for kind in MEDIA_TYPES.values()}}
}


def api_of(keeping: Keeping) -> APIRouter:
    """The API over the cars that are kept."""
    router = APIRouter(prefix="/api", route_class=InProblemDetails, responses=_PROBLEMS)

    @router.get("/openapi.json", include_in_schema=False)
    @needs(Role.READER)
    def description(request: Request) -> JSONResponse:
        """What the API can be asked, for programs."""
        return JSONResponse(request.app.openapi())

    @router.get("/cars")
    @needs(Role.READER)
    def cars(
        after: Annotated[str, Query(pattern=_AFTER)] = "", most: Annotated[int, Query(ge=1, le=200)] = 50,
        away: bool = False, search: Search = "",
    ) -> Cars:  # fmt: skip
        """The cars by the day of their coming move, then those whose move is over, the last one first. away: those that
        were put away, and no others. A car that comes or changes places while the list is walked page by page follows
        at its end, and may have been told before: none is missed."""
        rows = keeping.list_cars(after=Place.read(after), most=most, away=away, search=search)
        last = rows[-1][1].place if len(rows) == most else None
        moved = [car.id for car, row in rows if row.moved]
        return Cars(cars=[_line(car, row) for car, row in rows], next=last, moved=moved)

    @router.post("/cars", status_code=201)
    @needs(Role.OWNER)
    def add_car(new: CarByAnswers | CarByTexts, who: Who, idempotency_key: Key = None) -> CarLine:
        """Adds a car. Idempotency-Key: the same sent twice under one key is one car."""
        if isinstance(new, CarByAnswers):
            made = keeping.add_car_by_answers(new.answers, who.name, idempotency_key)
        else:
            made = keeping.add_car(new.record, new.move, who.name, idempotency_key)
        return _line(made, keeping.standing(made.id))

    @router.get("/cars/{car}")
    @needs(Role.READER)
    def car(car: CarId) -> CarLine:
        """One car."""
        return _line(keeping.car(car), keeping.standing(car))

    @router.post("/cars/{car}/put-away")
    @needs(Role.OWNER)
    def put_away(car: CarId, told: PutAway, who: Who) -> CarLine:
        """Takes a car out of the list, or puts it back. Its history stays, and it is judged on."""
        keeping.put_away(car, told.away, who.name, told.why)
        return _line(keeping.car(car), keeping.standing(car))

    @router.get("/cars/{car}/history")
    @needs(Role.READER)
    def versions(
        car: CarId, before: Number | None = None,
        most: Annotated[int, Query(ge=1, le=200)] = 50,
    ) -> Versions:  # fmt: skip
        """What was accepted and given out, the newest first."""
        keeping.car(car)
        found = keeping.history.versions(car, before=before, most=most)
        return Versions(versions=[_version(one) for one in found], next=found[-1].id if len(found) == most else None)

    @router.get("/cars/{car}/history/{entry}/bytes", response_class=Response, responses=_A_KEPT_FILE)
    @needs(Role.READER)
    def kept(car: CarId, entry: Number) -> Response:
        """What an entry of the history holds, byte by byte as it came: a text, a form, a photograph, a dossier, a
        finding."""
        return kept_file(*keeping.kept(car, entry))

    @router.get("/cars/{car}/texts/{kind}")
    @needs(Role.READER)
    def text(car: CarId, kind: Texts, response: Response, version: Number | None = None) -> VersionWithText:
        """The record or the move: the newest version, or the one of a number. Its ETag is for If-Match."""
        found, said = keeping.text(car, kind, version)
        response.headers["ETag"] = _tag(found.number)
        return VersionWithText(**_version(found).model_dump(), text=said)

    @router.put("/cars/{car}/texts/{kind}")
    @needs(Role.OWNER)
    def accept(
        car: CarId, kind: Texts, new: NewText, response: Response, who: Who,
        if_match: Annotated[str, Header(pattern=_TAG)],
    ) -> Version:  # fmt: skip
        """A new version of the record or the move. If-Match: the ETag of the version that was changed."""
        done = keeping.accept(car, kind, new.text, who.name, new.note, _number(if_match))
        response.headers["ETag"] = _tag(done.number)
        return _version(done)

    @router.post("/cars/{car}/texts/{kind}/look-through")
    @needs(Role.OWNER)
    def look_through(car: CarId, kind: Texts, new: NewText) -> Looked:
        """What is wrong with a text, without keeping it."""
        return Looked(problems=[placed(one) for one in keeping.look_through(car, kind, new.text)])

    @router.post("/cars/{car}/forms", openapi_extra=_A_FILE)
    @needs(Role.HELPER)
    async def enter(
        request: Request, car: CarId, who: Who, name: Annotated[str, Query(max_length=120, pattern=_FORM_NAME)],
        idempotency_key: Key = None,
    ) -> Entered:  # fmt: skip
        """Enters a filled-in form, each sheet of it whole or not at all. Idempotency-Key: a form sent twice under one
        key is entered once."""
        from fastapi.concurrency import run_in_threadpool

        body = await request.body()
        return await run_in_threadpool(_entered, keeping, car, body, name, who, idempotency_key)

    @router.post("/cars/{car}/photographs", status_code=201, openapi_extra=_A_FILE)
    @needs(Role.HELPER)
    async def put_photograph_on_record(
        request: Request, car: CarId, who: Who, of: Annotated[list[Short], Query(min_length=1, max_length=20)],
        on: Day, by: Short, reading: Annotated[str, Query(max_length=200)] = "",
        idempotency_key: Key = None,
    ) -> Version:  # fmt: skip
        """Puts a photograph on record: what it shows, the day, who took it, and the reading whose value it shows. One
        that is on record already is refused. Idempotency-Key: one sent twice under one key is put on record once."""
        from fastapi.concurrency import run_in_threadpool

        body = await request.body()
        return _version(
            await run_in_threadpool(
                photographs.put_on_record,
                keeping,
                car,
                body,
                "photograph",
                of,
                on,
                by,
                reading,
                who.name,
                idempotency_key,
            )
        )

    @router.get("/cars/{car}/photographs/{picture}", response_class=Response, responses=_A_PICTURE)
    @needs(Role.READER)
    def photograph(car: CarId, picture: Annotated[str, Path(max_length=100)]) -> Response:
        """The reduced copy of a photograph on record."""
        return Response(photographs.body_of(keeping, car, picture), media_type=JPEG)

    @router.post("/cars/{car}/dossiers", status_code=201)
    @needs(Role.OWNER)
    def give_out(
        car: CarId, who: Who, form: Annotated[Form, Query(alias="format")] = "html", as_of: AsOf = None
    ) -> Version:
        """Makes a dossier and keeps it as it is given out."""
        return _version(keeping.give_out(car, form, as_of or keeping.today(), who.name))

    @router.get("/cars/{car}/dossiers/{digest}", response_class=Response, responses=ANSWER)
    @needs(Role.READER)
    def dossier(car: CarId, digest: Annotated[str, Path(pattern="^[0-9a-f]{64}$")]) -> Response:
        """A dossier as it was given out."""
        return kept_response(keeping, car, digest)

    @router.get("/cars/{car}/findings")
    @needs(Role.READER)
    def findings(car: CarId) -> FindingsLeft:
        """What the host's inspector left on the dossiers of a car."""
        keeping.car(car)
        return FindingsLeft(findings=[_finding(one) for one in Findings(keeping).of_car(car)])

    @router.get("/audit")
    @needs(Role.OWNER)
    def who_did_what(
        before: Annotated[str, Query(pattern=_BEFORE)] = "", most: Annotated[int, Query(ge=1, le=200)] = 50
    ) -> Acts:
        """Who did what and when, the newest first; no contents."""
        lines = AuditList(keeping.history.engine).lines(before, most)
        acts = [Act(at=one.at, who=one.who, what=one.what, car=one.car, about=one.about) for one in lines]
        return Acts(acts=acts, next=lines[-1].place if len(lines) == most else None)

    @router.get("/rulesets")
    @needs(Role.READER)
    def sent_editions() -> SentEditions:
        """The editions that were sent in: circulars of hosts that do not come with the program."""
        return SentEditions(editions=[_sent_edition(one) for one in keeping.sent_editions.all()])

    @router.get("/rulesets/history")
    @needs(Role.READER)
    def versions_of_editions(before: Number | None = None, most: Annotated[int, Query(ge=1, le=200)] = 50) -> Versions:
        """Every version of every file of an edition that was sent in, the newest first."""
        found = keeping.history.versions(RULESETS, before=before, most=most)
        return Versions(versions=[_version(one) for one in found], next=found[-1].id if len(found) == most else None)

    @router.get("/rulesets/history/{entry}/bytes", response_class=Response, responses=_A_KEPT_FILE)
    @needs(Role.READER)
    def file_of_edition(entry: Number) -> Response:
        """A version of a file of an edition, byte by byte as it came."""
        return kept_file(*keeping.sent_editions.kept(entry))

    @router.get("/rulesets/{ruleset}/{edition}")
    @needs(Role.READER)
    def edition_texts(ruleset: NameOfRules, edition: NameOfRules, response: Response) -> EditionWithTexts:
        """An edition that was sent in, with its texts. Its ETag is for If-Match."""
        found = keeping.sent_editions.one(ruleset, edition)
        if not found.files:
            raise NotThere(found.name)
        response.headers["ETag"] = f'"{found.tag}"'
        return EditionWithTexts(**_sent_edition(found).model_dump(), texts=keeping.sent_editions.texts_of(found))

    @router.put("/rulesets/{ruleset}/{edition}")
    @needs(Role.OWNER)
    def accept_edition(
        ruleset: NameOfRules, edition: NameOfRules, new: EditionTexts, response: Response, who: Who,
        if_match: Annotated[str, Header(pattern=_EDITION_TAG)],
    ) -> SentEdition:  # fmt: skip
        """An edition as it is from now on, all of its files at once: it binds every car, or nothing is changed.
        If-Match: the ETag of the edition that was changed, `"0"` for a new one."""
        tag = if_match.removeprefix("W/").strip('"')
        done = keeping.sent_editions.accept(ruleset, edition, new.files, who.name, new.note, tag)
        response.headers["ETag"] = f'"{done.tag}"'
        return _sent_edition(done)

    return router


def answer_response(said: Said) -> Response:
    """An answer, with the policy that its form needs."""
    return response_of(said.body, said.media_type)


def kept_response(keeping: Keeping, car: str, digest: str) -> Response:
    """A dossier that was given out, byte by byte. Raises NotThere, ContentMissing."""
    body, media_type = keeping.dossier(car, digest)
    return response_of(body, media_type)


def kept_file(version: history.Version, body: bytes) -> Response:
    """The bytes of an entry of the history, as a file to be kept: nothing of it is shown or run."""
    name = f"{version.kind.replace(' ', '-')}-{version.number}-{version.digest[:8]}"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(body, media_type="application/octet-stream", headers=headers)


def response_of(body: bytes, media_type: str, *, sends: bool = False) -> Response:
    """A file that was made or kept. A page that is one file may use what stands in it, and nothing else. sends: and may
    ask this service."""
    response = Response(body, media_type=media_type)
    if media_type.startswith("text/html"):
        response.headers["Content-Security-Policy"] = policy_of_file(body.decode("utf-8"), sends=sends)
    return response


def _entered(keeping: Keeping, car: str, body: bytes, name: str, who: Visitor, key: str | None) -> Entered:
    done = keeping.enter_once(car, body, name, who.name, key)
    held = [
        HeldSheet(sheet=sheet.title, name=sheet.name, problems=[placed(one) for one in sheet.problems])
        for sheet in done.held
    ]
    return Entered(
        readings=done.readings, brought=done.brought, added=done.added,
        doubtful=list(done.doubtful), held=held, notes=list(done.notes),
        photographs_left=list(done.photographs_left),
    )  # fmt: skip


def _line(car: Car, row: Row) -> CarLine:
    return CarLine(
        id=car.id, mark=car.mark, name=car.name, out=row.out, as_of=row.as_of, outcome=row.outcome,
        first_fault=row.first_fault, next_lapse=row.next_lapse, up_to_date=row.up_to_date, before=row.before,
        over=row.over, away=row.away,
    )  # fmt: skip


def _finding(one: KeptFinding) -> FindingLeft:
    return FindingLeft(
        at=one.entry.at, by=one.entry.by, finding=one.entry.note.partition(" ")[0],
        remarks=None if one.left is None else one.left.remarks, dossier=one.entry.name, version=one.entry.number,
    )  # fmt: skip


def _version(one: history.Version) -> Version:
    return Version(
        id=one.id, kind=one.kind, name=one.name, number=one.number, digest=one.digest, at=one.at, by=one.by,
        note=one.note,
    )  # fmt: skip


def _sent_edition(one: KeptEdition) -> SentEdition:
    return SentEdition(
        ruleset=one.ruleset, edition=one.edition, tag=one.tag, files=[_version(file) for file in one.files]
    )


def _tag(number: int) -> str:
    return f'"{number}"'


def _number(tag: str) -> int:
    return int(tag.removeprefix("W/").strip('"'))
