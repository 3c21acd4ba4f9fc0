"""`carknocker rules new`."""

import re
from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import load_rules, read_day
from carknocker.cli.options import RulesOption, command_line
from carknocker.cli.output import write_lines
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.rules_new.ask import ruleset_name, starter_circular, write_circular
from carknocker.rulebook import Library

_NAME = re.compile(r"[a-z0-9][a-z0-9.-]*")
_EDITION = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,40}")

app = command_line()
PLACE_IN_HELP = 200
OTHER_NAMES = ("init", "create", "start")


@app.command(epilog='Example: carknocker rules new my-rulesets --host "Kestrel & Northern" --edition 9')
@in_plain_words()
def command(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder for rulesets; made if need be.")],
    host: Annotated[str, typer.Option("--host", metavar="NAME", help="The host railroad whose circular it is.")],
    edition: Annotated[str, typer.Option("--edition", help="The name of the edition, as the host counts it.")] = "1",
    ruleset: Annotated[str, typer.Option("--ruleset", help="The ruleset's name; default made of the host's.")] = "",
    in_force: Annotated[
        str | None, typer.Option("--in-force", metavar="DATE", help="The day from which it binds; default today.")
    ] = None,
    rules: RulesOption = None,
) -> None:
    """Write a starter circular of a host, with comments. An edition and one chapter."""
    if not any(letter.isalnum() for letter in host) or not host.isprintable():
        raise typer.BadParameter("found no name; expected that of the host railroad", param_hint="--host")
    day = read_day(in_force, "--in-force")
    library = load_rules([], rules)
    name = ruleset or _known(host, library) or ruleset_name(host)
    if _NAME.fullmatch(name) is None:
        raise typer.BadParameter(f"`{name}`; expected small letters, digits, dots and hyphens", param_hint="--ruleset")
    if _EDITION.fullmatch(edition) is None:
        raise typer.BadParameter(
            f"`{edition}`; expected letters, digits, dots and hyphens, like 7 or 2026-2", param_hint="--edition"
        )
    here = [head.name for head in library.heads.get(name, ())]
    if edition in here:
        raise typer.BadParameter(
            f"`{edition}`, an edition of {name} that is at hand already; expected the name of the next one",
            param_hint="--edition",
        )
    below = [
        ruleset for layer in ("law", "trade") for ruleset, group in library.heads.items()
        if group[-1].layer == layer and not group[-1].only_where_named
    ]  # fmt: skip
    files = starter_circular(host=host, ruleset=name, edition=edition, in_force=day, builds_on=below)
    written = write_circular(folder, name, edition, files)
    lines = [f"wrote {path}" for path in written]
    lines.append(f"Type in what the circular says, then: carknocker rules check {folder}")
    write_lines(lines)


def _known(host: str, library: Library) -> str:
    """The ruleset of a host whose circular is at hand."""
    wanted = " ".join(host.split()).casefold()
    return next((name for name, group in library.heads.items() if group[-1].host.casefold() == wanted), "")
