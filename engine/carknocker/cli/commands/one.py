"""The typer application that a command's module declares its command on."""

import typer


def command_line(help_text: str | None = None) -> typer.Typer:
    """An application for one command; with a help text, for a group of commands."""
    return typer.Typer(
        add_completion=False,
        no_args_is_help=help_text is not None,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        help=help_text,
    )
