"""`carknocker rules …`, as they stand on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line("Look at the rules, and check rules that you write.")


@app.command("list", epilog="Example: carknocker rules list")
def rules_list(form: FormatOption = Format.TEXT, rules: RulesOption = None, output: OutputOption = None) -> None:
    """Which editions are at hand, from when they bind, and when their text was last checked."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_list(form, rules or [], output)


@app.command("show", epilog="Example: carknocker rules show us-federal flange-thickness --edition 2015")
def rules_show(
    ruleset: Annotated[str, typer.Argument(metavar="RULESET", help="A ruleset, like us-federal.")],
    rule: Annotated[str | None, typer.Argument(metavar="RULE", help="One criterion or consequence of it.")] = None,
    edition: Annotated[str | None, typer.Option("--edition", help="The edition; default the newest.")] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What an edition says, each rule with its source."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_show(ruleset, rule, edition, form, rules or [], output)


@app.command("check", epilog="Example: carknocker rules check my-rulesets")
def rules_check(
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="FOLDER", help="Folders of rulesets, beside those that are installed."),
    ] = None,
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """Are the rules in order? Reads every edition, and judges every example."""
    with in_plain_words():
        from carknocker.cli import rules_command

        rules_command.run_check(folders or [], form, output)


@app.command("new", epilog='Example: carknocker rules new my-rulesets --host "Kestrel & Northern" --edition 9')
def rules_new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder for rulesets; made if need be.")],
    host: Annotated[str, typer.Option("--host", metavar="NAME", help="The host railroad whose circular it is.")],
    edition: Annotated[str, typer.Option("--edition", help="The name of the edition, as the host counts it.")] = "1",
    ruleset: Annotated[str, typer.Option("--ruleset", help="The ruleset's name; default made of the host's.")] = "",
    in_force: Annotated[
        str | None, typer.Option("--in-force", metavar="DATE", help="The day from which it binds; default today.")
    ] = None,
    rules: RulesOption = None,
) -> None:
    """Write a commented starter circular of a host: an edition and one chapter."""
    with in_plain_words():
        from carknocker.cli import rules_new_command

        rules_new_command.run(folder, host, edition, ruleset, in_force, rules or [])


@app.command("diff", epilog="Example: carknocker rules diff us-federal/2015 us-federal/2020 wren-hollow/before")
def rules_diff(
    old: Annotated[str, typer.Argument(metavar="OLD", help="RULESET/EDITION, or an edition's folder.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="Another.")],
    cars: Annotated[
        list[Path] | None, typer.Argument(metavar="CAR", help="Cars whose outcome may change, each with its move.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What is added, withdrawn and changed between two editions, and which cars come out otherwise."""
    with in_plain_words():
        from carknocker.cli import rules_diff_command

        rules_diff_command.run(old, new, cars or [], move, as_of, form, rules or [], output)


@app.command("schemas", epilog="Example: carknocker rules schemas my-schemas")
def rules_schemas(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write them; made if need be.")],
) -> None:
    """Write JSON Schema files, with which an editor completes car records, moves and circulars."""
    with in_plain_words():
        from carknocker.cli import rules_schemas_command

        rules_schemas_command.run(folder)
