"""The form as one file, in Chromium, without a network."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from form_samples import copy_of, flange, form, none_on_any, opened
from msgspec.structs import replace

from carknocker.documents import ProblemList
from carknocker.forms.model import Box, Column, Condition, Form, Grid, Limit, Row, Said, Sheet, Tick
from carknocker.quantities import DIMENSIONS
from carknocker.questions.enter.html_reader import read_html
from carknocker.record.values import Count, Figure
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.clauses import Comparison, Fixed

pytestmark = pytest.mark.browser
OVER = Limit("over 7/8 in", "49 CFR 229.75", "law", (), "over", Fraction(7, 8))
FIELD, WORDS = "#f1", "#past-f1"


@pytest.fixture
def context(browser: Any) -> Iterator[Any]:
    """A phone without a network."""
    made = browser.new_context(
        viewport={"width": 390, "height": 844}, offline=True, has_touch=True, is_mobile=True, accept_downloads=True
    )
    yield made
    made.close()


@pytest.mark.parametrize(("typed", "words"), [
    ("7/8 in", "Past the limit: must be over 7/8 in"), ("57/64", ""), ("57/64 in", ""), ('7/8"', "Past the limit"),
    ("1-1/8 in", ""), ("1 1/8 in", ""), ("0.875", "Past the limit"), (".8751 in", ""), ("22 mm", "Past the limit"),
    ("23 mm", ""), ("0 ft 7/8 in", "Past the limit"), ("1 ft 1/8 in", ""), ("⅞ in", "Past the limit"), ("1½", ""),
    ("0,9 in", "Not read as a figure"), ("7//8", "Not read as a figure"), ("thin", "Not read as a figure"),
    ("7/0 in", "Not read as a figure"), ("-", ""), ("", ""), ("over 1 in", ""), ("does not take at 7/8", ""),
    ("over thin", "Not read as a figure"), ("overly 1 in", "Not read as a figure"),
])  # fmt: skip
def test_a_figure_past_a_limit_is_marked_and_none_is_called_good(
    context: Any, tmp_path: Path, typed: str, words: str
) -> None:
    """22 mm is 0.866 in and 23 mm 0.906 in, by the inch of 25.4 mm."""
    page = opened(context, tmp_path, form(flange(OVER)))
    page.fill(FIELD, typed)
    said = page.locator(WORDS).inner_text()
    assert said.startswith(words) if words else not said
    assert ("is-past" in (page.locator(FIELD).get_attribute("class") or "")) == words.startswith("Past")
    for good in ("good", "passes", " ok", "met"):
        assert good not in page.locator(".row").inner_text().casefold()


@pytest.mark.parametrize(("typed", "words"), [
    ("before 90 psi after 88 psi minutes 1", ""), ("before 90 psi, after 88 psi, minutes 1", ""), ("5", ""),
    ("6", "Past the limit: must be at most 5 psi/min"), ("before 90 psi after 88 psi", "Not read as a figure"),
])  # fmt: skip
def test_a_drop_of_pressure_is_no_unread_figure(context: Any, tmp_path: Path, typed: str, words: str) -> None:
    most = Limit("at most 5 psi/min", "49 CFR 238.313(g)(7)", "law", (), "at_most", Fraction(5))
    row = Row(1, "brake system", "brake_pipe_leakage", "brake pipe leakage", "figure", "decides now", "reading",
              unit="psi/min", limits=(most,))  # fmt: skip
    box = Box(1, "car", "brake system", "brake_pipe_leakage", "decides now")
    page = opened(context, tmp_path, form(Grid("The car as a whole", (Column("car"),), (row,), (box,))))
    page.fill(FIELD, typed)
    said = page.locator(WORDS).inner_text()
    assert said.startswith(words) if words else not said


def test_every_boundary_example_of_a_fixed_limit_reads_as_the_edition_says(context: Any, tmp_path: Path) -> None:
    library = load_library(rulesets_folders(), with_examples=True)
    rows: list[tuple[Row, Box]] = []
    expected: list[tuple[str, str, bool]] = []
    for edition in (library.edition(head.ruleset, head.name) for heads in library.heads.values() for head in heads):
        for criterion in edition.criteria:
            must = criterion.must
            if not isinstance(must, Comparison) or not isinstance(must.limit, Fixed) or must.path.owner:
                continue
            amount = amount_of(must.limit.values[0])
            attribute = must.path.attribute
            if amount is None or must.word not in ("at_least", "over", "at_most", "under"):
                continue
            for example in criterion.examples:
                value = amount_of(example.given.get(attribute.name))
                if value is None or example.verdict not in ("met", "breached"):
                    continue
                number = len(rows) + 1
                unit = DIMENSIONS[attribute.type].base if attribute.type in DIMENSIONS else ""
                limit = Limit(criterion.title, criterion.id, "law", (), must.word, amount)
                box = "length" if attribute.type == "length" else "figure" if unit else "number"
                row = Row(number, attribute.kind, attribute.name, criterion.id, box, "decides now", "reading",
                          unit=unit, limits=(limit,))  # fmt: skip
                rows.append((row, Box(number, "car", attribute.kind, attribute.name, "decides now")))
                sign = "-" if value < 0 else ""
                written = f"{sign}{abs(value.numerator)}" + (f"/{value.denominator}" if value.denominator != 1 else "")
                expected.append((criterion.id, f"{written} {unit}".strip(), example.verdict == "breached"))
    assert len(expected) > 150
    grid = Grid("All", (Column("car"),), tuple(row for row, _ in rows), tuple(box for _, box in rows))
    page = opened(context, tmp_path, form(grid))
    found = []
    for number, (name, written, _) in enumerate(expected, start=1):
        page.evaluate(
            "([id, text]) => { const one = document.getElementById(id); one.value = text;"
            " one.dispatchEvent(new Event('input')); }",
            [f"f{number}", written],
        )
        words = page.locator(f"#past-f{number}").text_content()
        assert not words.startswith("Not read"), (name, written)
        found.append((name, written, words.startswith("Past")))
    assert found == expected


def amount_of(value: object) -> Fraction | None:
    if isinstance(value, Figure):
        return Fraction(value.quantity.amount)
    return Fraction(value.number) if isinstance(value, Count) else None


def test_what_was_typed_stands_after_a_reload_and_in_a_copy_elsewhere(
    context: Any, browser: Any, tmp_path: Path
) -> None:
    page = opened(context, tmp_path, form(flange(OVER), none_on_any()))
    reports: list[str] = []
    page.on("pageerror", lambda error: reports.append(str(error)))
    page.fill(FIELD, "15/16 in")
    page.locator("[data-tick]").check()
    page.locator("[data-head=by]").fill('<b>"HM" & co</b></script>')
    page.reload()
    assert page.locator(FIELD).input_value() == "15/16 in"
    assert page.locator("[data-tick]").is_checked()
    copy = copy_of(page, tmp_path / "copy.html")
    elsewhere = browser.new_context(offline=True, accept_downloads=True)
    other = elsewhere.new_page()
    other.on("console", lambda message: reports.append(message.text))
    other.goto(copy.as_uri())
    assert other.locator(FIELD).input_value() == "15/16 in"
    assert other.locator("[data-head=by]").input_value() == '<b>"HM" & co</b></script>'
    other.fill(FIELD, "7/8 in")
    again = copy_of(other, tmp_path / "again.html")
    third = elsewhere.new_page()
    third.goto(again.as_uri())
    assert third.locator(FIELD).input_value() == "7/8 in"
    assert third.locator(WORDS).inner_text().startswith("Past the limit")
    assert reports == []
    elsewhere.close()


def test_what_was_taken_out_stays_out(context: Any, tmp_path: Path) -> None:
    page = opened(context, tmp_path, form(flange(OVER)))
    page.fill(FIELD, "15/16 in")
    copy = copy_of(page, tmp_path / "copy.html")
    page.goto(copy.as_uri())
    page.fill(FIELD, "")
    page.reload()
    assert page.locator(FIELD).input_value() == ""


REFUSED = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
FULL = """const put = Storage.prototype.setItem;
Storage.prototype.setItem = function (key, value) {
  if (value.length > 1) throw new DOMException('full', 'QuotaExceededError');
  put.call(this, key, value);
};"""


@pytest.mark.parametrize(("script", "words"), [(REFUSED, "keeps nothing"), (FULL, "has no room left")])
def test_where_the_browser_keeps_nothing_the_form_says_so_and_loses_nothing(
    context: Any, tmp_path: Path, script: str, words: str
) -> None:
    context.add_init_script(script)
    page = opened(context, tmp_path, form(flange(OVER)))
    page.fill(FIELD, "15/16 in")
    assert words in page.locator("#keeps").inner_text()
    page.goto(copy_of(page, tmp_path / "copy.html").as_uri())
    assert page.locator(FIELD).input_value() == "15/16 in"


def test_two_windows_with_one_form_do_not_undo_each_other(context: Any, tmp_path: Path) -> None:
    one = opened(context, tmp_path, form(flange(OVER)))
    other = opened(context, tmp_path, form(flange(OVER)))
    one.fill("#f1", "1 in")
    other.fill("#f2", "1-1/16 in")
    one.locator("#says", has_text="another window").wait_for()
    assert one.locator("#f2").input_value() == "1-1/16 in"
    one.reload()
    assert (one.locator("#f1").input_value(), one.locator("#f2").input_value()) == ("1 in", "1-1/16 in")


def test_two_cars_on_one_phone_keep_apart(context: Any, tmp_path: Path) -> None:
    opened(context, tmp_path, form(flange(OVER)), "one.html").fill(FIELD, "1 in")
    page = opened(context, tmp_path, replace(form(flange(OVER), mark="TSTX 2"), digest="1" * 64), "two.html")
    assert page.locator(FIELD).input_value() == ""


def test_keys_for_fractions_write_into_the_box(context: Any, tmp_path: Path) -> None:
    page = opened(context, tmp_path, form(flange(OVER)))
    page.locator(FIELD).tap()
    for key in ("1", "-", "3", "/16"):
        page.locator("#keypad button", has_text=key).get_by_text(key, exact=True).tap()
    assert page.locator(FIELD).input_value() == "1-3/16"
    page.get_by_role("button", name="take one character out").tap()
    assert page.locator(FIELD).input_value() == "1-3/1"


def test_gauge_and_reader_are_chosen_once(context: Any, tmp_path: Path) -> None:
    made = form(flange(OVER))
    truck_a = replace(made.sheets[0], name="truck A", title="Wheels and truck A")
    page = opened(context, tmp_path, replace(made, sheets=(*made.sheets, truck_a)))
    page.locator("#by-1").fill("HM")
    page.locator("#gauge-1-1").fill("G-1")
    page.locator(FIELD).focus()
    assert page.locator("#by-2").input_value() == "HM"
    assert page.locator("#gauge-2-1").input_value() == "G-1"


@pytest.mark.parametrize(("typed", "shown"), [
    ("1/8 in", False), ("1-3/4", False), ("45 mm", True), ("1-49/64 in", True), ("7/64", True), ("thick", False),
    ("-", False), ("", False),
])  # fmt: skip
def test_a_figure_that_can_hardly_be_asks_at_once_how_it_was_made_sure(
    context: Any, tmp_path: Path, typed: str, shown: bool
) -> None:
    """A flange is from 1/8 in to 1-3/4 in (44.45 mm) thick. The answer goes when the figure is put right."""
    page = opened(context, tmp_path, form(flange(OVER)))
    sure = page.locator("#sure-f1")
    assert not sure.is_visible()
    page.fill(FIELD, typed)
    assert sure.is_visible() == shown
    if shown:
        assert "1/8 in to 1-3/4 in is possible" in page.locator("#outside-f1").inner_text()
        sure.fill("read twice")
        page.goto(copy_of(page, tmp_path / "copy.html").as_uri())
        assert sure.input_value() == "read twice"
        page.fill(FIELD, "1 in")
        assert not sure.is_visible()
        page.fill(FIELD, typed)
        assert sure.input_value() == ""


OF_THE_TEST_HALL = {
    "flange_thickness": ("wheel", "wheel L1", "reading", "in"), "gross_weight": ("car", "car", "reading", "lb"),
    "running_temperature": ("bearing", "bearing L1", "reading", "°F"),
    "insulation_resistance": ("head-end power", "head-end power", "reading", "megohm"),
    "cut": ("job", "job 1", "entry", "in"),
}  # fmt: skip
"""Attribute → its kind, what a form calls the part or entry, what it writes, the unit of its row."""


@pytest.mark.parametrize(("attribute", "typed", "doubted"), [
    ("flange_thickness", "1,125", "1.125 in"), ("flange_thickness", "1,125 in", "1.125 in"),
    ("flange_thickness", "over 1,125", "1.125 in"), ("flange_thickness", "22,225 mm", "22.225 mm"),
    ("flange_thickness", "1.125", ""), ("flange_thickness", "1125", ""), ("flange_thickness", "45,125", ""),
    ("flange_thickness", "0,625", ""), ("flange_thickness", "1,125,000", ""),
    ("gross_weight", "171,400", ""), ("gross_weight", "171,400 lb", ""), ("running_temperature", "1,125", "1.125 °F"),
    ("insulation_resistance", "1,125", "1.125 megohm"), ("cut", "1,125", "1.125 in"), ("cut", "1/8", ""),
])  # fmt: skip
def test_a_comma_that_may_be_a_point_is_asked_for_in_the_words_in_which_it_is_refused(
    context: Any, tmp_path: Path, attribute: str, typed: str, doubted: str
) -> None:
    """The form says at once what the reader of its copy says, and offers no place for how it was made sure. Inches and
    millimeters by the inch of 25.4 mm; that a comma may be a decimal one is common practice, no source."""
    kind, part, writes, unit = OF_THE_TEST_HALL[attribute]
    row = Row(1, kind, attribute, attribute, "figure", "decides now", writes, unit=unit)
    page = opened(context, tmp_path, form(
        Grid("As read", (Column("one"),), (row,), (Box(1, "one", part, attribute, "decides now"),))
    ))  # fmt: skip
    page.fill(FIELD, typed)
    said = page.locator(WORDS).inner_text()
    sure = page.locator("#outside-f1")
    page.locator("#on-1").fill("2031-05-01")
    page.locator("#by-1").fill("HM (owner)")
    problems = ProblemList()
    read = read_html(copy_of(page, tmp_path / "copy.html").read_text("utf-8"), "copy.html", problems)
    assert read is not None
    assert read.sheets[0].problems is not None
    refused = [(one.found.partition(": ")[2], one.expected) for one in read.sheets[0].problems.problems]
    assert said == "".join(f"Found {found}. Expected {expected}." for found, expected in refused)
    assert (f"`{doubted}`, or `" in said) == bool(doubted) == ("a comma may mean a point or thousands" in said)
    if doubted and writes == "reading":
        assert not sure.is_visible()


def test_each_sheet_says_itself_whether_it_was_read_after_an_event(context: Any, tmp_path: Path) -> None:
    made = form(flange(OVER))
    page = opened(context, tmp_path, replace(made, sheets=(*made.sheets, replace(made.sheets[0], name="truck A"))))
    page.locator("#taken-1").select_option("yes")
    page.goto(copy_of(page, tmp_path / "copy.html").as_uri())
    assert (page.locator("#taken-1").input_value(), page.locator("#taken-2").input_value()) == ("yes", "")


def test_without_scripts_a_plain_sentence_shows_the_way_on(browser: Any, tmp_path: Path) -> None:
    context = browser.new_context(java_script_enabled=False, offline=True)
    page = opened(context, tmp_path, form(flange(OVER)))
    assert "does not run here" in page.locator("#no-script").inner_text()
    assert not page.locator(FIELD).is_visible()
    context.close()


def test_a_photograph_is_made_small_and_rides_in_the_copy(context: Any, tmp_path: Path) -> None:
    from PIL import Image

    picture = tmp_path / "flange.jpg"
    Image.new("RGB", (4000, 3000), "gray").save(picture, exif=b"Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x00")
    page = opened(context, tmp_path, form(flange(OVER)))
    page.locator("[data-photograph]").set_input_files(picture)
    page.wait_for_selector("[data-photographs] img")
    assert page.evaluate("localStorage.length") == 0
    copy = copy_of(page, tmp_path / "copy.html")
    page.goto(copy.as_uri())
    shown = page.locator("[data-photographs] img")
    shown.wait_for()
    assert shown.evaluate("one => [one.naturalWidth, one.naturalHeight]") == [1600, 1200]
    (tmp_path / "false.jpg").write_text("no picture")
    page.locator("[data-photograph]").set_input_files(tmp_path / "false.jpg")
    page.locator("#says", has_text="no picture").wait_for()


def test_it_asks_nobody_for_anything(context: Any, tmp_path: Path) -> None:
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    file = tmp_path / "form.html"
    opened(context, tmp_path, form(flange(OVER), none_on_any())).close()
    page.goto(file.as_uri())
    page.fill(FIELD, "1 in")
    assert asked == [file.as_uri()]


def test_no_barrier_is_found(context: Any, tmp_path: Path) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = opened(context, tmp_path, form(flange(OVER), none_on_any()))
    page.fill(FIELD, "1/2 in")
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == []


def with_condition(*, near: bool) -> Form:
    """A kind of spring, and what is wanted only of a coil spring: a figure, and a tick of two springs."""
    kind = Row(1, "spring", "spring_kind", "kind of spring", "word", "decides now", "description", ("coil", "elliptic"))
    height = Row(2, "spring", "height", "height", "length", "decides now", "reading", unit="in")
    springs = ("1", "2")
    coil = {one: (Condition(f"spring {one}", "spring_kind", ("coil",)),) for one in springs}
    kinds = tuple(Box(1, one, f"spring {one}", "spring_kind", "decides now") for one in springs)
    heights = tuple(Box(2, one, f"spring {one}", "height", "decides now", (), coil[one]) for one in springs)
    said = Said(Row(3, "spring", "coil_broken", "coil broken", "word", "decides now", "reading", ("yes", "no")), "no")
    broken = tuple(Box(3, one, f"spring {one}", "coil_broken", "decides now", (), coil[one]) for one in springs)
    columns = tuple(Column(one) for one in springs)
    about = Grid("Kinds", columns, (kind,), kinds)
    wanted = (Grid("Springs", columns, (height,), heights), Tick(3, "None on any spring", "spring", (said,), broken))
    if near:
        return form(about, *wanted)
    made = form(*wanted)
    return replace(made, sheets=(*made.sheets, Sheet("body", "Body", (about,))))


def shown(page: Any, *ids: str) -> list[bool]:
    return [page.locator(f"#{one}").is_visible() for one in ids]


def test_what_is_wanted_only_where_something_is_so_stands_folded_until_it_is(context: Any, tmp_path: Path) -> None:
    """f1, f2: the kinds of two springs; f3, f4: their heights; f7: the tick of both."""
    page = opened(context, tmp_path, with_condition(near=True))
    assert shown(page, "f1", "f3", "f4", "f7") == [True, False, False, False]
    page.locator("#f1").select_option("coil")
    assert shown(page, "f3", "f4", "f7") == [True, False, True]
    page.fill("#f3", "7-1/2")
    page.locator("#f1").select_option("elliptic")
    assert shown(page, "f3", "f7") == [True, False]  # nothing that was typed is folded
    page.fill("#f3", "")
    assert shown(page, "f3") == [False]
    page.locator("#f1").select_option("coil")
    page.locator("#f7").check()
    page.locator("#f2").select_option("elliptic")
    copy = copy_of(page, tmp_path / "copy.html").read_text(encoding="utf-8")
    read = read_html(copy, "copy.html", ProblemList())
    assert read is not None
    (sheet,) = read.sheets
    assert sheet.readings["springs"] == {"1": {"coil_broken": "no"}}  # of the other the tick says nothing


def test_what_hangs_on_another_sheet_is_shown_until_that_says_otherwise(context: Any, tmp_path: Path) -> None:
    """f1, f2: heights; f3, f4: exceptions to the tick f5; f6, f7: the kinds, on the second sheet."""
    page = opened(context, tmp_path, with_condition(near=False))
    assert shown(page, "f1", "f2", "f5") == [True, True, True]
    page.locator("#f6").select_option("elliptic")
    assert shown(page, "f1", "f2", "f5") == [False, True, True]
    page.locator("#f7").select_option("elliptic")
    assert shown(page, "f1", "f2", "f5") == [False, False, False]
    page.locator("#f7").select_option("coil")
    assert shown(page, "f1", "f2", "f5") == [False, True, True]


def test_a_day_typed_key_by_key_stands_whole_on_every_sheet(context: Any, tmp_path: Path) -> None:
    made = form(flange(OVER))
    two = replace(made, sheets=(*made.sheets, replace(made.sheets[0], name="truck A", title="Wheels and truck A")))
    page = opened(context, tmp_path, two)
    page.locator("#on-1").focus()
    page.keyboard.type("11302026", delay=30)
    page.locator("#by-1").focus()
    assert page.input_value("#on-1") == "2026-11-30"
    assert page.input_value("#on-2") == "2026-11-30"
