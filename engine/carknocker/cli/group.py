"""The commands by name. Each is the `command` module of a folder in `questions/`, found by the folder's name. It is
imported when it is asked for, or when help for all of them is. A folder `rules_check` is the command `check` of the
group `rules`.
"""

from collections.abc import Iterator, Mapping, MutableMapping
from contextlib import contextmanager
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import typer
from typer.core import TyperGroup

import carknocker.questions
from carknocker.cli.options import command_line
from carknocker.documents.visible_text import visible

_HELP_OF_GROUPS = {"rules": "Look at the rules, and check rules that you write."}


class CommandGroup(TyperGroup):
    """The group of all commands."""

    def __init__(self, *, commands: Any = None, **attributes: Any) -> None:
        by_name: Any = _Commands(folders(), dict(commands or {}))  # a mapping will do: the group only looks into it
        super().__init__(commands=by_name, **attributes)

    def make_context(self, *given: Any, **more: Any) -> Any:
        with _refusals_cleaned():
            return super().make_context(*given, **more)

    def invoke(self, ctx: Any) -> Any:
        with _refusals_cleaned():
            return super().invoke(ctx)


_CommandLineRefused: type[Exception] = next(
    base for base in typer.BadParameter.__mro__ if base.__name__ == "ClickException"
)
"""Of click, or of the copy of it that some versions of typer bring along."""


@contextmanager
def _refusals_cleaned() -> Iterator[None]:
    """A refusal of the command line repeats what was given: nothing hidden in it is let out."""
    try:
        yield
    except _CommandLineRefused as refused:
        error: Any = refused
        message = visible(error.format_message())
        error.format_message = lambda: message
        raise


@cache
def folders() -> Mapping[str, Any]:
    """The folder of each command by the command's name; those of a group in a mapping of their own."""
    found: dict[str, Any] = {}
    for place in carknocker.questions.__path__:
        for folder in sorted(Path(place).iterdir()):
            if not (folder / "command.py").is_file():
                continue
            group, _, name = folder.name.rpartition("_")
            (found.setdefault(group, {}) if group else found)[name] = folder.name
    return found


class _Commands(MutableMapping[str, Any]):
    """Commands in the order of the job, each made when it is looked up."""

    def __init__(self, folders: Mapping[str, Any], made: dict[str, Any]) -> None:
        self._folders = folders
        self._made = made

    def __getitem__(self, name: str) -> Any:
        if name not in self._made and name in self._folders:
            folder = self._folders[name]
            self._made[name] = _command(folder, name) if isinstance(folder, str) else _group(folder, name)
        return self._made[name]

    def __setitem__(self, name: str, command: Any) -> None:
        self._made[name] = command

    def __delitem__(self, name: str) -> None:
        del self._made[name]

    def __iter__(self) -> Iterator[str]:
        ordered = sorted(self._folders, key=lambda name: (_place_in_help(self._folders[name]), name))
        return iter(dict.fromkeys((*ordered, *self._made)))

    def __len__(self) -> int:
        return len({*self._folders, *self._made})


def _module(folder: str) -> ModuleType:
    return import_module(f"carknocker.questions.{folder}.command")


def _command(folder: str, name: str) -> Any:
    command = typer.main.get_command(_module(folder).app)
    command.name = name
    return command


def _group(folders: Mapping[str, str], name: str) -> Any:
    group = typer.main.get_group(command_line(_HELP_OF_GROUPS.get(name, "")))
    group.name = name
    by_name: Any = _Commands(folders, {})
    group.commands = by_name
    return group


def _place_in_help(folder: Any) -> float:
    """Where a command stands in the help; a group where the first of its commands does, one without a place last."""
    names = (folder,) if isinstance(folder, str) else folder.values()
    return float(min(getattr(_module(name), "PLACE_IN_HELP", float("inf")) for name in names))
