"""The command as a person runs it: a process of its own."""

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
CASES = ROOT / "cases"


def carknocker(*arguments, cwd=ROOT, **more):
    """Runs the command; the answer has text of both streams and the exit status."""
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **more.pop("env", {})}
    command = [sys.executable, "-c", "from carknocker.cli.start import command; command()", *map(str, arguments)]
    return subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False,
        **more,
    )  # fmt: skip


def flat(text):
    """The text in one line; HTML may break a long word at `<wbr>`, and keeps a short one together in a `<span>`."""
    return re.sub(r"\s+", " ", re.sub(r"</?span>|<wbr>", "", text))
