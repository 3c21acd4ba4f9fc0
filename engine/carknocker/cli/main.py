"""The command line: the group of all commands, which finds them by folder.

Each folder of `questions/` with a module `command` is a command of that name: `wheel_order` is `wheel-order`, and
`rules_check` is the command `check` of the group `rules`. A command is imported when it is asked for; all are for the
list of them in the help, and for a name that none of them has: what else people call a command (`OTHER_NAMES` of its
module) leads to it, and anything near is suggested.
"""

import difflib
import sys
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Annotated, Any, TypeAlias

import typer
from typer.core import TyperGroup

from carknocker.cli.output import write_stream
from carknocker.cli.statuses import in_plain_words, say
from carknocker.judgement.program import version_text

_PLACES = ("carknocker.questions", "carknocker.service")
_CLOSE = 0.8
"""How like a command's name a word must be, to be suggested as it: one slip in five letters."""
_HELP_OF_GROUPS = {"rules": "Look at the rules, and check rules that you write."}

Folders: TypeAlias = dict[str, "str | Folders"]
"""The folder of each command by the command's name; for a group, the folders of its commands."""


def folders() -> Folders:
    """Every command there is."""
    found: dict[str, Any] = {}
    for package in _PLACES:
        for place in import_module(package).__path__:
            for folder in sorted(Path(place).iterdir()):
                if (folder / "command.py").is_file():
                    group, _, name = folder.name.partition("_")
                    where = f"{package}.{folder.name}"
                    if group in _HELP_OF_GROUPS and name:
                        found.setdefault(group, {})[name.replace("_", "-")] = where
                    else:
                        found[folder.name.replace("_", "-")] = where
    return found


class CommandGroup(TyperGroup):
    """A group whose commands are imported when they are asked for. Its `commands` are `Folders`; none is registered
    with typer."""

    def __init__(self, *, commands: object, **attributes: Any) -> None:
        by_name: Any = folders()
        super().__init__(commands=by_name, **{**attributes, "suggest_commands": False})

    def list_commands(self, ctx: Any) -> list[str]:
        """The names of the commands, in the order of the help."""
        return sorted(self.commands, key=lambda name: (_place_in_help(self.commands[name]), name))

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command that has this name or is called so; None if there is none."""
        if cmd_name not in self.commands:
            cmd_name = _called(cmd_name, self.other_names())
        found: Any = self.commands.get(cmd_name)
        if found is None:
            return None
        if isinstance(found, str):
            command: Any = typer.main.get_command(_module(found).app)
        else:
            command = typer.main.get_group(_group(_HELP_OF_GROUPS.get(cmd_name, "")))
            command.commands = found
        command.name = cmd_name
        return command

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The command that the arguments begin with, under its own name. A refusal names the nearest one."""
        try:
            _, command, rest = super().resolve_command(ctx, args)
            own: Any = command
            return own.name, own, rest
        except _CommandLineRefused as refused:
            error: Any = refused
            error.near = _near(args[0], self.other_names())
            raise

    def other_names(self) -> dict[str, tuple[str, ...]]:
        """What else people call each command, by its name. Imports every command; a group has its own name alone."""
        folder_of: Any = self.commands
        return {
            name: getattr(_module(folder), "OTHER_NAMES", ())
            for name, folder in folder_of.items()
            if isinstance(folder, str)
        } | {name: () for name, folder in folder_of.items() if not isinstance(folder, str)}

    def make_context(self, *given: Any, **more: Any) -> Any:
        """Reads the command line."""
        with _in_own_words("carknocker", self):
            return super().make_context(*given, **more)

    def invoke(self, ctx: Any) -> Any:
        """Runs the command."""
        with _in_own_words(ctx.command_path, self, ctx):
            return super().invoke(ctx)


def _called(name: str, other_names: Mapping[str, Collection[str]]) -> str:
    """The command that is called so, however it is written in one; "" if none is."""
    wanted = _letters(name)
    return next((one for one, names in other_names.items() if wanted in map(_letters, (one, *names))), "")


def _near(name: str, other_names: Mapping[str, Collection[str]]) -> str:
    """The command whose name, or other name, is most like a word; "" where none is close: a wrong guess is worse than
    none."""
    of = {_letters(called): one for one, names in other_names.items() for called in (*names, one)}
    close = difflib.get_close_matches(_letters(name), of, n=1, cutoff=_CLOSE)
    return of[close[0]] if close else ""


def _letters(name: str) -> str:
    """A name without what people vary: case, hyphens, underscores, spaces."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _module(folder: str) -> ModuleType:
    return import_module(f"{folder}.command")


def _place_in_help(found: Any) -> float:
    """Where a command stands in the help: by its `PLACE_IN_HELP`, or last. A group stands where its first command
    would."""
    names = found.values() if isinstance(found, dict) else [found]
    return float(min(getattr(_module(name), "PLACE_IN_HELP", float("inf")) for name in names))


_CommandLineRefused: type[Exception] = next(
    base for base in typer.BadParameter.__mro__ if base.__name__ == "ClickException"
)
"""Of click, or of the copy of it in some versions of typer."""


@contextmanager
def _in_own_words(path: str, command: Any, ctx: Any = None) -> Iterator[None]:
    """Says a refusal of the command line as the program says every other. ctx: of a group whose command is run."""
    try:
        yield
    except _CommandLineRefused as refused:
        error: Any = refused
        if type(error).__name__ == "NoArgsIsHelpError" or hasattr(error, "own_words"):
            raise
        from carknocker.cli.refused_arguments import refusal_text  # imported only where there is something to refuse

        called = None if ctx is None else ctx.invoked_subcommand
        if called and (invoked := command.get_command(ctx, called)) is not None:
            path, command = f"{path} {invoked.name}", invoked
        error.own_words = refusal_text(error, path, command)
        error.show = lambda file=None: say(error.own_words)
        raise


def _group(help_text: str, epilog: str | None = None) -> typer.Typer:
    return typer.Typer(
        cls=CommandGroup,
        add_completion=False,
        no_args_is_help=True,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        help=help_text,
        epilog=epilog,
    )


app = _group(
    "May this heritage passenger car travel on this move, and if not, why not yet?",
    epilog="Exit status: 0 ready (restrictions included) by law that is all at hand, 1 not ready, repair move only, or "
    "ready as far as the law at hand goes, 2 input or command line, 3 cannot judge.",
)


def _version(wanted: bool) -> None:
    if wanted:
        with in_plain_words():
            write_stream(sys.stdout, f"{version_text()}\n")
        raise typer.Exit()


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """May this heritage passenger car travel on this move, and if not, why not yet?"""
