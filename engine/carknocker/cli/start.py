"""Where the command `carknocker` starts. Start-up is felt at every check, so nothing is imported before this is set."""

import gc
import os
import sys

_WANT_AN_ORDERLY_END = ("multiprocessing", "weasyprint")
"""Modules that, once imported, may have work or files of their own to end."""


def command() -> None:
    """The entry of the command `carknocker`: answers, and ends the process with the exit status."""
    try:
        main()
    except SystemExit as ended:
        _end_at_once(ended.code)
        raise


def main() -> None:
    """Answers what the arguments of the process ask, and raises SystemExit with the exit status."""
    gc.disable()  # one short run: collecting costs more than it frees, at the end too
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")  # no code from elsewhere takes part
    try:
        _run()
    except KeyboardInterrupt:
        _stopped()
    except SystemExit as ended:
        if isinstance(getattr(ended.__context__, "__cause__", None), KeyboardInterrupt):
            _stopped()  # an interrupt outside of a command, of which nothing has been said
        raise
    finally:
        gc.freeze()


def _end_at_once(status: object) -> None:
    """Ends the process without first taking apart all that it holds, which is felt at every check. Returns where the
    interpreter has to end it: something is left to be written, to be ended or to be said."""
    if not isinstance(status, int) or any(name in sys.modules for name in _WANT_AN_ORDERLY_END):
        return
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except (OSError, ValueError):
        return
    except KeyboardInterrupt:  # too late to stop anything: what was asked is answered
        return
    os._exit(status)


def _stopped() -> None:
    """The same word and status wherever an interrupt from the keyboard comes, be it while modules are imported."""
    from contextlib import suppress

    with suppress(OSError, ValueError):
        sys.stderr.write("Stopped.\n")
    sys.exit(130)


def _run() -> None:
    from carknocker.cli.main import app
    from carknocker.cli.statuses import say_why

    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed before the start: nobody reads it, and the exit status still tells
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115 (for the whole run)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
    try:
        app(prog_name="carknocker")
    except OSError as error:  # what a command reads and writes is refused there; this is the help
        from carknocker.cli.output import refused

        sys.exit(say_why(refused(sys.stdout, error)))
    except Exception as error:
        sys.exit(say_why(error))
