"""Where the command `carknocker` starts. Start-up is felt at every check, so nothing is imported before this is set."""

import gc
import os
import sys


def command() -> None:
    """The entry of the command `carknocker`: answers, and raises SystemExit with the exit status."""
    try:
        main()
    finally:
        _flush()


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
        gc.freeze()  # nor is there anything to collect when the process ends


def _flush() -> None:
    """Flushes what is left. An interrupt comes too late here to stop anything: what was asked is answered. A stream
    that can't be written is left to the end of the process, which says so; None stands for one that was closed."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (AttributeError, OSError, ValueError, KeyboardInterrupt):
            continue


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
