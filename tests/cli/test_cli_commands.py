"""Commands are found by the folders of the questions, and a run of one imports no other question."""

import json
import re
import shutil
import subprocess
import sys
import textwrap
from importlib import import_module
from pathlib import Path

import pytest
from command_line import CASES, ROOT, flat, invoke
from photograph_samples import photograph

import carknocker.questions
from carknocker.cli.main import folders

INVENTED = '''
import sys
from typing import Annotated

import typer

from carknocker.cli.options import command_line
from carknocker.cli.output import write_stream
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.{folder}.ask import answer

app = command_line()
{place}

@app.command(epilog="Example: carknocker {shown} 3")
@in_plain_words()
def command(number: Annotated[int, typer.Argument(metavar="NUMBER", help="How many lamps.")]) -> None:
    """How many lamps are lit, for {shown}?"""
    write_stream(sys.stdout, answer(number))
    raise typer.Exit(number)
'''
ASK = """
def answer(number):
    if number > 9:
        raise RecursionError
    return f"{number} lamps are lit\\n"
"""


@pytest.fixture
def invent(tmp_path, monkeypatch):
    """Makes a folder with a command, in a place of its own beside the questions of the package."""
    monkeypatch.setattr(carknocker.questions, "__path__", [*carknocker.questions.__path__, str(tmp_path)])

    def make(folder, place=""):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "__init__.py").write_text("")
        (tmp_path / folder / "ask.py").write_text(textwrap.dedent(ASK))
        shown = folder.replace("_", " ")
        (tmp_path / folder / "command.py").write_text(INVENTED.format(folder=folder, shown=shown, place=place))

    before = set(sys.modules)
    yield make
    for name in set(sys.modules) - before:
        if any(name.startswith(f"carknocker.questions.{folder.name}") for folder in tmp_path.iterdir()):
            del sys.modules[name]


def test_a_folder_with_a_command_is_a_command(invent):
    invent("lamps", "PLACE_IN_HELP = 15")
    answer = invoke("lamps", 3)
    assert (answer.stdout, answer.exit_code) == ("3 lamps are lit\n", 3)
    told = invoke("--help").stdout
    names = [line.split()[0] for line in told.partition("Commands:")[2].splitlines() if line.startswith("  ")]
    assert names.index("check") < names.index("lamps") < names.index("why")
    assert "How many lamps are lit, for lamps?" in told
    own = flat(invoke("lamps", "--help").stdout)
    assert "lamps [OPTIONS]" in own
    assert "NUMBER" in own
    assert "Example: carknocker lamps 3" in own
    assert "nearest right word: lamps" in invoke("lampz").stderr


def test_a_folder_of_two_words_is_a_command_of_a_group(invent):
    invent("rules_lamps")
    assert invoke("rules", "lamps", 2).stdout == "2 lamps are lit\n"
    told = invoke("rules", "--help").stdout
    assert flat(told).endswith(" lamps How many lamps are lit, for rules lamps? ")


def test_a_folder_of_two_words_that_begins_with_no_group_is_one_command(invent):
    invent("signal_lamps", "PLACE_IN_HELP = 999")
    assert invoke("signal-lamps", 4).exit_code == 4
    assert " signal-lamps " in invoke("--help").stdout
    assert invoke("signal", "lamps", 4).exit_code == 2


CALLED = [
    ("diff", "compare"), ("horizon", "due"), ("recheck", "verify"), ("workings", "figures"), ("order", "wheel-order"),
    ("arrange", "place-wheels"), ("bad-order", "tag"), ("badorder", "tag"), ("bad_order", "tag"), ("Bad-Order", "tag"),
    ("dates", "due"), ("ready", "check"), ("inspect", "check"), ("measure", "worksheet"), ("set-out", "setout"),
    ("wheel_order", "wheel-order"), ("wheelorder", "wheel-order"), ("Check", "check"),
]  # fmt: skip


@pytest.mark.parametrize(("called", "name"), CALLED)
def test_what_people_call_a_command_leads_to_it_without_being_listed(called, name):
    answer = invoke(called, "--help")
    assert answer.exit_code == 0
    assert f" {name} [OPTIONS]" in flat(answer.stdout)
    assert called == name or not re.search(rf"^  {re.escape(called)} ", invoke("--help").stdout, re.MULTILINE)


@pytest.mark.parametrize(("called", "name"), [("compare", "diff"), ("validate", "check"), ("print", "show")])
def test_so_in_a_group(called, name):
    assert f"rules {name} [OPTIONS]" in flat(invoke("rules", called, "--help").stdout)


@pytest.mark.parametrize(
    ("given", "meant"),
    [("chek", "check"), ("horizn", "due"), ("bad-ordr", "tag"), ("wheel-odrer", "wheel-order"), ("plann", "plan")],
)
def test_a_slip_in_a_name_is_answered_with_the_nearest_command(given, meant):
    answer = invoke(given, "wren-hollow/before")
    assert answer.exit_code == 2
    assert f"found `{given}`, which is no command nearest right word: {meant} to do:" in flat(answer.stderr)


@pytest.mark.parametrize("given", ["reader", "paint", "axle", "tagline", "spur", "xyzzy"])
def test_what_is_near_to_none_is_answered_without_a_guess(given):
    answer = invoke(given, "wren-hollow/before")
    assert answer.exit_code == 2
    assert "nearest" not in answer.stderr


def test_each_other_name_leads_to_one_command_and_is_the_name_of_none():
    for group in ("", "rules"):
        own = {
            name: getattr(import_module(f"{folder}.command"), "OTHER_NAMES", ())
            for name, folder in (folders()[group] if group else folders()).items()
            if isinstance(folder, str)
        }
        letters = [name.replace("-", "") for names in own.values() for name in names]
        assert len(letters) == len(set(letters)) > 5
        assert not set(letters) & {name.replace("-", "") for name in own}


def test_an_invented_command_fails_in_plain_words_too(invent):
    invent("lamps")
    answer = invoke("lamps", 10)
    assert (answer.exit_code, answer.stdout) == (3, "")
    assert answer.stderr.startswith("Cannot judge: something went wrong inside the program (something is nested")
    assert invoke("lamps", "x").exit_code == 2


def test_a_folder_without_a_command_is_none(invent, tmp_path):
    (tmp_path / "lamps").mkdir()
    (tmp_path / "lamps" / "ask.py").write_text("")
    assert invoke("lamps", 1).exit_code == 2
    assert "lamps" not in invoke("--help").stdout


OF_A_CAR = ("wren-hollow/before", "--as-of", "2026-10-08")
ARGUMENTS = {
    **dict.fromkeys(
        ("place_wheels", "due", "wheel_order", "plan", "request", "setout", "spares", "tag", "figures"), OF_A_CAR
    ),
    "check": (*OF_A_CAR, "--output", "dossier.json", "--format", "json"),
    "compare": ("wren-hollow/before", "wren-hollow/after", "--as-of", "2026-10-24"),
    "lift": ("wren-hollow/before", "--end", "A"),
    "pack": (*OF_A_CAR, "--output", "pack.zip"),
    "new": (
        "starter",
        *(
            f"--answer={one}"
            for one in (
                "mark=QZZX 1",
                "truck_kind=two-axle",
                "host=Acme",
                "train=passenger",
                "rides=nobody",
                "from=Here",
                "to=There",
                "miles=9 mi",
            )
        ),
    ),
    "verify": ("dossier.json", "wren-hollow/before"),
    "rules_check": (),
    "rules_diff": ("us-federal/2015", "us-federal/2020", "wren-hollow/before", "--as-of", "2026-10-08"),
    "rules_list": (),
    "rules_new": ("circulars", "--host", "Larkspur Southern"),
    "rules_schemas": ("schemas",),
    "rules_show": ("us-federal",),
    "why": OF_A_CAR,
    "words": ("bearing.class",),
    "worksheet": (*OF_A_CAR, "--form", "form.yaml"),
    "enter": ("car", "form.yaml", "--as-of", "2026-10-08"),
    "photograph": ("car", "wheel.jpg", "--of", "wheel L3", "--on", "2026-09-12", "--by", "RE"),
}
"""What each command is asked, by its folder; later ones read what earlier ones wrote."""
NO_FORMAT = ("check", "enter", "new", "pack", "photograph", "rules_new", "rules_schemas")

IN_FORKS = """
import json, os, sys
from carknocker.cli.main import app
for folder, arguments in json.load(sys.stdin):
    ours, theirs = os.pipe()
    if os.fork() == 0:
        sys.stdout = open(os.devnull, "w")
        try:
            app(arguments)
        except SystemExit as ended:
            status = ended.code
        names = [name.split(".")[2] for name in sys.modules if name.startswith("carknocker.questions.")]
        os.write(theirs, json.dumps([folder, status, sorted(set(names))]).encode())
        os._exit(0)
    os.close(theirs)
    os.wait()
    with open(ours) as answer:
        print(answer.read())
"""


def test_a_check_on_a_terminal_imports_nothing_that_draws():
    program = (
        "import sys; from carknocker.cli.main import app\n"
        "try: app(['check', 'wren-hollow/before', '--as-of', '2026-10-08'])\n"
        "except SystemExit as ended: print(ended.code)\n"
        "print([name for name in sys.modules if name == 'svg' or name.startswith('carknocker.page.drawings')])"
    )
    answer = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert answer.stdout.splitlines()[-2:] == ["1", "[]"]


def words_of(folder):
    return folder.split("_") if folder.startswith("rules_") else [folder.replace("_", "-")]


def test_a_run_of_one_question_imports_no_other(tmp_path):
    """Each command in a process that has imported no question before."""
    shutil.copytree(CASES / "wren-hollow" / "before", tmp_path / "car")
    (tmp_path / "wheel.jpg").write_bytes(photograph())
    calls = [
        (folder, [*words_of(folder), *arguments, *(() if folder in NO_FORMAT else ("--format", "html"))])
        for folder, arguments in ARGUMENTS.items()
    ]
    answer = subprocess.run(
        [sys.executable, "-c", IN_FORKS], cwd=tmp_path, input=json.dumps(calls), capture_output=True, text=True,
        timeout=300, check=True,
    )  # fmt: skip
    lines = [json.loads(line) for line in answer.stdout.splitlines()]
    found = {folder: names for folder, _, names in lines}
    assert found == {folder: [folder] for folder in ARGUMENTS}
    refused = {folder for folder, status, _ in lines if status not in (0, 1)}
    assert refused == {"enter", "lift"}, answer.stderr  # an empty form; no plan of the lift


def test_every_command_is_asked_above():
    questions = Path(carknocker.questions.__file__).parent
    assert sorted(ARGUMENTS) == sorted(command.parent.name for command in questions.glob("*/command.py"))
