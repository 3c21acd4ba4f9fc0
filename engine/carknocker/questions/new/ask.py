"""`new`: a first record of a car and its move, from the answers of its owner. Nothing in them is guessed: what was not
answered is `not known`."""

from collections.abc import Collection
from datetime import date

from msgspec.structs import replace

from carknocker.cli.starter_files import StarterFile
from carknocker.documents import InputRefused, Location, Problem
from carknocker.questions.new.answers import BETWEEN_NAMES, HOST, HOST_IS_NOT, Answers, refuse_missing
from carknocker.questions.new.draft import Draft, places_draft, whole_draft
from carknocker.questions.new.move_text import move_text
from carknocker.questions.new.record_text import record_text
from carknocker.record import CarRecord, read_car_text, read_move_text
from carknocker.record.host_names import like_names, same_railroad
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import PartsThere, parts_there
from carknocker.rulebook.choice import in_force_on
from carknocker.rulebook.library import Library
from carknocker.vocabulary.interview import Interview

CAR_FILE, MOVE_FILE = "car.yaml", "move.yaml"


def hosts_with_circular(library: Library, day: date) -> tuple[str, ...]:
    """The hosts of which a circular is in force on a day."""
    return tuple(sorted({
        head.host for own in library.heads.values() for head in in_force_on(own, day) if head.layer == "host"
    }))  # fmt: skip


def starter_record(
    answers: Answers, interview: Interview, hosts_with_circular: Collection[str] = ()
) -> tuple[StarterFile, ...]:
    """The car record and the move. hosts_with_circular: hosts of which a circular is at hand.

    Raises InputRefused where an answer is missing, and where the answers do not go together.
    """
    refuse_missing(answers, interview)
    car = draft_text(answers, interview)
    refuse_like_host(answers, hosts_with_circular)
    circular = answers.said(HOST) in hosts_with_circular
    move = move_text(answers, interview, circular=circular)
    _read_back(car, CAR_FILE, answers)
    try:
        read_move_text(move, MOVE_FILE)
    except InputRefused as refused:
        raise _as_answers(refused, move, MOVE_FILE, answers) from refused
    return (StarterFile(CAR_FILE, car), StarterFile(MOVE_FILE, move))


def refuse_like_host(answers: Answers, hosts_with_circular: Collection[str]) -> None:
    """Raises InputRefused for a host that is written a little otherwise than one of which a circular is at hand: it
    would be judged without it. A railroad that is another one is told by `host_is_not`."""
    host, is_not = answers.said(HOST), answers.said(HOST_IS_NOT).split(BETWEEN_NAMES)
    if not host or host in hosts_with_circular:
        return
    where = Location(answers.given_in, 1, 1)
    found = f"the host `{host[:60]}`, of which no circular is at hand by that name"
    for other in hosts_with_circular:
        if same_railroad(host, other):
            raise InputRefused((Problem(where, found, "the name as its circular has it", other),))
    for other in like_names(host, hosts_with_circular):
        if other not in is_not:
            expected = f"`host: {other}`; or `{HOST_IS_NOT}: {other}` where it is another railroad"
            raise InputRefused((Problem(where, found, expected, other),))


def draft_text(answers: Answers, interview: Interview) -> str:
    """The car record that the answers make. Raises InputRefused where they do not go together."""
    places = places_draft(answers, interview)
    draft = whole_draft(places, rows_of(places, answers), answers, interview)
    return record_text(draft)


def rows_of(places: Draft, answers: Answers) -> tuple[PartsThere, ...]:
    """What stands where by the answers. Raises InputRefused where they do not go together."""
    return tuple(parts_there(listed_now(_read_back(record_text(places), CAR_FILE, answers))))


def _read_back(text: str, file: str, answers: Answers) -> CarRecord:
    try:
        return read_car_text(text, file)
    except InputRefused as refused:
        raise _as_answers(refused, text, file, answers) from refused


def _as_answers(refused: InputRefused, text: str, file: str, answers: Answers) -> InputRefused:
    """What is wrong with a record that is not written: shown with the lines that would stand in it."""
    lines = text.splitlines()
    return InputRefused(tuple(
        replace(
            problem,
            where=replace(problem.where, file=f"{file} by {answers.given_in}"),
            line_text=lines[problem.where.line - 1] if 0 < problem.where.line <= len(lines) else "",
        )
        for problem in refused.problems
    ))  # fmt: skip
