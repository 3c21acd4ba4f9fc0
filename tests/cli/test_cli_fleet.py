"""`carknocker check` for many cars: the table, dossiers as a stream, folders of cars, processes, the progress bar."""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time

import pytest
from command_line import CASES, ROOT, carknocker, invoke

from carknocker.page.json_encoder import json_text
from carknocker.questions.check import many_cars

DAY = ("--as-of", "2026-10-08")
BEFORE, AFTER = CASES / "wren-hollow" / "before", CASES / "wren-hollow" / "after"
NORTH, SOUTH = CASES / "two-nations" / "north", CASES / "two-nations" / "south"


def rows(text):
    """The first lines of the rows of the table."""
    after = text.partition("-----")[2].splitlines()[1:]
    return [line for line in after if re.search(r"  (not ready|ready|repair|not read|cannot judge)", line)]


def test_a_folder_of_folders_stands_for_the_cars_below_it_and_many_make_a_table():
    answer = invoke("check", CASES, *DAY)
    assert answer.exit_code == 1
    said = "7 cars: 6 not ready, 1 ready. Ready, as far as the rules at hand go; not at hand:"
    assert said in " ".join(answer.stdout.split())
    found = rows(answer.stdout)
    assert len(found) == 7
    assert [int(re.search(r"ready\D*? +(\d+)", line)[1]) for line in found] == [6, 5, 4, 3, 2, 1, 0]
    assert "Wheel R5:" in answer.stdout
    assert "2026-11-14" in answer.stdout


def test_a_ruleset_copied_beside_each_of_two_cars_is_one_for_the_table_and_for_compare(tmp_path):
    cars = [shutil.copytree(BEFORE, tmp_path / "before"), shutil.copytree(AFTER, tmp_path / "after")]
    for car in cars:
        shutil.copytree(ROOT / "rulesets", car / "rulesets")
    table = invoke("check", *cars, *DAY, "--table")
    assert "2 cars: 2 not ready." in table.stdout, table.output
    assert table.stderr == ""
    compared, alone = invoke("compare", *cars, *DAY), invoke("compare", BEFORE, AFTER, *DAY)
    assert (compared.exit_code, compared.stderr) == (alone.exit_code, "")
    assert compared.stdout.splitlines()[:3] == alone.stdout.splitlines()[:3]


def test_the_count_of_the_table_is_that_of_the_cars_own_page():
    form = json.loads(invoke("check", CASES, *DAY, "--table", "--format", "json").stdout)
    for line in form["cars"]:
        page = invoke("check", line["given"], *DAY).stdout
        number = re.search(r"(\d+) items? keeps? this car", page)
        told = 0 if number is None else int(number[1])
        if page.splitlines()[1].startswith("NOT YET LOOKED AT"):  # it counts what is settled; the items are numbered
            told = max(int(one) for one in re.findall(r"^(\d+)\. ", page, re.MULTILINE))
        assert line["blockers"] == told, line["given"]
        assert len(line["first_blockers"]) == line["blockers"]


def test_few_cars_are_pages_unless_a_table_is_asked_for_and_the_other_way_round():
    assert "WHAT KEEPS THIS CAR FROM MOVING" in invoke("check", BEFORE, AFTER, *DAY).stdout
    assert "2 cars: 2 not ready." in invoke("check", BEFORE, AFTER, *DAY, "--table").stdout
    assert "1 car: 1 not ready." in invoke("check", BEFORE, *DAY, "--table").stdout
    pages = invoke("check", NORTH, NORTH, NORTH, NORTH, *DAY, "--pages").stdout
    assert pages.count("WHAT KEEPS THIS CAR FROM MOVING") == 4
    assert "4 cars: 4 not ready." in invoke("check", NORTH, NORTH, NORTH, NORTH, *DAY).stdout


@pytest.mark.parametrize("form", ["text", "json"])
def test_the_answer_is_the_same_bytes_whatever_the_number_of_processes(form):
    arguments = ("check", NORTH.parent, *DAY, "--table", "--format", form, "--processes")
    alone, in_two = invoke(*arguments, 1), carknocker(*arguments, 2)
    assert alone.stdout == in_two.stdout
    assert (alone.exit_code, in_two.returncode) == (1, 1)


def test_dossiers_come_as_a_stream_of_the_same_dossiers_in_the_order_given():
    alone = [json.loads(invoke("check", place, *DAY, "--format", "json").stdout) for place in (NORTH, SOUTH)]
    several = invoke("check", NORTH, SOUTH, *DAY, "--format", "json").stdout
    form = {"format": "carknocker-dossiers/3", "dossiers": alone, "not_judged": []}
    assert json.loads(several) == form
    assert several == json_text(form)
    in_two = carknocker("check", NORTH, SOUTH, *DAY, "--format", "json", "--processes", "2")
    assert in_two.stdout == several


def test_a_car_that_is_not_read_stops_no_other_and_counts(tmp_path):
    broken = tmp_path / "car.yaml"
    broken.write_text("format: carknocker-car/1\ncarr: {}\n")
    answer = invoke("check", NORTH, tmp_path, tmp_path / "none", *DAY, "--table")
    assert answer.exit_code == 2
    assert "3 cars: 2 not read, 1 not ready." in answer.stdout
    assert f"{broken}:2:1" in answer.stderr
    assert "there is no such file" in answer.stderr
    form = json.loads(invoke("check", NORTH, tmp_path, *DAY, "--format", "json").stdout)
    assert len(form["dossiers"]) == 1
    assert form["not_judged"][0]["given"] == str(tmp_path)
    assert any("carr" in problem for problem in form["not_judged"][0]["problems"])
    only = json.loads(invoke("check", tmp_path, tmp_path, *DAY, "--format", "json").stdout)
    assert (only["dossiers"], len(only["not_judged"])) == ([], 2)


def test_what_cannot_be_judged_comes_first_and_ends_with_3(monkeypatch):
    from carknocker.judgement.model import CannotJudge
    from carknocker.questions.check import fleet

    real = fleet.check

    def cannot(car, *others):
        if car.mark == "QTNX 6":
            raise CannotJudge("the proof failed")
        return real(car, *others)

    monkeypatch.setattr(fleet, "check", cannot)
    answer = invoke("check", BEFORE, NORTH, *DAY, "--table", "--processes", "1")
    assert answer.exit_code == 3
    assert "2 cars: 1 cannot judge, 1 not ready." in answer.stdout
    assert "Cannot judge: the proof failed" in answer.stderr


def test_rulesets_beside_one_car_say_nothing_of_another(tmp_path):
    """Each car is judged as if it were alone: what one brings breaks no other."""
    for name in ("car.yaml", "move.yaml"):
        (tmp_path / name).write_bytes((NORTH / name).read_bytes())
    folder = tmp_path / "rulesets" / "own" / "1"
    folder.mkdir(parents=True)
    (folder / "edition.yaml").write_text("format: carknocker-edition/1\nrulesett: own\n")
    answer = invoke("check", tmp_path, NORTH, *DAY, "--table")
    assert answer.exit_code == 2
    assert "2 cars: 1 not read, 1 not ready." in answer.stdout


def test_the_output_file_is_whole_or_left_alone(tmp_path):
    file = tmp_path / "all.json"
    invoke("check", NORTH, NORTH, *DAY, "--format", "json", "-o", file)
    assert len(json.loads(file.read_text(encoding="utf-8"))["dossiers"]) == 2
    assert [one.name for one in tmp_path.iterdir()] == ["all.json"]
    answer = invoke("check", NORTH, NORTH, *DAY, "--format", "json", "-o", tmp_path / "no" / "all.json")
    assert answer.exit_code == 2
    assert "can't be written" in answer.stderr


def test_a_folder_below_which_there_is_no_car_is_refused_by_its_name(tmp_path):
    (tmp_path / "inside").mkdir()
    (tmp_path / ".hidden").mkdir()
    (tmp_path / ".hidden" / "car.yaml").write_bytes((NORTH / "car.yaml").read_bytes())
    answer = invoke("check", tmp_path, *DAY)
    assert answer.exit_code == 2
    assert f"{tmp_path}:1:1" in answer.stderr


def test_processes_are_as_many_as_have_something_to_do(monkeypatch):
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(4), raising=False)
    assert [many_cars._processes(cars) for cars in (1, 15, 16, 31, 32, 10_000)] == [1, 1, 2, 3, 4, 4]
    assert invoke("check", NORTH, "--processes", "0").exit_code == 2


ON_A_TERMINAL = """
import os, pty, sys
leader, follower = pty.openpty()
pid = os.fork()
if not pid:
    os.close(leader)
    os.dup2(follower, 2)
    sys.argv = ["carknocker", *sys.argv[1:]]
    from carknocker.cli.start import command
    command()
os.close(follower)
said = b""
while True:
    try:
        piece = os.read(leader, 65536)
    except OSError:
        break
    if not piece:
        break
    said += piece
os.waitpid(pid, 0)
sys.stderr.write(said.decode("utf-8", "replace"))
"""


def test_the_bar_is_on_the_error_stream_of_a_terminal_only():
    arguments = ["check", str(NORTH), str(NORTH), *DAY, "--table"]
    environment = {**os.environ, "TERM": "xterm", "PYTHONIOENCODING": "utf-8"}
    seen = subprocess.run(
        [sys.executable, "-c", ON_A_TERMINAL, *arguments], cwd=ROOT, env=environment, capture_output=True, text=True,
        encoding="utf-8", timeout=120, check=True,
    )  # fmt: skip
    piped = carknocker(*arguments)
    assert "checking" in seen.stderr
    assert "2/2" in seen.stderr
    assert seen.stdout == piped.stdout
    assert piped.stderr == ""


def test_a_single_check_imports_nothing_of_all_this():
    program = (
        "import sys; from carknocker.cli.main import app\n"
        "try: app(['check', 'wren-hollow/before', '--as-of', '2026-10-08'])\n"
        "except SystemExit: pass\n"
        "own = 'carknocker.questions.'\n"
        "names = ('multiprocessing', 'concurrent', own + 'fleet', own + 'check.many_cars')\n"
        "print([name for name in names if name in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert answer.stdout.splitlines()[-1] == "[]"


def test_a_move_given_for_all_that_cannot_be_read_is_said_once(tmp_path):
    answer = invoke("check", CASES, *DAY, "--move", tmp_path / "none.yaml")
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert answer.stderr.count("there is no such file") == 1


@pytest.mark.parametrize("seconds", [0.6, 1.2])
def test_an_interrupt_stops_all_in_one_word_and_leaves_no_file(tmp_path, seconds):
    file = tmp_path / "all.json"
    program = "import sys; from carknocker.cli.start import command; sys.argv[0] = 'carknocker'; command()"
    arguments = ["check", *[str(CASES)] * 20, *DAY, "--processes", "2", "--format", "json", "-o", str(file)]
    running = subprocess.Popen(
        [sys.executable, "-c", program, *arguments], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        start_new_session=True,
    )  # fmt: skip
    time.sleep(seconds)  # while the processes are being started, for one; while they work, for the other
    os.killpg(running.pid, signal.SIGINT)
    said, told = running.communicate(timeout=60)
    assert running.returncode == 130
    assert (said.decode(), told.decode().split()) == ("", ["Stopped."])
    assert list(tmp_path.iterdir()) == []
