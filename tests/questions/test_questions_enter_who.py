"""People and gauges that a form puts on record: complete, or refused at the field that lacks something."""

from datetime import date

import pytest
import repair_samples as samples

from carknocker.documents import InputRefused
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.tray import tray_text
from carknocker.questions.worksheet.ask import worksheet
from carknocker.record import read_car_text

DAY = date(2030, 5, 20)
PERSON = {"name": "NP", "role": "owner's helper", "full_name": "Nan Pell"}
GAUGE = {"name": "G-9", "kind": "finger gauge", "reads_to": "1/32 in", "checked": "2030-01-05", "due": "2031-01-05"}
READING = {"flange_thickness": "{reads: 1-1/16 in, gauge: G-9}"}


def form(*, person=PERSON, gauge=GAUGE, by="NP"):
    def block(name, values):
        return f'      "{name}": {{{", ".join(f"{key}: {value}" for key, value in values.items())}}}\n'

    return (
        "format: carknocker-form/1\ncar: TSTX 1\nsheets:\n"
        f'  - sheet: "truck B"\n    on: 2030-05-02\n    by: {by}\n    readings:\n{block("wheel L1", READING)}'
        f'  - sheet: "who read, and with what"\n    readings:\n'
        f"{block('person 1', person) if person else ''}{block('gauge 1', gauge) if gauge else ''}"
        "last_line: yes\n"
    )


def put(text, record=None):
    return enter(record or samples.car_text(), "car.yaml", text, "form.yaml", DAY)


def problems(text, record=None):
    with pytest.raises(InputRefused) as caught:
        put(text, record)
    return [one.found for one in caught.value.problems]


def test_who_read_and_with_what_go_on_record_before_the_readings():
    entered = put(form())
    assert entered.held == ()
    car = read_car_text(entered.text, "car.yaml")
    person, gauge = car.people["NP"], car.gauges["G-9"]
    assert (person.role, person.full_name, person.accepted_by, person.until) == ("owner's helper", "Nan Pell", (), None)
    assert (gauge.kind, gauge.checked, gauge.due) == ("finger gauge", date(2030, 1, 5), date(2031, 1, 5))
    [reading] = [one for one in car.evidence if str(one.on) == "2030-05-02"]
    assert (reading.by, reading.gauge, reading.ungauged) == (person, gauge, False)
    assert "people: NP: {role:" in entered.added
    assert "gauges: G-9: {kind: finger gauge" in entered.added


@pytest.mark.parametrize("lacks", ["reads_to", "checked", "due"])
def test_a_gauge_of_which_something_is_not_said_is_refused(lacks):
    gauge = {key: value for key, value in GAUGE.items() if key != lacks}
    found = problems(form(gauge=gauge))
    label = {"reads_to": "reads to", "checked": "last checked", "due": "next check due"}[lacks]
    assert any(f"G-9 without: {label}" in one for one in found)


def test_all_that_a_gauge_lacks_is_told_at_its_own_boxes():
    with pytest.raises(InputRefused) as caught:
        put(form(gauge={**GAUGE, "checked": "", "due": ""}).replace("checked: ,", "checked:\n           ,"))
    told = {one.found: one.where for one in caught.value.problems if "G-9 without" in one.found}
    assert list(told) == ["G-9 without: last checked", "G-9 without: next check due"]
    assert len({where.column for where in told.values()}) == 2


def test_a_gauge_that_needs_no_check_is_complete_without_one():
    gauge = {"name": "R-1", "kind": "rule", "reads_to": "1/16 in"}
    assert "R-1" in read_car_text(put(form(gauge=gauge).replace("G-9}", "G-1}")).text, "car.yaml").gauges


@pytest.mark.parametrize(
    ("person", "said"),
    [
        ({"name": "NP"}, "NP without: role"),
        ({"role": "owner"}, "person 1 without its short name"),
        ({**PERSON, "role": "qualified person"}, "the role `qualified person`"),
        ({**PERSON, "role": "ownr"}, "the role `ownr`"),
        ({**PERSON, "name": "N:P"}, "the short name `N:P`"),
        ({**PERSON, "accepted_by": "Test Host"}, "accepted_by"),
    ],
)
def test_an_incomplete_person_or_a_role_that_others_give_is_refused(person, said):
    assert any(said in one for one in problems(form(person=person)))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"kind": "finger guage"}, "the kind of gauge `finger guage`"),
        ({"due": "2029-01-05"}, "due on 2029-01-05, before its last check"),
        ({"checked": "2030-06-01"}, "2030-06-01, a day that has not come"),
        ({"reads_to": "1 psi"}, "which no finger gauge reads to"),
        ({"reads_to": "fine"}, "`fine`"),
    ],
)
def test_a_gauge_that_can_not_be_is_refused_at_its_field(change, said):
    text = form(gauge={**GAUGE, **change})
    with pytest.raises(InputRefused) as caught:
        put(text)
    [problem] = [one for one in caught.value.problems if said in one.found]
    assert problem.where.line == text[: text.index('"gauge 1"')].count("\n") + 1


def test_another_name_of_a_kind_is_that_kind():
    car = read_car_text(put(form(gauge={**GAUGE, "kind": "wheel gauge"})).text, "car.yaml")
    assert car.gauges["G-9"].kind == "finger gauge"


def test_what_is_on_record_is_never_written_over():
    record = put(form()).text
    later = form(gauge={**GAUGE, "due": "2035-01-05"}, person=None).replace("1-1/16", "1-1/8").replace("05-02", "05-03")
    entered = put(later, record)
    assert [one.sheet.name for one in entered.held] == ["who read, and with what"]
    assert read_car_text(entered.text, "car.yaml").gauges["G-9"].due == date(2031, 1, 5)
    again = form().replace("05-02", "05-03")
    assert put(again, record).held == ()
    assert put(again, record).text.count("G-9: {kind") == 1


def test_a_telephone_is_put_on_record_with_a_person_and_later_where_none_stands():
    number = {**PERSON, "telephone": "555-0142"}
    assert read_car_text(put(form(person=number)).text, "car.yaml").people["NP"].telephone == "555-0142"
    first = put(form()).text
    later = form(person=number).replace("2030-05-02", "2030-05-03")
    told = read_car_text(put(later, first).text, "car.yaml").people["NP"]
    assert (told.role, told.full_name, told.telephone) == ("owner's helper", "Nan Pell", "555-0142")
    other = form(person={**number, "telephone": "555-0199"}).replace("2030-05-02", "2030-05-04")
    held = put(other, put(later, first).text).held
    assert [one.title for one in held] == ["sheet “who read, and with what”"]


def test_a_sheet_of_known_people_is_taken_where_a_new_one_is_held():
    gauge = {key: value for key, value in GAUGE.items() if key != "due"}
    entered = put(form(gauge=gauge, by="RE").replace("gauge: G-9", "gauge: G-1"))
    assert entered.readings == 1
    assert [one.sheet.name for one in entered.held] == ["who read, and with what"]
    tray = tray_text(entered, "TSTX 1").replace("name: G-9", "name: G-9\n        due: 2031-01-05")
    assert read_car_text(put(tray, entered.text).text, "car.yaml").gauges["G-9"].due == date(2031, 1, 5)


def test_every_form_in_text_asks_who_read_and_with_what(tmp_path):
    text = samples.car_text().replace("      body: {fire_extinguishers: 2}\n", "")
    asked = worksheet(samples.answer(samples.yard_in(tmp_path), text))
    for made in (yaml_form(asked), csv_form(asked)):
        assert made.index("who read, and with what") < made.index("fire_extinguishers")
        for key in ("person 1", "gauge 1", "full_name", "reads_to", "checked", "due"):
            assert key in made
        assert "qualified person" not in made
