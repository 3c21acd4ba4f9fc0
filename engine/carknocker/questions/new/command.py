"""`carknocker new`."""

import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated

import typer
from msgspec.structs import replace

from carknocker.cli.inputs import Place, load_rules
from carknocker.cli.one_at_a_time import alone_in, are_as_read
from carknocker.cli.options import MoveOption, command_line
from carknocker.cli.output import backup_name, encoded, write_lines, write_stream, write_whole, write_with_backups
from carknocker.cli.starter_files import refuse_files_there, write_starter
from carknocker.cli.statuses import STOPPED, in_plain_words, say
from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_text
from carknocker.questions.new.answers import Answers, read_answers_file, read_options, sample_answers
from carknocker.questions.new.ask import CAR_FILE, MOVE_FILE, hosts_with_circular, starter_record
from carknocker.questions.new.completion import Completed, answers_on_record, complete, to_complete
from carknocker.questions.new.kept_answers import answers_text
from carknocker.questions.new.places import add_places
from carknocker.questions.new.terminal import interview_on
from carknocker.questions.new.usual_answers import hardly_so
from carknocker.record import find_car, read_car_text, read_move_text
from carknocker.record.files import only_move
from carknocker.vocabulary.interview import Interview, load_interview

_OUT_AFTER = timedelta(days=60)
_BACK_AFTER = timedelta(days=10)

app = command_line()
PLACE_IN_HELP = 160
OTHER_NAMES = ("init", "create", "start", "interview")


@app.command(epilog="Example: carknocker new my-car")
@in_plain_words()
def command(
    folder: Annotated[
        Path,
        typer.Argument(metavar="FOLDER", help="Where to write the files; made if need be. With --add: the car record."),
    ],
    mark: Annotated[str | None, typer.Option("--mark", help="Reporting mark and number.")] = None,
    name: Annotated[str | None, typer.Option("--name", help="The car's name.")] = None,
    host: Annotated[str | None, typer.Option("--host", help="The host railroad.")] = None,
    out: Annotated[str | None, typer.Option("--out", metavar="DATE", help="Day out.")] = None,
    back: Annotated[str | None, typer.Option("--back", metavar="DATE", help="Day back.")] = None,
    answer: Annotated[
        list[str] | None, typer.Option("--answer", metavar="KEY=VALUE", help="One answer; may be given several times.")
    ] = None,
    answers: Annotated[
        Path | None, typer.Option("--answers", metavar="FILE", help="All answers, in YAML; then nothing is asked.")
    ] = None,
    add: Annotated[
        bool,
        typer.Option("--add", help="Complete an older record and its move: ask for what they lack, and nothing else."),
    ] = False,
    move: MoveOption = None,
) -> None:
    """Ask about a car, and write its first record and move. With --add: what a record lacks."""
    short = {"mark": mark, "name": name, "host": host, "out": out, "back": back}
    options = [*(f"{key}={value}" for key, value in short.items() if value is not None), *(answer or ())]
    if add:
        _add(folder, options, answers, move)
        return
    interview = load_interview()
    refuse_files_there(folder, (CAR_FILE, MOVE_FILE))
    given = _given(options, answers, interview)
    today = date.today()
    day_out = given.said("out") or (today + _OUT_AFTER).isoformat()
    days = {"out": day_out, "back": (date.fromisoformat(day_out) + _BACK_AFTER).isoformat()}
    hosts = _hosts_with_circular(folder, date.fromisoformat(day_out))
    typed = answers is None and _is_terminal()
    if typed:
        asked = {screen.signed: today.isoformat() for screen in interview.screens if screen.signed}
        signed = {f"{word}_on": day for word, day in asked.items()}
        given = _asked(interview, given, hosts, {**days, **signed})
    elif answers is None and not given.by_key:
        raise _nothing_given(interview)
    else:
        given = _with_days(given, days)
    try:
        files = starter_record(given, interview, hosts)
    except InputRefused:
        if typed:
            _keep(given, interview, folder)
        raise
    written = write_starter(folder, files)
    lines = [f"wrote {path}" for path in written]
    if not typed:
        lines += _looked_at_once_more(given, interview)
    lines.append(f"What it lacks, and what is to be measured: carknocker check {folder}")
    write_lines(lines)


def _looked_at_once_more(given: Answers, interview: Interview) -> list[str]:
    """What a terminal asks a second time, of answers that nobody typed there."""
    return [
        f"look at `{key}` once more: {one.found}; expected: {one.expected}"
        for key, values in given.by_key.items()
        for one in hardly_so(key, values, interview)
    ]


def _keep(given: Answers, interview: Interview, folder: Path) -> None:
    """Keeps what was typed, of which no record can be made."""
    kept = folder.with_name(f"{folder.name}.answers.yaml")
    write_whole(kept, encoded(answers_text(given, interview)))
    write_lines([f"What you answered is kept. Correct it in {kept}, then: carknocker new {folder} --answers {kept}"])


def _given(options: list[str], answers: Path | None, interview: Interview, known: Answers | None = None) -> Answers:
    """The answers of the options and of the file, with those on record, which count before them."""
    given = read_options(options, interview, known)
    if answers is None:
        return given
    problems = ProblemList()
    text = load_text(answers, problems)
    problems.refuse_if_any()
    return replace(read_answers_file(text or "", str(answers), interview, given), given_in=str(answers))


def _asked(interview: Interview, given: Answers, hosts: tuple[str, ...], days: dict[str, str]) -> Answers:
    """The answers typed on the terminal, with those given. Ends the command where the input ends."""
    try:
        return interview_on(_Terminal(), interview, given, hosts, days)
    except EOFError:
        say("\nStopped; nothing was written.")
        raise typer.Exit(STOPPED) from None


class _Terminal:
    """The terminal that the command was started on."""

    def say(self, text: str) -> None:
        write_lines([text])

    def read(self, prompt: str) -> str:
        write_stream(sys.stdout, prompt)
        return input()


def _is_terminal() -> bool:
    try:
        return sys.stdin.isatty() and sys.stdout.isatty()
    except (AttributeError, ValueError):
        return False


def _with_days(given: Answers, days: dict[str, str]) -> Answers:
    return given.with_these({key: {"": day} for key, day in days.items() if not given.said(key)})


def _hosts_with_circular(folder: Path, day: date) -> tuple[str, ...]:
    """The hosts of which a circular is in force on the day out."""
    return hosts_with_circular(load_rules([Place(folder)], None), day)


def _nothing_given(interview: Interview) -> InputRefused:
    return InputRefused((
        Problem(
            Location("carknocker new", 1, 1), "no terminal to ask on, and no answers",
            "a terminal, or `--answers FILE` with the answers",
            remedy="write the lines below into a file, each with your answer, and leave out what is not known",
            sample=sample_answers(interview),
        ),
    ))  # fmt: skip


def _add(car: Path, options: list[str], answers: Path | None, named_move: Path | None) -> None:
    record = find_car(car)  # no demo case is looked for: those are not written to
    move_file = named_move or only_move(record)
    files = [record] if move_file is None else [record, move_file]
    given: Answers | None = None
    while True:
        texts = _texts(files)
        text = texts[record]
        move = None if move_file is None else (texts[move_file], str(move_file))
        if answers is None and not options and not _is_terminal():
            added = add_places(text, str(record))
            count = f"{added.places} place{'' if added.places == 1 else 's'}"
            done = Completed(added.text, added.backup, added.places, ())
            lines = [f"{count} to fill in, at its end, commented out"]
        else:
            read_move = None if move is None else read_move_text(*move)
            interview = to_complete(load_interview(), read_move)
            known = answers_on_record(read_car_text(text, str(record)), interview, str(record), read_move)
            if given is None:
                given = _given(options, answers, interview, known)
                if answers is None and _is_terminal():
                    today = date.today().isoformat()
                    days = {f"{one.signed}_on": today for one in interview.screens if one.signed}
                    given = _asked(interview, given, (), days)
            done = complete(text, str(record), given, interview, move)
            lines = [f"{done.added} {'entry' if done.added == 1 else 'entries'} added"]
            lines += [f"write this by hand: {one}" for one in done.left_out]
            lines += done.overruled
        with alone_in(record.parent):
            if are_as_read(texts):
                where = " and ".join(str(one) for one in _changed(texts, done, record, move_file)) or str(record)
                write_lines([*(f"{where}: {line}" for line in lines), *_write_added(texts, done, record, move_file)])
                return


def _texts(files: list[Path]) -> dict[Path, str]:
    problems = ProblemList()
    texts = {file: load_text(file, problems) or "" for file in files}
    problems.refuse_if_any()
    return texts


def _changed(texts: dict[Path, str], done: Completed, record: Path, move_file: Path | None) -> list[Path]:
    """The files to which anything was added."""
    changed = [record] if done.text != texts[record] else []
    return [*changed, *([move_file] if done.move is not None and move_file is not None else [])]


def _write_added(texts: dict[Path, str], done: Completed, record: Path, move_file: Path | None) -> list[str]:
    """Writes what was added, and says where the texts that were there are kept."""
    told = []
    anew: dict[Path, tuple[str, Path]] = {}
    if done.text != texts[record]:
        backup = record.with_name(done.backup)
        anew[record] = done.text, backup
        told.append(f"What was there is kept as {backup}")
    if done.move is not None and move_file is not None:
        kept = move_file.with_name(backup_name(str(move_file), texts[move_file]))
        anew[move_file] = done.move, kept
        told.append(f"{move_file} is written anew; what was there is kept as {kept}")
    write_with_backups(anew)
    return told
