"""What the service may be asked of one car and move, answered by the very functions of the command line. Runs in worker
processes: everything goes in and comes out as plain data."""

import contextlib
import tempfile
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Literal, TypeAlias

import msgspec

from carknocker.documents import InputRefused, Location, Problem, show_problems
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import CannotJudge
from carknocker.judgement.names import NotFound
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Person
from carknocker.record.photographs import with_photographs
from carknocker.rulebook.library import Library, load_library, rulesets_folders

Form: TypeAlias = Literal["html", "pdf", "markdown", "json", "text"]

MEDIA_TYPES: dict[Form, str] = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "markdown": "text/markdown; charset=utf-8",
    "json": "application/json",
    "text": "text/plain; charset=utf-8",
}

CAR_FILE, MOVE_FILE = "car.yaml", "move.yaml"


class Sources(msgspec.Struct, frozen=True):
    """What an answer is made of. editions: path → text of each file of the rulesets that were sent in; those that come
    with the program are always at hand. photographs: file → SHA-256 of each reduced copy that is at hand. record_file,
    move_file: how the texts are called."""

    record: str
    move: str
    day: date
    editions: tuple[tuple[str, str], ...] = ()
    photographs: tuple[tuple[str, str], ...] = ()
    record_file: str = CAR_FILE
    move_file: str = MOVE_FILE


class Said(msgspec.Struct, frozen=True):
    """An answer. outcome: in a few words."""

    body: bytes
    media_type: str
    outcome: str


class Summary(msgspec.Struct, frozen=True):
    """What the list of cars shows of one. called: mark and name of the car; None where its record can't be read.
    next_lapse: the first day on which something lapses; "" if nothing does. ended: the move is over."""

    called: tuple[str, str] | None
    out: str
    outcome: str
    first_fault: str
    next_lapse: str
    ended: bool = False


class Refused(Exception):
    """There is no answer. reason: which sort of refusal; problems: with their places in the files, if that is why."""

    def __init__(self, reason: Literal["input", "not found", "cannot judge", "stopped", "busy"], said: str,
                 problems: tuple[Problem, ...] = ()) -> None:  # fmt: skip
        super().__init__(reason, said, problems)
        self.reason = reason
        self.said = said
        self.problems = problems

    @property
    def words(self) -> str:
        """All that is wrong, as a page shows it."""
        return show_problems(self.problems) if self.problems else self.said


def summed_up(sources: Sources) -> Summary:
    """A line for the list of cars. Raises Refused."""
    from carknocker.dossier.items import fault_text
    from carknocker.dossier.view import view_of
    from carknocker.questions.due.ask import due

    with in_plain_words():
        answer = checked(sources)
        view = view_of(answer)
        car, move = answer.judgement.car, answer.judgement.move
        lapses = due(answer, library_of(sources.editions)).lapses
        items = view.items.in_order
        return Summary(
            (car.mark, car.name),
            move.out.isoformat(),
            in_brief(answer),
            fault_text(items[0]) if items else "",
            min((one.day.isoformat() for one in lapses), default=""),
            move.back < sources.day,
        )


def form_to_fill_in(
    sources: Sources, ending: Literal["html", "xlsx"], send_to: str = "", sheet: str = "", signer: str = ""
) -> bytes:
    """The worksheet as a form. send_to: the address to which an HTML form sends itself; sheet: the name of the one that
    it has; "" for all. signer: whose name alone it offers. Raises Refused."""
    from carknocker.forms.html_form import html_form
    from carknocker.forms.layout import form_of
    from carknocker.forms.one_sheet import with_one_sheet
    from carknocker.forms.spreadsheet import spreadsheet_of

    with in_plain_words():
        asked = form_of(checked(sources))
        if sheet:
            asked = with_one_sheet(asked, sheet)
        if signer:
            own = tuple(one for one in asked.people if one.partition(" (")[0] == signer)
            asked = msgspec.structs.replace(asked, people=own)
        return spreadsheet_of(asked) if ending == "xlsx" else html_form(asked, send_to).encode("utf-8")


class ForShops(msgspec.Struct, frozen=True):
    """What a shop may be given: the names of the sheets, and of the people on record, one of whom signs."""

    sheets: tuple[str, ...] = ()
    people: tuple[str, ...] = ()


def for_shops(sources: Sources) -> ForShops:
    """Raises Refused."""
    from carknocker.forms.layout import form_of

    with in_plain_words():
        answer = checked(sources)
        form = form_of(answer)
        sheets = tuple(one.name for one in form.every_sheet if one not in (form.who, form.move))
        return ForShops(sheets, tuple(answer.judgement.car.people))


def calendar(sources: Sources) -> bytes:
    """What lapses and is due when, as an iCalendar file. Raises Refused."""
    from carknocker.questions.due.ask import due
    from carknocker.questions.due.calendar import calendar_of

    with in_plain_words():
        return calendar_of(due(checked(sources), library_of(sources.editions)))


class SheetNotTaken(msgspec.Struct, frozen=True):
    """A sheet of a form that was not taken, and why. title, name: how the form calls it, and knows it."""

    title: str
    name: str
    problems: tuple[Problem, ...]

    @property
    def words(self) -> str:
        """Why, as a page shows it."""
        return show_problems(self.problems)


class EnteredForm(msgspec.Struct, frozen=True):
    """What a form brought. photographs_left: those of the form that were not taken, as it counts them from 1. read_by:
    who read, by the sheets. brought: how much of what, in words; readers: of a form of a shop, each who read, tested or
    worked, with the role on record."""

    readings: int
    added: str
    doubtful: tuple[str, ...]
    held: tuple[SheetNotTaken, ...]
    notes: tuple[str, ...]
    photographs_left: tuple[int, ...] = ()
    read_by: tuple[str, ...] = ()
    brought: str = ""
    readers: tuple[str, ...] = ()


class NewTexts(msgspec.Struct, frozen=True):
    """The texts with a form entered, and the reduced copy of each new photograph by its file. move: None where it
    stays."""

    record: str
    move: str | None
    photographs: tuple[tuple[str, bytes], ...]
    told: EnteredForm


def entered(sources: Sources, form: bytes, form_name: str, sheet: str = "", signer: str = "") -> NewTexts:
    """The record with a form entered, each sheet whole or not at all. sheet: the name of the one of which the form may
    say anything; "" for all. signer: who alone may have signed it, by his short name; "" for whoever is on record.
    Raises Refused."""
    from carknocker.questions.enter.ask import enter

    with in_plain_words():
        text = form if form_name.casefold().endswith(".xlsx") else form.decode("utf-8-sig", errors="replace")
        if sheet:
            from carknocker.judgement.index import JudgementIndex
            from carknocker.questions.enter.form_reader import read_form
            from carknocker.questions.enter.one_sheet import refuse_other_sheets

            index = JudgementIndex(checked(sources).judgement)
            refuse_other_sheets(read_form(text, form_name), sheet, form_name, index)
        done = enter(sources.record, CAR_FILE, text, form_name, sources.day, (sources.move, MOVE_FILE))
        held = tuple(SheetNotTaken(one.title, one.sheet.name, one.problems) for one in done.held)
        before, now = read_car_text(sources.record, CAR_FILE), read_car_text(done.text, CAR_FILE)
        if signer:
            _refuse_other_signers(before, now, signer, form_name)
        told = EnteredForm(
            done.readings, done.added, done.doubtful, held, done.notes, done.photographs_left,
            tuple(dict.fromkeys(by for _, by, _ in done.sheets if by)),
            _brought(before, now, move=done.move is not None), _readers(before, now) if sheet else (),
        )  # fmt: skip
        return NewTexts(done.text, done.move, tuple((one.file, one.copy) for one in done.photographs), told)


def day_out(move: str) -> str:
    """The day out of a move. Raises Refused if it can't be read."""
    with in_plain_words():
        return read_move_text(move, MOVE_FILE).out.isoformat()


def _brought(before: CarRecord, now: CarRecord, *, move: bool) -> str:
    """`2 readings, 1 job`; what is new of a record and its move."""
    from carknocker.wording.phrases import counted

    jobs, events = (
        sum(one.event is event for one in now.work) - sum(one.event is event for one in before.work)
        for event in (False, True)
    )
    new = (
        (len(now.evidence) - len(before.evidence), "reading", ""), (jobs, "job", ""), (events, "event", ""),
        (len(now.moves_made) - len(before.moves_made), "move made", "moves made"),
        (len(now.spares) - len(before.spares), "spare", ""),
        (len(now.leaves) - len(before.leaves), "written permission", ""),
        (len(now.people) - len(before.people), "person", "people"), (len(now.gauges) - len(before.gauges), "gauge", ""),
        (len(now.parts) - len(before.parts), "part", ""),
        (len(now.photographs) - len(before.photographs), "photograph", ""),
    )  # fmt: skip
    said = [counted(number, one, many) for number, one, many in new if number > 0]
    return ", ".join((*said, *(("the move",) if move else ()))) or "what was on record put right"


def _signed(car: CarRecord) -> dict[tuple[object, ...], Person | None]:
    """What somebody read, tested, did or photographed, and who; None where a job or an event does not say it."""
    found: dict[tuple[object, ...], Person | None] = {}
    for one in car.evidence:
        if one.by is not None:
            found[one.part, one.attribute, one.on, one.value, one.by.name] = one.by
    for job in car.work:
        found[job.name, job.at, job.on, job.by and job.by.name] = job.by
    for picture in car.photographs:
        found[picture.file, picture.of, picture.reading] = picture.by
    return found


def _new_signers(before: CarRecord, now: CarRecord) -> tuple[Person | None, ...]:
    """Who signed what is new."""
    known = _signed(before)
    return tuple(by for what, by in _signed(now).items() if what not in known)


def _readers(before: CarRecord, now: CarRecord) -> tuple[str, ...]:
    """Each who read, tested or worked of what is new, by name and role on record."""
    named = {by.name: by for by in _new_signers(before, now) if by is not None}
    return tuple(f"{' '.join(filter(None, (one.name, one.full_name)))} ({one.role})" for one in named.values())


def _refuse_other_signers(before: CarRecord, now: CarRecord, signer: str, form_name: str) -> None:
    """Raises InputRefused where anybody but the signer read, tested or worked, or somebody would be put on record."""
    signed = {"" if one is None else one.name for one in _new_signers(before, now)}
    others = sorted(one for one in signed if one != signer)
    found = [f"signed by {one[:60]}" if one else "a job that nobody signed" for one in others]
    if now.people != before.people:
        found.append("somebody who is to be put on record")
    if found:
        where, expected = Location(form_name, 1, 1), f"what {signer} signed alone: the link is his"
        raise InputRefused(tuple(Problem(where, one, expected) for one in found))


def called(record: str) -> tuple[str, str]:
    """Mark and name of the car. Raises Refused if the record can't be read."""
    with in_plain_words():
        car = read_car_text(record, CAR_FILE)
        return car.mark, car.name


def looked_through(record: str, move: str) -> tuple[Problem, ...]:
    """Every problem of both texts; none if they can be used."""
    problems: list[Problem] = []
    for reader, text, file in ((read_car_text, record, CAR_FILE), (read_move_text, move, MOVE_FILE)):
        try:
            reader(text, file)
        except InputRefused as refused:
            problems.extend(refused.problems)
    return tuple(problems)


def rulesets_looked_through(editions: tuple[tuple[str, str], ...]) -> tuple[Problem, ...]:
    """Every problem in the heads and files of rulesets that were sent in; none if they can be used."""
    problems: list[Problem] = []
    try:
        library = library_of(editions)
    except InputRefused as refused:
        return tuple(among_the_rules(one) for one in refused.problems)
    for ruleset in sorted({name.split("/")[0] for name, _ in editions}):
        for head in library.heads.get(ruleset, ()):
            try:
                library.edition(head.ruleset, head.name)
            except InputRefused as refused:
                problems.extend(refused.problems)
    return tuple(problems)


def among_the_rules(problem: Problem) -> Problem:
    """A problem by the paths of files among the rules: where they lie on this machine is for nobody to know."""
    where, remedy = problem.where, problem.remedy
    for folder in rulesets_folders():
        where = msgspec.structs.replace(where, file=where.file.removeprefix(f"{folder}/"))
        remedy = remedy.replace(f"{folder}/", "")
    return msgspec.structs.replace(problem, where=where, remedy=remedy)


class in_plain_words:  # noqa: N801 (used as a context manager)
    """Turns every reason why there is no answer into Refused, which can be sent from a worker."""

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _trace: object) -> None:
        if isinstance(error, InputRefused):
            raise Refused("input", "the files can't be used", error.problems) from None
        if isinstance(error, NotFound):
            raise Refused("not found", str(error)) from None
        if isinstance(error, CannotJudge):
            raise Refused("cannot judge", "there is no outcome: no answer could be proved") from None


def in_brief(answer: CheckAnswer) -> str:
    """The word of the first page, with what limits it."""
    from carknocker.dossier.looked_at import NOT_LOOKED_AT, not_yet_looked_at
    from carknocker.dossier.restrictions import restricted_to
    from carknocker.judgement.index import JudgementIndex
    from carknocker.wording.outcomes import outcome_in_brief

    index = JudgementIndex(answer.judgement)
    if answer.outcome == "not ready" and not_yet_looked_at(index) is not None:
        return NOT_LOOKED_AT.lower()
    ended = answer.day > answer.judgement.move.back
    return outcome_in_brief(answer.outcome, complete=answer.complete, ended=ended, restricted=restricted_to(index))


def checked(sources: Sources) -> CheckAnswer:
    problems = looked_through(sources.record, sources.move)
    if problems:
        raise InputRefused(problems)
    car = read_car_text(sources.record, sources.record_file)
    move = read_move_text(sources.move, sources.move_file)
    if sources.photographs:
        car = with_photographs(car, dict(sources.photographs))
    return check(car, move, library_of(sources.editions), sources.day)


@lru_cache(maxsize=8)
def library_of(editions: tuple[tuple[str, str], ...]) -> Library:
    """The rulesets that come with the program and those sent in. The folder that these are read from is gone
    afterwards; what is said of them names them within it."""
    if not editions:
        return load_library(rulesets_folders())
    folder = Path("rulesets")
    with tempfile.TemporaryDirectory(prefix="carknocker-") as name, contextlib.chdir(name):
        for path, text in editions:
            file = folder / safe_path(path)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        library = load_library((*rulesets_folders(), folder))
        library.take_texts(folder)
    return library


def safe_path(name: str) -> Path:
    """`ruleset/edition/file.yaml` as a relative path. Raises ValueError for any other shape."""
    parts = name.split("/")
    if len(parts) != 3 or not parts[2].endswith(".yaml") or any(not _plain(part) for part in parts):
        raise ValueError(name)
    return Path(*parts)


def _plain(part: str) -> bool:
    allowed = "abcdefghijklmnopqrstuvwxyz0123456789-_."
    return 0 < len(part) <= 80 and not part.startswith(".") and all(sign in allowed for sign in part.casefold())
