"""`why`, `compare`, `new` and `rules`: answers, statuses, forms."""

import json
import re

import pytest
from command_line import CASES, ROOT, carknocker, flat, invoke

from carknocker.record import read_car_text

BEFORE = CASES / "wren-hollow" / "before"
AFTER = CASES / "wren-hollow" / "after"
DAY = ("--as-of", "2026-10-08")
FORMS = ["text", "markdown", "json", "html"]


@pytest.mark.parametrize("form", FORMS)
def test_why_goes_down_to_the_reading_the_gauge_and_the_sentence(form):
    answer = invoke("why", BEFORE, "wheel R5", "flange-thickness", *DAY, "--format", form)
    assert answer.exit_code == 1
    for word in ("worn to a 7/8", "G-5", "2026-09-12", "wheelset W-35"):
        assert word in flat(answer.stdout)


def test_why_without_a_part_explains_the_outcome():
    answer = invoke("why", AFTER, "--as-of", "2026-10-28")
    assert answer.exit_code == 1  # the law at hand is not complete
    assert "as far as the" in answer.stdout
    assert "Why is the car ready" in answer.stdout


def test_why_names_no_place_of_the_machine():
    answer = carknocker("why", "wren-hollow/before", "--as-of", "2026-10-08")
    assert answer.returncode == 1
    assert str(ROOT) not in answer.stdout
    assert "kestrel-and-northern/8/" in answer.stdout


@pytest.mark.parametrize("arguments", [("wheel R9",), ("wheel R5", "flange-thikness")])
def test_why_of_what_is_not_there_gives_the_nearest_word(arguments):
    answer = invoke("why", BEFORE, *arguments, *DAY)
    assert answer.exit_code == 2
    assert re.search(r"wheel R|flange-thickness", answer.stderr)
    assert answer.stdout == ""


@pytest.mark.parametrize("form", FORMS)
def test_diff_of_two_records_says_what_work_did_it(form):
    answer = invoke("compare", BEFORE, AFTER, "--as-of", "2026-10-08", "--as-of", "2026-10-28", "--format", form)
    assert answer.exit_code == 1  # the law at hand is not complete
    assert "J-13 wheelset renewed" in flat(answer.stdout)


def test_diff_of_one_record_on_two_days():
    answer = invoke("compare", AFTER, "--as-of", "2026-10-08", "--as-of", "2026-10-28", "--format", "json")
    form = json.loads(answer.stdout)
    assert [form["before"]["as_of"], form["after"]["as_of"]] == ["2026-10-08", "2026-10-28"]
    assert form["outcomes"] == ["not ready", "ready with restrictions"]
    assert form["after"]["complete"] is False
    assert answer.exit_code == 1


def test_diff_of_one_record_under_two_editions():
    both = ("--edition", "kestrel-and-northern=7", "--edition", "kestrel-and-northern=8")
    form = json.loads(invoke("compare", BEFORE, *DAY, *both, "--format", "json").stdout)
    assert "kestrel-and-northern 7" in form["before"]["editions"]
    assert "kestrel-and-northern 8" in form["after"]["editions"]
    assert any(one["criterion"] == "kestrel-and-northern/bearing-class" for one in form["new"])


@pytest.mark.parametrize(
    "more",
    [
        (),
        ("--edition", "kestrel-and-northern"),
        ("--edition", "kestrel-and-northern=99"),
        ("--as-of", "2026-10-08", "--as-of", "2026-10-09", "--as-of", "2026-10-10"),
        ("--edition", "a=1", "--edition", "a=2", "--edition", "a=3"),
        ("no-such-record",),
    ],
)
def test_diff_used_wrongly_ends_with_2_and_words(more):
    answer = invoke("compare", BEFORE, *more)
    assert answer.exit_code == 2
    assert answer.stderr.strip()
    assert "Traceback" not in answer.output


NEW_ANSWERS = """\
mark: QWHX 9
name: Invented
truck_kind: two-axle
host: An Inland Railroad
train: passenger
rides: nobody
from: Quillon Junction
to: Tarn Bridge
miles: 96 mi
"""


@pytest.fixture
def new_answers(tmp_path):
    file = tmp_path / "answers.yaml"
    file.write_text(NEW_ANSWERS)
    return file


def test_a_new_record_can_be_checked_at_once(tmp_path, new_answers):
    folder = tmp_path / "own"
    written = invoke("new", folder, "--answers", new_answers, "--out", "2027-05-07", "--answer", "frame=built-up")
    assert written.exit_code == 0, written.output
    assert "frame: built-up" in (folder / "car.yaml").read_text()
    assert "back: 2027-05-17" in (folder / "move.yaml").read_text()
    answer = invoke("check", folder, "--as-of", "2027-03-01")
    assert answer.exit_code == 1
    assert "QWHX 9 Invented" in answer.stdout
    assert "Not shown: " in answer.stdout


def test_the_same_as_options_alone(tmp_path, new_answers):
    lines = [f"--answer={line.replace(': ', '=', 1)}" for line in NEW_ANSWERS.splitlines()]
    days = ("--out", "2027-05-07", "--back", "2027-05-10")
    for name, more in (("file", ("--answers", new_answers)), ("options", lines)):
        assert invoke("new", tmp_path / name, *more, *days).exit_code == 0
    for file in ("car.yaml", "move.yaml"):
        assert (tmp_path / "file" / file).read_text() == (tmp_path / "options" / file).read_text()


def test_a_host_whose_circular_is_at_hand_is_judged_by_it(tmp_path, new_answers):
    more = ("--answers", new_answers, "--out", "2027-05-07")
    assert invoke("new", tmp_path / "own", *more).exit_code == 0
    new_answers.write_text(NEW_ANSWERS.replace("An Inland Railroad", "Kestrel & Northern"))
    assert invoke("new", tmp_path / "kestrel", *more).exit_code == 0
    assert "circular: none\n" in (tmp_path / "own" / "move.yaml").read_text()
    assert "circular: none\n" not in (tmp_path / "kestrel" / "move.yaml").read_text()
    assert "Kestrel & Northern circular" in invoke("check", tmp_path / "kestrel", "--as-of", "2027-03-01").stdout


def test_a_new_record_never_overwrites(tmp_path, new_answers):
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "car.yaml").write_text("mine")
    answer = invoke("new", tmp_path / "own", "--answers", new_answers)
    assert answer.exit_code == 2
    assert (tmp_path / "own" / "car.yaml").read_text() == "mine"
    assert [path.name for path in (tmp_path / "own").iterdir()] == ["car.yaml"]


def test_a_new_record_does_not_return_before_it_leaves(tmp_path, new_answers):
    more = ("--answers", new_answers, "--out", "2027-05-07", "--back", "2027-05-01")
    answer = invoke("new", tmp_path / "own", *more)
    assert answer.exit_code == 2
    assert "before the day out" in answer.stderr
    assert not (tmp_path / "own").exists()


def test_without_a_terminal_and_without_answers_it_says_how(tmp_path):
    answer = invoke("new", tmp_path / "own")
    assert answer.exit_code == 2
    assert "--answers FILE" in answer.stderr
    keys = [line.partition(":")[0] for line in answer.stderr.splitlines() if ":  # " in line]
    assert {"mark", "truck_kind", "bearing_class", "counted_by", "miles"} <= set(keys)
    assert not (tmp_path / "own").exists()


def test_an_older_record_is_completed_by_options(tmp_path, new_answers):
    folder = tmp_path / "own"
    assert invoke("new", folder, "--answers", new_answers, "--out", "2027-05-07").exit_code == 0
    before = (folder / "car.yaml").read_text()
    done = invoke("new", folder, "--add", "--answer", "frame=B: built-up", "--answer", "hand_brake=B")
    assert done.exit_code == 0, done.output
    after = (folder / "car.yaml").read_text()
    assert "frame: built-up" in after
    assert set(before.splitlines()) - set(after.splitlines()) == set()
    assert [path.read_text() for path in folder.glob("*.bak")] == [before]


def test_what_was_added_is_told_of_the_file_in_which_it_stands(tmp_path, new_answers):
    folder = tmp_path / "own"
    assert invoke("new", folder, "--answers", new_answers, "--out", "2027-05-07").exit_code == 0
    done = invoke("new", folder, "--add", "--answer", "power_wanted=yes")
    assert done.exit_code == 0, done.output
    assert " ".join(done.stdout.split()).startswith(f"{folder / 'move.yaml'}: 1 entry added")
    both = " ".join(
        invoke("new", folder, "--add", "--answer", "water_wanted=yes", "--answer", "frame=built-up").stdout.split()
    )
    assert both.startswith(f"{folder / 'car.yaml'} and {folder / 'move.yaml'}: ")


def test_a_form_that_says_something_of_the_move_alone_leaves_the_record_as_it_is(tmp_path, new_answers):
    folder = tmp_path / "own"
    assert invoke("new", folder, "--answers", new_answers, "--out", "2027-05-07").exit_code == 0
    before = (folder / "car.yaml").read_bytes()
    mark = read_car_text(before.decode(), "car.yaml").mark
    form = tmp_path / "form.yaml"
    head = f"format: carknocker-form/1\ncar: {mark}\n"
    form.write_text(f"{head}sheets:\n  - readings: {{move: {{water_wanted: yes}}}}\nlast_line: yes\n")
    done = invoke("enter", folder, form, "--yes")
    assert done.exit_code == 0, done.output
    told = " ".join(done.stdout.split())
    assert told.startswith(f"{folder / 'move.yaml'}: 1 value {folder / 'move.yaml'} is written anew")
    assert (folder / "car.yaml").read_bytes() == before
    assert len(list(folder.glob("*.bak"))) == 1
    assert "water_wanted: yes" in (folder / "move.yaml").read_text()


def test_an_older_record_without_answers_gets_the_places_as_comments(tmp_path, new_answers):
    folder = tmp_path / "own"
    assert invoke("new", folder, "--answers", new_answers, "--out", "2027-05-07").exit_code == 0
    done = invoke("new", folder, "--add")
    assert done.exit_code == 0, done.output
    assert "to fill in, at its end, commented out" in done.stdout


@pytest.mark.parametrize(
    ("more", "found"),
    [
        (("--answer", "frame"), "found `frame`"),
        (("--answer", "fram=built-up"), "nearest right word: frame"),
        (("--answer", "frame=built-upp"), "nearest right word: built-up"),
        (("--mark", "QWHX 9"), "no answer to `truck_kind`"),
    ],
)
def test_a_wrong_option_is_refused(tmp_path, more, found):
    answer = invoke("new", tmp_path / "own", *more)
    assert answer.exit_code == 2
    assert found in answer.stderr
    assert not (tmp_path / "own").exists()


@pytest.mark.parametrize("form", FORMS)
def test_rules_list_names_every_edition(form):
    answer = invoke("rules", "list", "--format", form)
    assert answer.exit_code == 0
    for name in ("us-federal", "trade-practice", "kestrel-and-northern"):
        assert name in answer.stdout


@pytest.mark.parametrize("form", FORMS)
def test_rules_show_gives_one_rule_with_its_sentence(form):
    answer = invoke("rules", "show", "us-federal", "flange-thickness", "--edition", "2015", "--format", form)
    assert answer.exit_code == 0
    assert "worn to a 7/8" in flat(answer.stdout)


@pytest.mark.parametrize("arguments", [("us-fedral",), ("us-federal", "--edition", "1915"), ("us-federal", "flange")])
def test_rules_show_of_what_is_not_there_ends_with_2(arguments):
    answer = invoke("rules", "show", *arguments)
    assert answer.exit_code == 2
    assert answer.stderr.strip()


def test_rules_check_finds_what_a_writer_got_wrong(tmp_path):
    folder = tmp_path / "own" / "1"
    folder.mkdir(parents=True)
    (folder / "edition.yaml").write_text("format: carknocker-edition/1\nrulesett: own\n")
    answer = invoke("rules", "check", tmp_path)
    assert answer.exit_code == 2
    assert "NOT IN ORDER" in answer.stdout
    assert "edition.yaml:2:1" in answer.stderr


def test_the_rules_that_are_installed_are_in_order():
    answer = invoke("rules", "check", "--format", "json")
    assert json.loads(answer.stdout)["in_order"] is True
    assert answer.exit_code == 0
