"""Where the command `carknocker` starts. Start-up is felt at every check, so nothing is imported before this is set."""

import gc
import os
import sys


def main() -> None:
    """The entry of the command `carknocker`."""
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


def _stopped() -> None:
    """The same word and status wherever an interrupt from the keyboard comes, be it while modules are imported."""
    from contextlib import suppress

    with suppress(OSError, ValueError):
        sys.stderr.write("Stopped.\n")
    sys.exit(130)


def _run() -> None:
    from carknocker.cli.main import app
    from carknocker.cli.statuses import say_why

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
