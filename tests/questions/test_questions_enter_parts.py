"""What a form says of parts and of the move, written into their texts; what contradicts them is held."""

import json

import pytest
import repair_samples as samples

from carknocker.documents import InputRefused
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.tray import tray_text
from carknocker.record import read_car_text, read_move_text

HEAD = {"on-1": "2030-05-02", "by-1": "RE"}


def form(*answers, sheets=None):
    """A form of one sheet in which each box of `part`, `attribute`, what was typed is filled in."""
    sheets = sheets or [answers]
    told, entries = [], {}
    for number, own in enumerate(sheets, start=1):
        boxes = []
        for part, attribute, typed in own:
            name = f"f{len(entries) + 1}"
            column = part.rpartition(" ")[2]
            boxes.append({"id": name, "column": column, "part": part, "attribute": attribute,
                          "label": attribute.replace("_", " "), "unit": "", "gauge": ""})  # fmt: skip
            entries[name] = typed
        told.append({"name": f"s{number}", "title": f"Sheet {number}", "gauges": [], "boxes": boxes, "ticks": []})
        entries |= {f"on-{number}": "2030-05-02", f"by-{number}": "RE"}
    data = {"format": "carknocker-html-form/1", "car": "TSTX 1", "sheets": told}
    blocks = (("form", data), ("answers", {"entries": entries, "photographs": []}))
    return "".join(f'<script type="application/json" id="{name}">{json.dumps(one)}</script>' for name, one in blocks)


def put(*answers, record=None, move=samples.MOVE, sheets=None):
    text = samples.car_text() if record is None else record
    given = None if move is None else (move, "move.yaml")
    return enter(text, "car.yaml", form(*answers, sheets=sheets), "form.html", None, given)


def found(*answers, **given):
    with pytest.raises(InputRefused) as caught:
        put(*answers, **given)
    return [problem.found for problem in caught.value.problems]


def said(entered, key, attribute):
    record = read_car_text(entered.text, "car.yaml")
    (one,) = record.by_part[key][attribute]
    return one.value


def test_a_description_goes_into_its_part_and_every_other_letter_stays():
    entered = put(("truck A", "frame", "one-piece cast"))
    assert said(entered, "truck A", "frame").text == "one-piece cast"
    assert entered.added == "trucks.A.frame: one-piece cast\n"
    without = entered.text.replace(", frame: one-piece cast", "")
    assert without == samples.car_text()
    assert "# not restored yet" in entered.text


def test_a_not_known_gives_way_to_a_description():
    record = samples.car_text().replace("truck_kind: two-axle\n", "truck_kind: two-axle\n    frame: not known  # ask\n")
    entered = put(("truck B", "frame", "one-piece cast"), record=record)
    assert "    frame: one-piece cast  # ask\n" in entered.text


def test_words_of_a_list_are_apart():
    entered = put(("truck A", "connections_to_body", "air hose, ground strap"))
    assert "connections_to_body: [air hose, ground strap]" in entered.text


def test_what_contradicts_a_description_is_held_and_what_agrees_is_left():
    problems = found(("truck A", "takes_axle_class", "E"))
    assert any(
        "sheet “Sheet 1”, takes axle class, A: `takes_axle_class: E`, where the text says `D`" in one
        for one in problems
    )
    assert found(("truck A", "takes_axle_class", "D")) == [
        "sheet “Sheet 1”: every reading of the sheet is on record already, of the same day"
    ]


def test_a_sheet_that_contradicts_is_held_whole_and_the_other_taken():
    wrong = (("truck A", "takes_axle_class", "E"), ("body", "fire_extinguishers", "3"))
    entered = put(sheets=[wrong, (("truck B", "frame", "one-piece cast"),)])
    assert [one.title for one in entered.held] == ["sheet “Sheet 1”"]
    assert "fire_extinguishers: '3'" not in entered.text
    assert said(entered, "truck B", "frame").text == "one-piece cast"


def test_a_held_description_stands_in_the_tray_and_is_entered_from_there():
    wrong = (("truck A", "takes_axle_class", "E"), ("body", "fire_extinguishers", "3"))
    entered = put(sheets=[wrong, (("truck B", "frame", "one-piece cast"),)])
    tray = tray_text(entered, "TSTX 1")
    assert "takes_axle_class: E" in tray
    again = enter(entered.text, "car.yaml", tray.replace("takes_axle_class: E", "frame: one-piece cast"), "held.yaml")
    assert said(again, "truck A", "frame").text == "one-piece cast"


@pytest.mark.parametrize(
    ("part", "attribute", "typed", "words"),
    [
        ("truck A", "frame", "papier mâché", "sheet “Sheet 1”, frame, A: "),
        ("truck A", "takes_journal_centers", "77 psi", "77 psi"),
        ("end C", "end_kind", "vestibuled", "end C, which is not on record"),
        ("wheelset W-2", "axle_length", "7 ft", "in several places"),
    ],
)
def test_a_description_that_can_not_be_written_is_refused_at_its_place(part, attribute, typed, words):
    problems = found((part, attribute, typed))
    assert any(words in one and "Sheet 1" in one for one in problems), problems


def test_a_statement_goes_into_the_move():
    entered = put(("move", "requested_on", "2030-05-01"), ("leg 1", "track_class", "3"))
    move = read_move_text(entered.move, "move.yaml")
    assert move.facts["requested_on"].written == "2030-05-01"
    assert "track_class" in move.legs[0].facts
    assert entered.text == samples.car_text()
    assert "the move, move.requested_on: 2030-05-01" in entered.added


def test_a_statement_that_contradicts_the_move_or_has_none_is_refused():
    problems = found(("train", "place", "front"))
    assert any("`place: front`, where the text says `rear`" in one for one in problems)
    assert any("no move beside the record" in one for one in found(("train", "place", "rear"), move=None))


NEW = "new spring (bolster springs) of truck B"


def test_new_parts_become_parts_of_the_record_with_their_number():
    entered = put(("truck B", "bolster_springs", "4"), (NEW, "spring_kind", "coil"), (NEW, "compressed_solid", "no"))
    record = read_car_text(entered.text, "car.yaml")
    springs = [part for part in record.parts if part.kind == "spring"]
    assert [part.container for part in springs] == ["truck B"] * 4
    for part in springs:
        own = record.by_part[part.key]
        assert own["spring_kind"][0].value.text == "coil"
        assert own["spring_place"][0].value.text == "bolster"
        assert own["compressed_solid"][0].on.isoformat() == "2030-05-02"
    assert "springs: 4 bolster springs (1, 2, 3, 4)" in entered.added


def test_only_those_that_the_record_does_not_list_are_new():
    record = put(("truck B", "bolster_springs", "2")).text
    entered = put(
        ("truck B", "bolster_springs", "4"), (NEW, "spring_kind", "coil"), record=record.replace("05-02", "05-01")
    )
    assert "(3, 4)" in entered.added


def test_no_new_parts_without_their_number():
    assert any("how many bolster springs there are is not said" in one for one in found((NEW, "spring_kind", "coil")))
    entered = put(("truck B", "equalizer_springs", "none fitted"),
                  ("new spring (equalizer springs) of truck B", "compressed_solid", "no"))  # fmt: skip
    assert "springs:" not in entered.text.replace("equalizer_springs:", "")


def test_more_new_parts_than_any_car_has_are_refused():
    for number in ("201", "99999999999"):
        assert found(("truck B", "bolster_springs", number))
