"""The terminal: old encodings, closed pipes, colour, help, version."""

import os
import select
import shutil
import subprocess
import sys
import time

import pytest
from command_line import CASES, ROOT, carknocker

CHECK = ("check", "wren-hollow/before", "--as-of", "2026-10-08")
FORM = """
format: carknocker-form/1
car: QWHX 27
sheets:
  - {on: 2026-10-08, by: HM, readings: {box L1: {pedestal_clearance_lengthwise: {reads: 1/4 in, gauge: G-7}}}}
last_line: yes
"""
COMMAND = [sys.executable, "-c", "from carknocker.cli.start import command; command()"]


def test_a_terminal_that_is_not_utf8_gets_plain_signs():
    answer = carknocker(*CHECK, env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert answer.returncode == 1
    assert "Quillon Junction -> Port Averill" in answer.stdout
    assert answer.stdout.isascii()
    assert "Traceback" not in answer.stderr


@pytest.mark.parametrize("form", ["text", "json"])
def test_a_pipe_that_closes_early_is_no_error(form):
    command = [*COMMAND, *CHECK, "--format", form]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        errors = process.stderr.read().decode()
        process.wait(timeout=60)
    assert errors == ""
    assert process.returncode == 1


@pytest.mark.parametrize("closed", [(1,), (2,), (1, 2)])
def test_where_nobody_reads_the_status_still_tells(closed):
    closing = "".join(f"os.close({number}); " for number in closed)
    program = f"import os, sys; {closing}os.execv(sys.executable, [sys.executable, *sys.argv[1:]])"
    command = [sys.executable, "-c", program, *COMMAND[1:], *CHECK]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=120, check=False)
    assert answer.returncode == 1
    assert answer.stderr == b""
    assert bool(answer.stdout) == (1 not in closed)


def test_an_interrupt_when_all_is_said_changes_nothing():
    program = """
import sys
import carknocker.cli.start as start

class Interrupted:
    def flush(self):
        self.flush = lambda: None
        raise KeyboardInterrupt

def main():
    sys.stdout = Interrupted()
    sys.exit(1)

start.main = main
start.command()
"""
    command = [sys.executable, "-c", program]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=60, check=False)
    assert answer.returncode == 1
    assert answer.stderr == b""


def run_on_a_terminal(columns, **more):
    import pty

    master, slave = pty.openpty()
    environment = {
        **{name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS")},
        "TERM": "xterm", "COLUMNS": str(columns), "LANG": "C.UTF-8", "PYTHONUTF8": "1", **more,
    }  # fmt: skip
    process = subprocess.Popen([*COMMAND, *CHECK], cwd=ROOT, env=environment, stdout=slave, stderr=slave, stdin=slave)
    os.close(slave)
    shown = b""
    while True:
        try:
            piece = os.read(master, 65536)
        except OSError:
            break
        if not piece:
            break
        shown += piece
    os.close(master)
    assert process.wait(timeout=60) == 1
    return shown.decode().replace("\r\n", "\n")


def test_colour_is_laid_over_the_same_words_and_can_be_left_out():
    import re

    coloured = run_on_a_terminal(80)
    assert "\x1b[1;31mNOT READY" in coloured
    plain = run_on_a_terminal(80, NO_COLOR="1")
    assert "\x1b[1;31m" not in plain
    words = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert words == re.sub(r"\x1b\[[0-9;]*m", "", plain)
    assert words == carknocker(*CHECK).stdout
    wide = re.sub(r"\x1b\[[0-9;]*m", "", run_on_a_terminal(110))
    assert 80 < max(len(line) for line in wide.splitlines()) <= 110


def test_the_version_says_who_chains():
    answer = carknocker("--version")
    assert answer.returncode == 0
    assert answer.stdout.startswith("carknocker 0.")
    chainer = "durable-rules 2.0." if sys.version_info < (3, 13) else "its plain evaluator"
    assert chainer in answer.stdout


@pytest.mark.parametrize(
    "command", [(), ("check",), ("why",), ("compare",), ("new",), ("rules",), ("rules", "list"), ("rules", "show"),
                ("rules", "check")]
)  # fmt: skip
def test_every_command_has_help_with_an_example(command):
    answer = carknocker(*command, "--help", env={"PYTHONIOENCODING": "ascii"})
    assert answer.returncode == 0
    assert "Usage: carknocker" in answer.stdout
    if command not in ((), ("rules",)):
        assert "Example: carknocker" in answer.stdout


def test_the_form_is_chosen_before_anything_heavy_is_imported():
    program = (
        "import sys; from carknocker.cli.main import app\n"
        "try: app(['check', 'wren-hollow/before', '--as-of', '2026-10-08'])\n"
        "except SystemExit: pass\n"
        "print([name for name in ('rich', 'jinja2', 'markdown_it', 'json') if name in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    loaded = answer.stdout.splitlines()[-1]
    for name in ("rich", "jinja2", "markdown_it"):
        assert f"'{name}'" not in loaded


ON_A_TERMINAL = """
import os, signal, sys
signal.signal(signal.SIGINT, signal.SIG_DFL)  # whoever runs the tests in the background has it ignored
terminal = os.open(sys.argv[1], os.O_RDWR)  # the first one that a session opens is its own
for number in (0, 1, 2):
    os.dup2(terminal, number)
os.execv(sys.executable, [sys.executable, *sys.argv[2:]])
"""


def typed_on_a_terminal(arguments, lines, end):
    """Types lines into a command on a terminal of its own, each when it is asked for, and then its end. Returns what
    was shown and the exit status."""
    terminal, other = os.openpty()
    command = [sys.executable, "-c", ON_A_TERMINAL, os.ttyname(other), *COMMAND[1:], *arguments]
    waiting = [*(f"{line}\n".encode() for line in lines), end]
    shown, answered, latest = b"", 0, time.monotonic() + 120
    silent = subprocess.DEVNULL
    with subprocess.Popen(
        command, cwd=ROOT, start_new_session=True, stdin=silent, stdout=silent, stderr=silent
    ) as process:
        while process.poll() is None or select.select([terminal], [], [], 0)[0]:
            if time.monotonic() > latest:
                process.kill()
                pytest.fail(f"nothing came of what was typed; shown: {shown.decode()}")
            if not select.select([terminal], [], [], 0.1)[0]:
                continue
            shown += os.read(terminal, 65536)
            if waiting and shown[answered:].rstrip().endswith(b"]:"):
                answered = len(shown)
                os.write(terminal, waiting.pop(0))
    os.close(other)
    os.close(terminal)
    return shown.decode(), process.returncode


@pytest.mark.parametrize(("end", "says"), [(b"\x03", "Stopped."), (b"\x04", "Stopped; nothing was written.")])
def test_an_interview_that_is_stopped_writes_nothing(tmp_path, end, says):
    shown, status = typed_on_a_terminal(["new", str(tmp_path / "own")], ["QZZX 9", "Example", "2"], end)
    assert "Name of the car" in shown
    assert says in shown
    assert status == 130
    assert "Traceback" not in shown
    assert not (tmp_path / "own").exists()


@pytest.mark.parametrize(
    ("end", "status", "says"),
    [
        (b"\x03", 130, "Stopped; nothing was written."), (b"\x04", 130, "Stopped; nothing was written."),
        (b"n\n", 1, "Nothing was written"), (b"y\n", 0, "What was there is kept as"),
    ],
)  # fmt: skip
def test_what_is_to_be_written_is_written_at_y_alone(tmp_path, end, status, says):
    for name in ("car.yaml", "move.yaml"):
        shutil.copy(CASES / "wren-hollow" / "before" / name, tmp_path / name)
    (tmp_path / "form.yaml").write_text(FORM, encoding="utf-8")
    before = (tmp_path / "car.yaml").read_bytes()
    shown, ended = typed_on_a_terminal(
        ["enter", str(tmp_path), str(tmp_path / "form.yaml"), "--as-of", "2026-10-08"], ["maybe"], end
    )
    assert (ended, says in shown) == (status, True)
    assert shown.count("Write this? y or n [n]: ") == 2
    assert ((tmp_path / "car.yaml").read_bytes() == before) is (status != 0)
    assert "Please report" not in shown
