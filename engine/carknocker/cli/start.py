"""Where the command `carknocker` starts. Start-up is felt at every check, so nothing is imported before this is set."""

import gc
import os
import sys


def main() -> None:
    """The entry of the command `carknocker`."""
    gc.disable()  # one short run: collecting costs more than it frees, at the end too
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")  # no code from elsewhere takes part
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
    finally:
        gc.freeze()
