"""Tests, papers and work that a form brings into the lists of a record: whole, or refused at the box."""

import csv
import io
from datetime import date
from pathlib import Path

import pytest
import repair_samples as samples
from test_questions_enter_parts import found, put

from carknocker.cli.inputs import check_car
from carknocker.documents import InputRefused
from carknocker.forms import form_of
from carknocker.forms.text_forms import COLUMNS, csv_form
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.tray import tray_text
from carknocker.record import read_car_text

JOB = (("job 1", "did", "wheels turned"), ("job 1", "at", "L2, R2"), ("job 1", "on", "2030-04-20"),
       ("job 1", "by", "RE"), ("job 1", "cut", "1/8 in"))  # fmt: skip
KNOWN = "every reading of the sheet is on record already, of the same day"


def test_a_job_goes_into_the_log_with_an_id_of_its_own():
    entered = put(*JOB)
    (job,) = [one for one in read_car_text(entered.text, "car.yaml").work if one.name == "wheels turned"]
    assert (job.id, job.on.isoformat(), job.by.name, len(job.at)) == ("J-2", "2030-04-20", "RE", 2)
    assert entered.added.split("\n")[:3] == ["work:", "  - id: J-2", "    did: wheels turned"]
    assert entered.text.startswith(samples.car_text().rstrip()[:200])


def test_the_next_job_has_the_next_id_and_the_same_again_is_passed_over():
    first = put(*JOB).text
    later = tuple((part, key, "2030-04-25" if key == "on" else typed) for part, key, typed in JOB)
    second = read_car_text(put(*later, record=first).text, "car.yaml")
    assert [one.id for one in second.work if one.name == "wheels turned"] == ["J-2", "J-3"]
    assert [one.rpartition(": ")[2] for one in found(*JOB, record=first)] == [KNOWN]
    again = put(*JOB, *(("job 2", *one[1:]) for one in later), record=first).text
    assert [one.id for one in read_car_text(again, "car.yaml").work if one.name == "wheels turned"] == ["J-2", "J-3"]


def test_a_test_of_one_place_and_of_several():
    one = put(("test “hand brake test” at B", "on", "2030-04-20"), ("test “hand brake test” at B", "by", "RE"),
              ("test “hand brake test” at B", "result", "passed"), record=with_hand_brake())  # fmt: skip
    record = read_car_text(one.text, "car.yaml")
    assert [value.value.text for value in record.by_part["hand brake B"]["hand_brake_test"]] == ["passed"]
    several = put(("test “axle crack test”", "at", "1, 3"), ("test “axle crack test”", "on", "2030-04-20"),
                  ("test “axle crack test”", "by", "RE"), ("test “axle crack test”", "result", "failed"))  # fmt: skip
    tested = [one.part for one in read_car_text(several.text, "car.yaml").evidence if one.attribute == "ndt"]
    assert len(tested) == 2


def test_a_test_that_a_gauge_shows_names_it():
    """Else a car whose leakage was tested could not be shown by a form."""
    said = (("test 1", "test", "brake leakage test"), ("test 1", "on", "2030-04-20"), ("test 1", "by", "RE"),
            ("test 1", "result", "passed"), ("test 1", "method", "gauge"))  # fmt: skip
    record = samples.car_text().replace("gauges:\n", "gauges:\n  P-9: {kind: air gauge}\n", 1)
    for more, lacks in (((), True), ((("test 1", "gauge", "P-9"),), False)):
        made = read_car_text(put(*said, *more, record=record).text, "car.yaml").by_part["brake system"]["leakage_test"]
        assert [one.ungauged for one in made] == [lacks]


def with_hand_brake():
    return samples.car_text() + "\nhand_brakes:\n  B: {}\n"


def test_a_paper_a_move_and_a_spare():
    entered = put(
        ("paper “agreement with the host”", "from", "2030-01-01"),
        ("paper “agreement with the host”", "until", "no end"),
        ("paper “agreement with the host”", "host", "Test Yard"),
        ("move made 1", "from", "2030-03-01"), ("move made 1", "to", "2030-03-02"),
        ("move made 1", "miles", "120 mi"), ("move made 1", "host", "Test Yard"),
        ("spare 1", "spare", "air hose"), ("spare 1", "carried", "2"),
    )  # fmt: skip
    record = read_car_text(entered.text, "car.yaml")
    assert any(one.attribute == "agreement_with_host" for one in record.evidence)
    assert record.moves_made[-1].host == "Test Yard"
    assert [one.carried for one in record.spares if one.name == "air hose"] == [2]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"by": "HX"}, ["sheet “Sheet 1”, by, 1: the person `HX`"]),
        ({"at": "L9"}, ["sheet “Sheet 1”, at, 1: the wheel `L9`"]),
        ({"cut": "9 psi"}, ["sheet “Sheet 1”, cut, 1: the unit `psi`"]),
        ({"on": "2030-02-31"}, ["sheet “Sheet 1”, on, 1: `2030-02-31`"]),
        ({"did": ""}, ["sheet “Sheet 1”, did, 1: what work it is, is not said"]),
        ({"did": "wheels polished"}, ["sheet “Sheet 1”, did, 1: "]),
        ({"on": ""}, ["sheet “Sheet 1”, on, 1: job 1 without: done on"]),
    ],
)
def test_what_is_wrong_with_an_entry_is_told_at_its_box(changed, words):
    said = [(part, key, changed.get(key, typed)) for part, key, typed in JOB]
    told = " / ".join(found(*said))
    for word in words:
        assert word in told


HAND_BRAKE_TEST = (("test “hand brake test”", "at", ""), ("test “hand brake test”", "on", "2030-04-20"),
                   ("test “hand brake test”", "by", "RE"), ("test “hand brake test”", "result", "passed"))  # fmt: skip


def test_what_entries_lack_is_told_all_at_once_each_at_its_own_box():
    job = [(part, key, "" if key == "on" else typed) for part, key, typed in JOB]
    told = found(*HAND_BRAKE_TEST, *job, record=with_hand_brake())
    assert told == [
        "sheet “Sheet 1”, at, test”: `hand brake test` without `at`",
        "sheet “Sheet 1”, on, 1: job 1 without: done on",
    ]


def test_what_is_after_a_job_that_is_refused_is_told_once_that_is_right():
    later = (("event 1", "happened", "derailment"), ("event 1", "on", "2030-04-20"), ("event 1", "after", "job 1"))
    bad = [(part, key, "" if key == "at" else typed) for part, key, typed in JOB]
    told = found(*bad, *later)
    assert len(told) == 1
    assert told[0].startswith("sheet “Sheet 1”, at, 1: ")


def test_a_day_that_has_not_come_is_refused():
    from test_questions_enter_parts import form

    with pytest.raises(InputRefused) as caught:
        enter(samples.car_text(), "car.yaml", form(*JOB), "form.html", samples.AS_OF.replace(month=4, day=19))
    assert "2030-04-20, a day that has not come by 2030-04-19" in caught.value.problems[0].found


def test_everything_that_is_wrong_on_a_sheet_is_told_at_once():
    wrong = (("truck A", "truck_kind", "four-axle"), ("truck B", "held_to_body_by", "locking center pin"),
             ("move", "rides", "cattle"), *((*one[:2], "HX" if one[1] == "by" else one[2]) for one in JOB))  # fmt: skip
    read = (("wheel L1", "flange_thickness", "1 psi"), ("wheel R1", "flange_thickness", "7/8 in"))
    dated = samples.car_text().replace("on: 2030-04-20   # after the winter", "on: 2030-05-02")
    told = {one.split(", ")[1]: one.partition(": ")[2] for one in found(*wrong, *read, record=dated)}
    assert told.keys() == {"truck kind", "held to body by", "rides", "by", "flange thickness"}
    assert len(found(*wrong, *read, record=dated)) == 6


def test_what_a_form_brings_is_shown_sheet_by_sheet_in_its_own_words():
    read = [("wheel L1", "flange_thickness", "1 in"), ("wheel L2", "flange_thickness", "1 in"),
            ("wheel R1", "flange_thickness", "takes at 7/8 in"), ("body", "fire_extinguishers", "-"),
            ("truck A", "frame", "one-piece cast")]  # fmt: skip
    dated = samples.car_text().replace("on: 2030-04-20   # after the winter", "on: 2030-04-21")
    assert put(sheets=[read, list(JOB)], record=dated).shown == (
        "sheet “Sheet 2”:",
        "  job 1: did: wheels turned; where: L2, R2; done on: 2030-04-20; by whom: RE; cut: 1/8 in",
        "sheet “Sheet 1”, 2030-05-02, read by RE:",
        "  flange thickness 1 in: wheel L1, L2",
        "  flange thickness takes at 7/8 in: wheel R1",
        "  fire extinguishers not accessible: body",
        "  truck frame one-piece cast: truck A",
    )


def test_a_held_entry_stands_in_the_tray_and_is_entered_from_there():
    bad = tuple((part, key, "HX" if key == "by" else typed) for part, key, typed in JOB)
    entered = put(sheets=[[("truck A", "frame", "one-piece cast")], list(bad)])
    assert len(entered.held) == 1
    tray = tray_text(entered, "TSTX 1").replace("HX", "RE")
    again = enter(entered.text, "car.yaml", tray, "tray.yaml")
    assert "did: wheels turned" in again.text


LOG = (("log 1", "complete_since", "2029-01-01"), ("log 1", "by", "RE"))


def without_log():
    return "".join(f"{line}\n" for line in samples.car_text().splitlines() if not line.startswith("log:"))


def test_since_when_the_log_is_complete_comes_by_a_form():
    entered = put(*LOG, record=without_log())
    log = read_car_text(entered.text, "car.yaml").log
    assert log is not None
    assert (log.complete_since.isoformat(), log.by.name) == ("2029-01-01", "RE")
    assert [one.rpartition(": ")[2] for one in found(*LOG, record=entered.text)] == [KNOWN]
    (other,) = found(LOG[1], ("log 1", "complete_since", "2028-01-01"), record=entered.text)
    assert "another statement than the record has under `log:`" in other


@pytest.mark.parametrize(("given", "lacks"), [
    (LOG[0], "by whom"), (LOG[1], "every event, job and move made is on record since"),
])  # fmt: skip
def test_a_statement_of_the_log_needs_its_day_and_who_says_so(given, lacks):
    (problem,) = found(given, record=without_log())
    assert problem.endswith(f"log 1 without: {lacks}")


def job(number, did, on, at, *more):
    part = f"job {number}"
    return ((part, "did", did), (part, "on", on), (part, "at", at), (part, "by", "RE"),
            *((part, key, text) for key, text in more))  # fmt: skip


def test_a_job_may_be_after_another_of_the_form_or_one_on_record():
    entered = put(*job(1, "wheels turned", "2030-04-20", "L2, R2", ("cut", "1/8 in")),
                  *job(2, "wheels turned", "2030-04-20", "L2, R2", ("cut", "1/8 in"), ("after", "job 1")))  # fmt: skip
    made = [one for one in read_car_text(entered.text, "car.yaml").work if one.name == "wheels turned"]
    assert [(one.id, one.after) for one in made] == [("J-2", frozenset()), ("J-3", frozenset({"J-2"}))]
    third = put(*job(1, "wheels turned", "2030-04-20", "L2, R2", ("cut", "1/8 in"), ("after", "J-3")),
                record=entered.text)  # fmt: skip
    assert [one.after for one in read_car_text(third.text, "car.yaml").work if one.id == "J-4"] == [
        frozenset({"J-2", "J-3"})
    ]


def test_a_test_may_be_after_a_job_that_stands_behind_it_on_the_form():
    said = (("test 1", "test", "brake leakage test"), ("test 1", "on", "2030-04-20"), ("test 1", "by", "RE"),
            ("test 1", "result", "passed"), ("test 1", "method", "gauge"), ("test 1", "after", "job 1"))  # fmt: skip
    entered = put(*said, *job(1, "wheels turned", "2030-04-20", "L2, R2", ("cut", "1/8 in")))
    (test,) = read_car_text(entered.text, "car.yaml").by_part["brake system"]["leakage_test"]
    assert test.after == frozenset({"J-2"})


def test_a_job_after_one_that_nobody_knows_is_refused_at_its_box():
    (problem,) = found(*job(1, "wheels turned", "2030-04-20", "L2, R2", ("cut", "1/8 in"), ("after", "job 7")))
    assert "job 7" in problem


PERMISSION = (
    ("host", "Kestrel & Northern"), ("at", "bearing L1, bearing R1"), ("for", "move"), ("from", "2026-10-01"),
    ("until", "2026-12-31"), ("signed_by", "J. Doe, mechanical superintendent"), ("signed_on", "2026-10-02"),
    ("speed", "40"), ("place", "none"), ("riders", "none"), ("tag", "none"),
)  # fmt: skip
RULE = "permission “kestrel-and-northern/bearing-class”"
WREN_HOLLOW = Path(__file__).parents[2] / "cases" / "wren-hollow" / "before"


def with_permission(folder, *said):
    """The demo car's record with a permission typed into the CSV form, and the form's answers."""
    record = (WREN_HOLLOW / "car.yaml").read_text(encoding="utf-8")
    answer = check_car(WREN_HOLLOW, None, None, date(2026, 10, 8))
    values = dict(said)
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for row in csv.DictReader(io.StringIO(csv_form(form_of(answer)), newline="")):
        if row["part"] == RULE:
            row["value"] = values.get(row["attribute"], "")
        writer.writerow(row)
    return enter(record, "car.yaml", stream.getvalue(), "form.csv")


def test_a_permission_of_the_host_comes_by_a_form_with_what_it_leaves(tmp_path):
    entered = with_permission(tmp_path, *PERMISSION)
    (leave,) = [one for one in read_car_text(entered.text, "car.yaml").leaves if one.id == "P-1"]
    assert leave.criterion == "kestrel-and-northern/bearing-class"
    assert leave.host == "Kestrel & Northern"
    assert (leave.purpose, leave.first.isoformat(), leave.last.isoformat()) == ("move", "2026-10-01", "2026-12-31")
    assert leave.signed_by == "J. Doe, mechanical superintendent"
    assert str(leave.signed_on) == "2026-10-02"
    assert leave.speed is not None
    assert leave.speed.unit == "mph"
    for name in ("car.yaml", "move.yaml"):
        (tmp_path / name).write_text((WREN_HOLLOW / name).read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "car.yaml").write_text(entered.text, encoding="utf-8")
    still = check_car(tmp_path, None, None, date(2026, 10, 8)).judgement
    refused = {one.finding.part.position for one in still.refusals
               if one.finding is not None and one.finding.criterion.id == leave.criterion}  # fmt: skip
    assert refused == {"L2", "R2", "L3", "R3"}


@pytest.mark.parametrize(("left_out", "words"), [
    ("at", "on which part"), ("for", "for the move, or to move for repair only"), ("until", "holds until"),
    ("signed_by", "who signed for the host"), ("host", "host railroad"), ("from", "holds from"),
    ("signed_on", "signed on"), ("speed", "only up to a speed of"), ("place", "only at this place in the train"),
    ("riders", "only with these riders"), ("tag", "only with this tag"),
])  # fmt: skip
def test_a_permission_without_a_part_of_it_is_refused(tmp_path, left_out, words):
    with pytest.raises(InputRefused) as refused:
        with_permission(tmp_path, *(one for one in PERMISSION if one[0] != left_out))
    (problem,) = refused.value.problems
    assert problem.found == f"{RULE} without: {words}"
    condition = left_out in ("speed", "place", "riders", "tag")
    assert (problem.expected == "write none if the letter does not ask for it") is condition
    rows = csv_form(form_of(check_car(WREN_HOLLOW, None, None, date(2026, 10, 8)))).split("\r\n")
    assert problem.where.file == "form.csv"
    row = next(csv.DictReader([rows[0], rows[problem.where.line - 1]]))
    assert (row["part"], row["attribute"]) == (RULE, left_out)


def test_all_that_a_permission_lacks_is_told_at_once_each_at_its_own_row(tmp_path):
    with pytest.raises(InputRefused) as refused:
        with_permission(tmp_path, *(one for one in PERMISSION if one[0] not in ("until", "tag", "signed_by")))
    problems = refused.value.problems
    assert [one.found.rpartition(": ")[2] for one in problems] == [
        "holds until", "who signed for the host", "only with this tag"
    ]  # fmt: skip
    assert len({one.where.line for one in problems}) == 3
