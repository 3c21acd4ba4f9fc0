"""The form as an HTML file read back: what each box writes, and what is hostile refused in plain words."""

import json
import re
from base64 import b64encode
from hashlib import sha256

import pytest
import repair_samples as samples
from photograph_samples import with_position

from carknocker.documents import InputRefused, show_problems
from carknocker.forms import form_of
from carknocker.forms.html_form import html_form
from carknocker.questions.enter.ask import enter
from carknocker.questions.enter.html_reader import MOST_BYTES_OF_HTML
from carknocker.record import read_car_text

FLANGE, RIM = ("wheel L1", "flange_thickness"), ("wheel L3", "rim_thickness")


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def bare():
    """A car of whose wheels neither flange nor rim was read."""
    text = samples.car_text()
    return text.replace("flange_thickness: 1 in, rim_thickness: 1-1/4 in, tape_size: 40", "tape_size: 40")


@pytest.fixture(scope="module")
def blank(yard):
    return html_form(form_of(samples.answer(yard, bare())))


def block(text, name):
    mark = f'<script type="application/json" id="{name}">'
    start = text.index(mark) + len(mark)
    return json.loads(text[start : text.index("</script>", start)])


def with_block(text, name, value):
    mark = f'<script type="application/json" id="{name}">'
    start = text.index(mark) + len(mark)
    data = value if isinstance(value, str) else json.dumps(value).replace("<", "\\u003c")
    return text[:start] + data + text[text.index("</script>", start) :]


def told_boxes(blank):
    """The fields of a form, each with what its row says."""
    told = block(blank, "form")
    return [{**told["rows"][box["is"]], **box} for sheet in told["sheets"] for box in sheet["boxes"]]


def filled(blank, values, **heads):
    """values: part and attribute → what was typed. heads: `on_1="…"`; else those of every signed sheet."""
    told = block(blank, "form")
    by_id = {box["id"]: (box["part"], box["attribute"]) for box in told_boxes(blank)}
    entries = {key.replace("_", "-"): text for key, text in heads.items()}
    for number, sheet in enumerate(told["sheets"], start=1):
        boxes = {by_id[one["id"]]: one["id"] for one in sheet["boxes"]}
        own = {boxes[key]: text for key, text in values.items() if key in boxes}
        if own and not heads and sheet["signed"]:
            own |= {f"on-{number}": "2030-05-02", f"by-{number}": "RE"}
        entries |= own
    return with_block(blank, "answers", {"copy": "1", "entries": entries, "photographs": []})


def put(text):
    return enter(bare(), "car.yaml", text, "form.html")


def found(text):
    with pytest.raises(InputRefused) as caught:
        put(text)
    return [problem.found for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("15/16 in", "15/16 in"),
        ("15/16", "15/16 in"),
        ("1-1/16", "1-1/16 in"),
        ("1½", "1½ in"),
        ("0.9375", "0.9375 in"),
        ("27 mm", "27 mm"),
        ("takes at 1", "takes_at: 1 in"),
        ("-", "not accessible (marked so on the form)"),
    ],
)
def test_a_bare_figure_gets_the_unit_of_its_row_and_a_dash_could_not_be_reached(blank, typed, written):
    entered = put(filled(blank, {FLANGE: typed}))
    assert entered.readings == 1
    assert written in entered.added


def test_a_sheet_of_the_form_is_a_sheet_of_the_record(blank):
    entered = put(filled(blank, {FLANGE: "1 in", RIM: "1-1/4"}))
    assert entered.sheets == (("2030-05-02", "RE", 1), ("2030-05-02", "RE", 1))


def test_nothing_typed_is_nothing_entered(blank):
    assert found(blank) == ["a form with nothing filled in"]
    assert found(filled(blank, {FLANGE: "  "})) == ["a form with nothing filled in"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [("seven eighths", "seven eighths"), ("7//8 in", "7//8 in"), ("900 in", "900 in"), ("7/8 psi", "7/8 psi")],
)
def test_a_refusal_names_sheet_row_and_column(blank, typed, said):
    problems = found(filled(blank, {RIM: typed}))
    assert any("sheet “Wheels and truck A”, rim thickness, L3: " in one and said in one for one in problems), problems


def test_a_refusal_says_which_field_of_the_form_it_is_about(blank):
    id_of = {(box["part"], box["attribute"]): box["id"] for box in told_boxes(blank)}
    with pytest.raises(InputRefused) as refused:
        put(filled(blank, {RIM: "one", FLANGE: "900 in"}))
    assert {f"f{one.where.field}" for one in refused.value.problems} == {id_of[RIM], id_of[FLANGE]}
    assert {str(one.where) for one in refused.value.problems} == {"form.html:1:1"}


def test_a_form_is_known_again_by_its_fields(yard, blank):
    other = html_form(form_of(samples.answer(yard, samples.car_text())))
    assert block(blank, "form")["layout"] != block(other, "form")["layout"]
    sends = html_form(form_of(samples.answer(yard, bare())), "/send")
    assert {**block(blank, "form"), "send": "/send"} == block(sends, "form")


def with_photograph(text, **said):
    """The form with one photograph in it."""
    data = f"data:image/jpeg;base64,{b64encode(with_position()).decode()}"
    one = {"sheet": "wheels-B", "part": "wheel L1", "name": "IMG_1.jpg", "on": "2030-05-02", "by": "RE", "data": data,
           "original": ""}  # fmt: skip
    return with_block(text, "answers", {**block(text, "answers"), "photographs": [{**one, **said}]})


def test_a_photograph_taken_before_the_head_was_filled_in_has_the_day_and_the_reader_of_its_sheet(blank):
    entered = put(with_photograph(filled(blank, {FLANGE: "1 in"}), sheet="truck B", on="", by=""))
    assert not [one for one in entered.notes if "Not taken" in one]
    [one] = read_car_text(entered.text, "car.yaml").photographs
    assert (str(one.on), one.by.name) == ("2030-05-02", "RE")
    other = put(with_photograph(filled(blank, {FLANGE: "1 in"}), sheet="truck A", on="", by=""))
    assert any("without `on`" in one for one in other.notes)


def test_a_photograph_in_the_form_is_put_on_record_with_its_readings(blank):
    entered = put(with_photograph(filled(blank, {FLANGE: "1 in"})))
    assert entered.readings == 1
    assert [one.file for one in entered.photographs] == ["wheel-L1-2030-05-02.jpg"]
    assert b"Secret" not in entered.photographs[0].copy
    [one] = read_car_text(entered.text, "car.yaml").photographs
    assert (one.file, one.of, one.sha256) == (entered.photographs[0].file, ("wheel L1",), sha256(
        entered.photographs[0].copy).hexdigest())  # fmt: skip
    assert "photographs:\n  - file: wheel-L1-2030-05-02.jpg" in entered.added


def test_a_form_with_nothing_but_a_photograph_is_taken(blank):
    entered = put(with_photograph(blank))
    assert entered.readings == 0
    assert len(entered.photographs) == 1


def test_a_false_photograph_is_told_of_and_the_readings_are_taken(blank):
    entered = put(with_photograph(filled(blank, {FLANGE: "1 in"}), data="data:image/jpeg;base64,PHN2Zz4="))
    assert entered.readings == 1
    assert entered.photographs == ()
    assert entered.photographs_left == (1,)
    assert [note for note in entered.notes if "no photograph" in note and note.startswith("Not taken: form.html")]


def test_a_photograph_of_a_held_sheet_stays_in_the_form_until_that_is_put_right(blank):
    of_a = {"sheet": "truck A", "part": "wheel L3"}
    wrong = with_photograph(filled(blank, {FLANGE: "1 in", RIM: "one"}), **of_a)
    entered = put(wrong)
    assert entered.photographs == ()
    assert entered.photographs_left == (1,)
    assert "photographs:" not in entered.text
    assert any("its sheet is held" in note for note in entered.notes)
    right = with_photograph(filled(blank, {FLANGE: "1 in", RIM: "1-1/4"}), **of_a)
    again = enter(entered.text, "car.yaml", right, "form.html")
    assert again.readings == 1
    assert again.held == ()  # what is on record already is no sheet to be put right
    assert any("on record already" in note for note in again.notes)
    assert [one.file for one in again.photographs] == ["wheel-L3-2030-05-02.jpg"]


def test_a_photograph_of_a_sheet_that_is_taken_is_taken_beside_a_held_one(blank):
    form = with_photograph(filled(blank, {FLANGE: "1 in", RIM: "one"}), sheet="truck B")
    assert [one.file for one in put(form).photographs] == ["wheel-L1-2030-05-02.jpg"]
    assert put(form).photographs_left == ()


def test_one_sheet_is_held_and_the_other_taken(blank):
    entered = put(filled(blank, {FLANGE: "1 in", RIM: "one"}))
    assert entered.readings == 1
    assert [one.title for one in entered.held] == ["sheet “Wheels and truck A”"]


def test_a_sheet_without_day_or_reader_is_refused(blank):
    for heads in ({"on_1": "2030-05-02"}, {"by_1": "RE"}):
        problems = found(filled(blank, {FLANGE: "1"}, **heads))
        assert any("no day of reading or nobody who read" in one for one in problems)


def test_the_gauge_of_a_tool_goes_with_its_figures_and_is_known_by_its_short_name(blank):
    heads = {"on_1": "2030-05-02", "by_1": "RE", "gauge_1_1": "G-1 (universal gauge)"}
    assert block(blank, "form")["sheets"][0]["gauges"]
    entered = put(filled(blank, {FLANGE: "1 in"}, **heads))
    assert "gauge: G-1\n" in entered.added
    problems = found(filled(blank, {FLANGE: "1 in"}, **(heads | {"gauge_1_1": "G-7"})))
    assert any("G-7" in one for one in problems)


def test_a_person_chosen_from_the_list_is_known_by_the_short_name(blank):
    heads = {"on_1": "2030-05-02", "by_1": f"RE ({role_of('RE')})"}
    assert put(filled(blank, {FLANGE: "1 in"}, **heads)).sheets == (("2030-05-02", "RE", 1),)


def role_of(name):
    from carknocker.record import read_car_text

    return read_car_text(bare(), "car.yaml").people[name].role


def ticked(own=None):
    """A form of one sheet with a tick for two wheels, and what is answered in it besides."""
    boxes = [
        {"id": f"f{number}", "row": 1, "column": wheel, "part": f"wheel {wheel}", "attribute": "thermal_crack",
         "label": "thermal crack", "unit": "", "writes": "reading", "gauge": "", "dimension": "", "marks": []}
        for number, wheel in ((1, "L1"), (2, "R1"))
    ]  # fmt: skip
    sheet = {"name": "truck B", "title": "Wheels and truck B", "gauges": [], "boxes": boxes,
             "ticks": [{"id": "f3", "row": 1, "says": {"f1": "no", "f2": "no"}}]}  # fmt: skip
    told = {"format": "carknocker-html-form/1", "car": "TSTX 1", "sheets": [sheet]}
    entries = {"on-1": "2030-05-02", "by-1": "RE", "f3": "yes"} | (own or {})
    return page(json.dumps(told), json.dumps({"entries": entries, "photographs": []}))


def page(form, answers):
    data = "".join(
        f'<script type="application/json" id="{name}">{text}</script>'
        for name, text in (("form", form), ("answers", answers))
        if text is not None
    )
    return f"<!DOCTYPE html><html><body>{data}</body></html>"


def test_a_tick_says_its_value_of_every_box_without_an_answer_of_its_own():
    said = re.findall(r"thermal_crack: '?(\w+)", put(ticked()).added)
    assert said == ["no", "no"]
    said = re.findall(r"thermal_crack: '?(\w+)", put(ticked({"f2": "yes"})).added)
    assert said == ["no", "yes"]
    assert any("in a box to tick" in one for one in found(ticked({"f3": "maybe"})))
    assert found(ticked({"f3": ""})) == ["a form with nothing filled in"]


def test_a_form_of_another_car_is_refused(blank):
    told = block(blank, "form") | {"car": "TSTX 2"}
    other = with_block(filled(blank, {FLANGE: "1 in"}), "form", told)
    assert found(other) == ["the head of the form: a form for `TSTX 2`, but the record is of TSTX 1"]


HEAD = '{"format":"carknocker-html-form/1","car":"TSTX 1","sheets":[]}'
NONE = '{"entries":{},"photographs":[]}'
BOX = '{"id":"f1","column":"L1","part":"wheel L1","attribute":"x","label":"x","writes":"reading"}'
SHEET = '{"name":"a","title":"a","boxes":[%s],"ticks":[]}'
FORM = '{"format":"carknocker-html-form/1","car":"TSTX 1","sheets":[%s]}'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "a file with no data block `form`"),
        ("<!-- <a <a <a " * 1000, "a file with no data block `answers`"),
        (page(HEAD, None), "a file with no data block `answers`"),
        (page(None, NONE), "a file with no data block `form`"),
        (page(HEAD, NONE) + page(HEAD, NONE), "`form` twice or more"),
        (page(HEAD, NONE), "nothing filled in"),
        (page("[" * 100_000, NONE), "`form` that can't be read"),
        (page(HEAD, '{"entries":{"x":' + "[" * 100_000), "`answers` that can't be read"),
        (page("{}", NONE), "`form` that can't be read"),
        (page("null", NONE), "`form` that can't be read"),
        (page(HEAD.replace("/1", "/9"), NONE), "a form of the format `carknocker-html-form/9`"),
        (page(HEAD, '{"entries":{"f1":12}}'), "`answers` that can't be read"),
        (page(HEAD, '{"entries":["f1"]}'), "`answers` that can't be read"),
        (page(HEAD, '{"entries":{"f1":"1 in"}}'), "a box that the form does not have (`f1`)"),
        (page(FORM % (SHEET % f"{BOX},{BOX}"), NONE), "a box or a sheet twice"),
        (page(FORM % ",".join([SHEET % ""] * 2), NONE), "a box or a sheet twice"),
        (page(FORM % (SHEET % BOX.replace('"L1"', "7")), NONE), "`form` that can't be read"),
        (page(FORM % (SHEET % BOX.replace("wheel", "wheeel")), '{"entries":{"f1":"1"}}'), "the part `wheeel L1`"),
        ("<br>" * 400_001, "no such form"),
        (page(HEAD, NONE) + " " * MOST_BYTES_OF_HTML, "characters"),
    ],
    ids=lambda value: value[:40],
)  # fmt: skip
def test_a_hostile_file_is_refused_in_plain_words(text, said):
    assert any(said in one for one in found(text)), found(text)


def test_scripts_in_texts_are_only_texts(blank):
    words = "</script><script>alert(1)</script>\x1b[31m"
    told = block(blank, "form")
    told["sheets"][0]["title"] = words
    text = with_block(filled(blank, {FLANGE: words}), "form", told)
    with pytest.raises(InputRefused) as caught:
        put(text)
    shown = show_problems(caught.value.problems)
    assert "alert(1)" in shown
    assert "\x1b" not in shown


EVENT = "events:\n  - {id: E-9, on: 2030-05-02, happened: derailment, at: truck B}\n"


@pytest.mark.parametrize(
    ("taken", "event", "written"),
    [("yes", True, True), ("no", True, False), ("", True, False), ("yes", False, False)],
)
def test_a_sheet_says_whether_it_was_read_after_what_happened_that_day(blank, taken, event, written):
    said = filled(blank, {FLANGE: "1 in"}, on_1="2030-05-02", by_1="RE", taken_1=taken)
    entered = enter(bare() + (EVENT if event else ""), "car.yaml", said, "form.html")
    assert ("taken: after the events of the day" in entered.added) == written
    assert any("no job or event of 2030-05-02 is on record" in one for one in entered.notes) == (
        taken == "yes" and not event
    )


def test_another_answer_to_when_it_was_read_is_refused(blank):
    said = filled(blank, {FLANGE: "1 in"}, on_1="2030-05-02", by_1="RE", taken_1="perhaps")
    assert any("perhaps" in one for one in found(said))


def with_sure(blank, typed, sure):
    """The flange of L1 as typed, and what stands in the field under it."""
    text = filled(blank, {FLANGE: typed})
    (field,) = [box["id"] for box in told_boxes(blank) if (box["part"], box["attribute"]) == FLANGE]
    answers = block(text, "answers")
    return with_block(text, "answers", {**answers, "entries": {**answers["entries"], f"sure-{field}": sure}})


def test_a_figure_that_can_hardly_be_is_taken_with_how_it_was_made_sure(blank):
    """A flange is from 1/8 in to 1-3/4 in thick."""
    with pytest.raises(InputRefused) as caught:
        put(with_sure(blank, "1-13/16", ""))
    (problem,) = caught.value.problems
    assert problem.found.startswith("sheet “Wheels and truck B”, flange thickness, L1: ")
    assert (
        problem.remedy == "look again; if it is so, say how it was made sure in the field that shows under the figure"
    )
    added = put(with_sure(blank, "1-13/16", "both of us read it")).added
    assert "flange_thickness: {reads: 1-13/16 in, sure: both of us read it}" in added


@pytest.mark.parametrize("typed", ["", " "])
def test_how_it_was_made_sure_without_a_figure_is_refused(blank, typed):
    assert any("how it was made sure, but no figure" in one for one in found(with_sure(blank, typed, "read twice")))
