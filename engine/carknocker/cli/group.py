"""The commands by name. A command's module is imported when that command is asked for, or help for all of them is."""

from collections.abc import Iterator, MutableMapping
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperGroup

COMMANDS = (
    "check", "why", "diff", "plan", "arrange", "horizon", "worksheet", "enter", "spares", "setout", "order", "tag",
    "lift", "workings", "recheck", "new", "rules",
)  # fmt: skip


class CommandGroup(TyperGroup):
    """A group whose commands stand in `cli/commands/`, a module each, which declares its command on its `app`."""

    def __init__(self, *, commands: Any = None, **attributes: Any) -> None:
        by_name: Any = _Commands(dict(commands or {}))  # a mapping will do: the group only looks into it
        super().__init__(commands=by_name, **attributes)


class _Commands(MutableMapping[str, Any]):
    """The commands in the order of the job, each made when it is looked up."""

    def __init__(self, made: dict[str, Any]) -> None:
        self._made = made

    def __getitem__(self, name: str) -> Any:
        if name not in self._made and name in COMMANDS:
            command = typer.main.get_command(import_module(f"carknocker.cli.commands.{name}").app)
            command.name = name
            self._made[name] = command
        return self._made[name]

    def __setitem__(self, name: str, command: Any) -> None:
        self._made[name] = command

    def __delitem__(self, name: str) -> None:
        del self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(dict.fromkeys((*COMMANDS, *self._made)))

    def __len__(self) -> int:
        return len(dict.fromkeys((*COMMANDS, *self._made)))
