"""Where the command `carknocker` starts. Every check feels how long that takes, so each import waits until the process
is set up."""

import gc
import os
import sys


def command() -> None:
    """The entry point of the command `carknocker`: answers, and raises SystemExit with the exit status."""
    try:
        main()
    finally:
        _flush()


def main() -> None:
    """Answers what the arguments of the process ask, and raises SystemExit with the exit status."""
    gc.disable()  # in one short run, collecting takes longer than what it frees is worth
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")  # no code of other packages may take part
    try:
        _run()
    except KeyboardInterrupt:
        _stopped()
    except SystemExit as ended:
        if isinstance(getattr(ended.__context__, "__cause__", None), KeyboardInterrupt):
            _stopped()  # typer makes an exit of an interrupt that comes outside of any command
        raise
    finally:
        gc.freeze()  # nothing is worth collecting at the end of the process either


def _flush() -> None:
    """Flushes both streams. An interrupt is ignored here, since the answer is already given. A stream that can't be
    written is left for Python to report at the end of the process; a closed one is None."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (AttributeError, OSError, ValueError, KeyboardInterrupt):
            continue


def _stopped() -> None:
    """Says the same, with the same status, wherever an interrupt from the keyboard comes, even during the imports."""
    from contextlib import suppress

    with suppress(OSError, ValueError):
        sys.stderr.write("Stopped.\n")
    sys.exit(130)


def _run() -> None:
    from carknocker.cli.main import app
    from carknocker.cli.statuses import say_why

    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed before the start; the exit status is still the answer
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115 (for the whole run)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
    try:
        app(prog_name="carknocker")
    except OSError as error:  # only the help gets here: a command handles its own errors
        from carknocker.cli.output import refused

        sys.exit(say_why(refused(sys.stdout, error)))
    except Exception as error:
        sys.exit(say_why(error))
