"""What a command line is refused for, in the words of every other refusal: where, what was found, what was expected,
the nearest right word, what to do. The library that reads the command line says it in its own words, which differ from
version to version and repeat the names of Python."""

import re
from collections.abc import Iterable
from typing import Any

from carknocker.documents import nearest
from carknocker.documents.visible_text import visible

_CHOICES = re.compile(r"'(?P<given>.*)' is not one of (?P<choices>'.*')\.", re.DOTALL)
_NUMBER = re.compile(r"should be (a valid|greater|less)|not a valid (integer|int|float)|not in the range")
_GIVEN = re.compile(r"'?(?P<given>.+?)'? is not (a valid|in the range)", re.DOTALL)
_EXTRA = re.compile(r"unexpected extra arguments? *(\(s\) *)?\((?P<given>.*)\)", re.DOTALL)
_COMMAND = re.compile(r"No such command '(?P<given>.*?)'", re.DOTALL)
_NO_VALUE = re.compile(r"does not take a value")


def refusal_text(error: Any, path: str, command: Any) -> str:
    """The refusal of a command line. error: a usage error of typer, or of click below it. path: the command as it is
    called, and the command, where the error does not say which."""
    context = getattr(error, "ctx", None)
    if context is not None:
        path, command = context.command_path, context.command
    where, found, expected, near = _said(error, path, command)
    lines = [f"{where}: {found}"]
    lines += [f"  expected: {expected}"] if expected else []
    lines += [f"  nearest right word: {near}"] if near else []
    listing = "lists the commands" if _COMMAND.match(str(error.message)) else "says what it takes"
    lines.append(f"  to do: `{path} --help` {listing}")
    return visible("\n".join(lines))


def _said(error: Any, path: str, command: Any) -> tuple[str, str, str, str]:
    """Where, what was found, what was expected, the nearest right word."""
    message, param = str(error.message), getattr(error, "param", None)
    option, name = getattr(error, "option_name", ""), type(error).__name__
    if name == "MissingParameter" and param is not None:
        return path, f"found no {_label(param)}", _expected(param), ""
    if name == "NoSuchOption":
        known = [one for param in command.params for one in param.opts]
        near = nearest(option.lstrip("-"), [one.removeprefix("--") for one in known if one.startswith("--")])
        return path, f"found `{option}`, which is no option of it", "", f"--{near}" if near else ""
    if option:
        if _NO_VALUE.search(message):
            return path, f"found `{option}` with a value", "the option alone", ""
        own = next((one for one in command.params if option in one.opts), None)
        return (
            path,
            f"found `{option}` without its value",
            "" if own is None else f"a value after it: {_expected(own)}",
            "",
        )
    if extra := _EXTRA.search(message):
        return path, f"found `{extra['given']}`, one word too many", "", ""
    if no_command := _COMMAND.match(message):
        return path, f"found `{no_command['given']}`, which is no command", "", getattr(error, "near", "")
    where = " ".join(filter(None, (path, _hint(error))))
    if choices := _CHOICES.search(message):
        words = re.findall(r"'([^']*)'", choices["choices"])
        return where, f"found `{choices['given']}`", _one_of(words), nearest(choices["given"], words)
    if _NUMBER.search(message):
        return where, f"found `{_given(error, message)}`", _number(param), ""
    found, _, expected = message.partition("; expected ")
    return where, f"found {found}" if expected else found, expected, ""


def _hint(error: Any) -> str:
    """The option or argument that is refused."""
    hint, param = getattr(error, "param_hint", None), getattr(error, "param", None)
    if hint:
        return hint if isinstance(hint, str) else " ".join(hint)
    return "" if param is None else _label(param)


def _label(param: Any) -> str:
    """`--format`; of an argument its name in the help: `CAR`."""
    options = [one for one in param.opts if one.startswith("-")]
    return max(options, key=len) if options else str(param.metavar or param.name.upper())


def _expected(param: Any) -> str:
    text = str(getattr(param, "help", "") or "").partition(". ")[0].rstrip(".")
    return text[:1].lower() + text[1:]


def _one_of(words: Iterable[str]) -> str:
    return f"one of {', '.join(f'`{word}`' for word in words)}"


def _given(error: Any, message: str) -> str:
    """The value that was given."""
    errors = getattr(error.__cause__, "errors", None)
    if errors is not None:
        return str(errors()[0]["input"])
    found = _GIVEN.search(message)
    return found["given"] if found else message


def _number(param: Any) -> str:
    """`a whole number from 1 to 512`."""
    own = getattr(param, "type", None)
    least, most = (getattr(param, end, None) if own is None else getattr(own, end, None) for end in ("min", "max"))
    words = "a whole number"
    if least is not None and most is not None:
        return f"{words} from {least} to {most}"
    return (
        f"{words}, at least {least}" if least is not None else f"{words}, at most {most}" if most is not None else words
    )
