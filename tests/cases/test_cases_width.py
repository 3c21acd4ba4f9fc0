"""No line of a text page is wider than 80 columns in a pipe, whatever the files are called."""

from datetime import date

import pytest
from case_list import answer, library, names
from pages import text
from typer.testing import CliRunner

from carknocker.cli.inputs import Place, read_both
from carknocker.cli.main import app
from carknocker.cli.output import joined
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.page.model import Bullets, Leaf, Page, Rows, Section, Tree
from carknocker.page.text import text_of
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.page import page_of
from carknocker.questions.compare.page import compare_page
from carknocker.questions.why.ask import why
from carknocker.questions.why.page import why_page
from carknocker.whatif.differences.compare import compare


def too_wide(page):
    return [line for line in page.splitlines() if len(line) > 80]


@pytest.mark.parametrize("name", names())
def test_no_line_of_a_case_is_too_wide(name):
    assert too_wide(text(name)) == []
    assert too_wide(joined([dossier_page(answer(name))])) == []
    assert too_wide(joined([why_page(why(answer(name)))])) == []


def test_no_line_of_a_comparison_is_too_wide():
    page = compare_page(compare(answer("wren-hollow/before"), answer("wren-hollow/after")))
    assert too_wide(joined([page])) == []


@pytest.mark.parametrize("folder", ["n1", "a-folder-with-a-name-of-some-forty-letters", "x" * 120])
def test_no_line_of_the_starter_is_too_wide(tmp_path, folder):
    said = ("mark=QZZX 1", "truck_kind=two-axle", "host=Acme", "train=passenger", "rides=nobody", "from=Here",
            "to=There", "miles=9 mi")  # fmt: skip
    options = [f"--answer={one}" for one in said]
    assert CliRunner().invoke(app, ["new", str(tmp_path / folder), *options]).exit_code == 0
    place = Place(tmp_path / folder, tmp_path)
    car, move = read_both(place, None)
    found = check(car, move, library(), date(2026, 10, 8))
    page = joined([dossier_page(found)])
    assert too_wide(joined([page_of(view_of(found))])) == []
    assert too_wide(page) == []
    assert car.digest in "".join(page.split())
    assert f"{folder}/" not in page.replace("\n", "").replace(" ", "")


def test_a_word_too_long_for_a_line_is_cut_and_nothing_of_it_lost():
    word = "".join(chr(ord("a") + number % 26) for number in range(200))
    page = Page("t", "v", "plain", (
        Section(word, (Rows((("label", word),)), Bullets((f"one {word} two",)), Tree((Leaf(word, (word,)),)))),
    ))  # fmt: skip
    shown = text_of(page)
    assert too_wide(shown) == []
    assert shown.replace("\n", "").replace(" ", "").replace("-", "").count(word) == 5
