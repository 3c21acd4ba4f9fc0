"""`carknocker diff`."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from carknocker.cli.inputs import Place, find_place, load_rules, read_both, read_day
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.questions.diff.ask import diff, with_editions
from carknocker.rulebook import Library

Given = TypeVar("Given")


def _run(
    before: Path, after: Path | None, moves: list[Path], days: list[str], editions: list[str], form: Format,
    rules: list[Path], output: Path | None,
) -> None:  # fmt: skip
    """Answers and exits with the status of the second outcome."""
    first_day, second_day = _two([read_day(day) for day in days], "--as-of", read_day(None))
    first_move, second_move = _two([find_place(move) for move in moves], "--move", None)
    pins = [_pin(text) for text in editions]
    if after is None and not pins and first_day == second_day and first_move == second_move:
        raise typer.BadParameter("nothing to compare: give a second record, or `--as-of`, `--move`, `--edition` twice")
    one = find_place(before)
    other = one if after is None else find_place(after)
    library = load_rules([one, other], rules)
    first_pins, second_pins = _pins_of(pins)
    answer = diff(
        _answer(one, first_move, library, first_day, first_pins),
        _answer(other, second_move, library, second_day, second_pins),
    )
    if form is Format.JSON:
        from carknocker.questions.diff.json_form import diff_json

        write_answer(diff_json(answer), output)
    else:
        from carknocker.questions.diff.page import diff_page

        write_as_pages([diff_page(answer)], form, output)
    raise typer.Exit(status_of(answer.after.outcome))


def _two(given: Sequence[Given], option: str, usual: Given) -> tuple[Given, Given]:
    """The first and the second; one given counts for both, and the usual one where none is."""
    if len(given) > 2:
        raise typer.BadParameter(f"{option} at most twice: for the first and for the second")
    return (given[0], given[-1]) if given else (usual, usual)


def _pin(text: str) -> tuple[str, str]:
    ruleset, sign, edition = text.partition("=")
    if not sign or not ruleset.strip() or not edition.strip():
        raise typer.BadParameter(f"`{text}`: write RULESET=EDITION, like kestrel-and-northern=7")
    return ruleset.strip(), edition.strip()


def _pins_of(pins: list[tuple[str, str]]) -> tuple[dict[str, str], dict[str, str]]:
    """The first pin of a ruleset is for the first answer, its second for the second; a lone one counts for the
    second, so that an edition is compared with the one in force."""
    first: dict[str, str] = {}
    second: dict[str, str] = {}
    for ruleset, edition in pins:
        if ruleset in first:
            raise typer.BadParameter(f"--edition {ruleset} at most twice: for the first and for the second")
        if ruleset in second:
            first[ruleset] = second[ruleset]
        second[ruleset] = edition
    return first, second


def _answer(place: Place, move: Place | None, library: Library, day: date, pins: dict[str, str]) -> CheckAnswer:
    car, planned = read_both(place, move)
    return check(car, with_editions(planned, pins) if pins else planned, library, day)


app = command_line()
PLACE_IN_HELP = 30


@app.command(epilog="Example: carknocker diff wren-hollow/before wren-hollow/after --as-of 2026-10-28")
def command(
    before: Annotated[Path, typer.Argument(metavar="BEFORE", help="A car record, or a folder with one.")],
    after: Annotated[
        Path | None, typer.Argument(metavar="AFTER", help="Another; without it the same record is compared.")
    ] = None,
    moves: Annotated[
        list[Path] | None, typer.Option("--move", metavar="FILE", help="The move; twice: one for each.")
    ] = None,
    as_of: Annotated[
        list[str] | None, typer.Option("--as-of", metavar="DATE", help="The day; twice: one for each. Default today.")
    ] = None,
    editions: Annotated[
        list[str] | None,
        typer.Option(
            "--edition",
            metavar="RULESET=EDITION",
            help="Judge the second under this edition; given twice for a ruleset: the first and the second.",
        ),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What is cleared, what is new, what is still open, and what work did it."""
    with in_plain_words():
        _run(before, after, moves or [], as_of or [], editions or [], form, rules or [], output)
