"""`carknocker compare`."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from carknocker.cli.inputs import Place, find_place, load_rules, read_both, read_day
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.questions.compare.page import compare_page
from carknocker.rulebook import Library
from carknocker.whatif.differences.compare import compare, with_editions
from carknocker.whatif.differences.json_form import compare_json

Given = TypeVar("Given")

app = command_line()
PLACE_IN_HELP = 30
OTHER_NAMES = ("diff", "difference", "differences", "changes")


@app.command(epilog="Example: carknocker compare wren-hollow/before wren-hollow/after --as-of 2026-10-28")
@in_plain_words()
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
    """What is cleared, new or still there, and what work did it."""
    first_day, second_day = _two([read_day(day) for day in as_of or []], "--as-of", read_day(None))
    first_move, second_move = _two([find_place(move) for move in moves or []], "--move", None)
    pins = [_pin(text) for text in editions or []]
    if after is None and not pins and first_day == second_day and first_move == second_move:
        raise typer.BadParameter(
            "nothing to compare it with; expected a second record, or `--as-of`, `--move`, `--edition` twice"
        )
    one = find_place(before)
    other = one if after is None else find_place(after)
    library = load_rules([one, other], rules)
    first_pins, second_pins = _pins_of(pins)
    answer = compare(
        _answer(one, first_move, library, first_day, first_pins),
        _answer(other, second_move, library, second_day, second_pins),
    )
    write_answer(answer, form, output, json=compare_json, page=compare_page)
    raise typer.Exit(status_of(answer.after.outcome, complete=answer.after.complete))


def _two(given: Sequence[Given], option: str, default: Given) -> tuple[Given, Given]:
    """What an option gives for the first and for the second answer; one value counts for both."""
    if len(given) > 2:
        raise typer.BadParameter(
            "found it three times or more; expected once, or twice: for the first and for the second", param_hint=option
        )
    return (given[0], given[-1]) if given else (default, default)


def _pin(text: str) -> tuple[str, str]:
    ruleset, sign, edition = text.partition("=")
    if not sign or not ruleset.strip() or not edition.strip():
        raise typer.BadParameter(
            f"`{text}`; expected RULESET=EDITION, like kestrel-and-northern=7", param_hint="--edition"
        )
    return ruleset.strip(), edition.strip()


def _pins_of(pins: list[tuple[str, str]]) -> tuple[dict[str, str], dict[str, str]]:
    """The edition of each ruleset that is pinned for the first and for the second answer. A ruleset that is pinned
    once is pinned for the second, which compares that edition with the one in force."""
    first: dict[str, str] = {}
    second: dict[str, str] = {}
    for ruleset, edition in pins:
        if ruleset in first:
            raise typer.BadParameter(
                f"{ruleset} three times or more; expected once, or twice: for the first and for the second",
                param_hint="--edition",
            )
        if ruleset in second:
            first[ruleset] = second[ruleset]
        second[ruleset] = edition
    return first, second


def _answer(place: Place, move: Place | None, library: Library, day: date, pins: dict[str, str]) -> CheckAnswer:
    car, planned = read_both(place, move)
    return check(car, with_editions(planned, pins) if pins else planned, library, day)
