"""The command as a person runs it, in a process of its own, and in this process where that shows the same."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

from typer.testing import CliRunner

from carknocker.cli.main import app

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


def invoke(*arguments):
    """The answer of the command in this process: stdout, stderr, exit_code."""
    return CliRunner().invoke(app, [*map(str, arguments)], prog_name="carknocker")


_IN_TURN = """
import json, sys
from typer.testing import CliRunner
from carknocker.cli.main import app
calls = json.load(sys.stdin)
json.dump([CliRunner().invoke(app, arguments).stdout for arguments in calls], sys.stdout)
"""


def answers_in_turn(calls, env):
    """What the command writes for each of several lists of arguments, all in one process with this environment."""
    answer = subprocess.run(
        [sys.executable, "-c", _IN_TURN], cwd=ROOT, env={**os.environ, **env}, input=json.dumps(calls), text=True,
        encoding="utf-8", capture_output=True, timeout=120, check=True,
    )  # fmt: skip
    return json.loads(answer.stdout)


def flat(text):
    """The text in one line; HTML may break a long word at `<wbr>`, and keeps a short one together in a `<span>`."""
    return re.sub(r"\s+", " ", re.sub(r"</?span>|<wbr>", "", text))
