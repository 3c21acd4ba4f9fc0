"""The PDF as a file: tagged, the same bytes each time, one typeface, nothing from outside, and plain words where it
can't be made."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace
from pdf_samples import faults, opened, sheets, tags, typefaces
from test_page_writing_html import WHOLE
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.page.model import Drawing, Page, Section
from carknocker.page.pdf import typeface, writer
from carknocker.page.pdf.typeface import FAMILY
from carknocker.page.pdf.writer import NoPdf, pdf_of, typeset

ROOT = Path(__file__).resolve().parents[2]
HEAD = '#set document(title: "t", date: none)\n#set text(font: "Source Sans Pro", fallback: false, region: "US")\n= H\n'


@pytest.fixture(scope="module")
def whole() -> bytes:
    return pdf_of([WHOLE])


def test_it_is_tagged_in_order(whole):
    assert faults(whole) == []
    tree = tags(whole)
    names = [one.name for one in tree.all()]
    assert names.count("Table") == 1
    assert names.count("Figure") == 3
    assert [one.title for one in tree.all() if one.name in ("H1", "H2", "H3")] == [
        "QWHX 27 Wren Hollow", "The move", "What keeps this car from moving", "1 Wheel R5", "Every criterion", "Drawn",
        "Why", "To fill in", "The move",
    ]  # fmt: skip
    assert [one.alt for one in tree.all() if one.name == "Figure"] == ["Shown 0.", "Shown 1.", "Shown 2."]


def test_the_paper_fits_a4_and_letter(whole):
    document = opened(whole)
    for sheet in document.pages:
        across, down = (float(side) / 72 * 25.4 for side in sheet.mediabox[2:])
        assert (round(across), round(down)) == (210, 279)


def test_each_sheet_says_what_it_is_and_its_number():
    long = Section("More", tuple(WHOLE.sections[0].blocks) * 60)
    texts = sheets(pdf_of([replace(WHOLE, sections=(*WHOLE.sections, long)), Page("Second", "V", "plain", ())]))
    assert len(texts) >= 3
    for number, text in enumerate(texts, start=1):
        assert f"sheet {number} of {len(texts)}" in text
        assert "An aid to qualified people" in text
    assert all("QWHX 27 Wren Hollow" in text and "NOT READY" in text for text in texts[:-1])
    assert "Second" in texts[-1]
    assert "Wren Hollow" not in texts[-1]


def test_the_foot_is_that_of_a_printed_html_page():
    style = (ROOT / "engine/carknocker/page/shell/print.css").read_text(encoding="utf-8")
    assert "An aid to qualified people; the host decides, and a signature is a person\\2019s." in style
    assert "An aid to qualified people; the host decides, and a signature is a person’s." in sheets(pdf_of([WHOLE]))[0]


def test_only_the_packaged_typeface_is_in_it(whole):
    assert typefaces(whole) == {
        "SourceSansPro-Regular",
        "SourceSansPro-Semibold",
        "SourceSansPro-Bold",
        "SourceSansPro-Black",
    }


def test_a_drawing_is_set_in_the_same_typeface():
    words = '<text y="9" font-family="Source Sans Pro, Arial">wide 3/16</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 20">{words}</svg>'
    drawing = Drawing("d", "t", "words", svg, 90, 20)
    pdf = pdf_of([Page("T", "V", "plain", (Section("S", (drawing,)),))])
    assert "wide 3⁄16" in sheets(pdf)[0]
    assert {name.partition("-")[0] for name in typefaces(pdf)} == {"SourceSansPro"}


def test_drawings_name_the_typeface_first():
    from carknocker.page.drawings.canvas import FONT

    assert FONT.split(", ")[0] == FAMILY


def test_the_same_bytes_in_another_process_folder_and_time(whole, tmp_path):
    program = (
        "import hashlib, sys; sys.path[:0] = sys.argv[1:]\n"
        "from carknocker.page.pdf.writer import pdf_of\nfrom test_page_writing_html import WHOLE\n"
        "print(hashlib.sha256(pdf_of([WHOLE])).hexdigest())"
    )
    surroundings = {**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "SOURCE_DATE_EPOCH": "1700000000"}
    answer = subprocess.run(
        [sys.executable, "-c", program, *sys.path], cwd=tmp_path, env=surroundings, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    assert answer.stdout.strip() == hashlib.sha256(whole).hexdigest()


# what typst refuses, and what only these tests catch


@pytest.mark.parametrize(
    "markup",
    [
        "=== Skipped",
        "#image(bytes(\"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'/>\"), format: \"svg\")",
        "列",
        '#set text(font: "Nonesuch")\nwords',
    ],
)
def test_what_is_out_of_order_is_refused(markup):
    with pytest.raises(NoPdf):
        typeset((HEAD + markup).encode(), {})


def test_a_table_without_head_is_caught_here():
    assert faults(typeset((HEAD + "#table(columns: 2)[a][b]").encode(), {})) == ["a table without head"]
    assert faults(typeset((HEAD + "#table(columns: 2, table.header[a][b], [c], [d])").encode(), {})) == []


def test_a_drawing_that_names_another_typeface_gets_none_but_this():
    svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><text font-family='Nonesuch'>w</text></svg>"
    pdf = typeset((HEAD + f'#image(bytes("{svg}"), format: "svg", alt: "a")').encode(), {})
    assert {name.partition("-")[0] for name in typefaces(pdf)} <= {"SourceSansPro"}


# the typesetter sees nothing but its inputs


@pytest.mark.parametrize(
    "markup",
    [
        '#read("/etc/hostname")',
        '#read("../../../../etc/hostname")',
        f'#read("{Path(__file__).name}")',
        f'#include "{Path(__file__)}"',
        '#import "@preview/cetz:0.3.4"',
        '#plugin("/etc/hostname")',
        '#image("/etc/hostname")',
        "#image(bytes(\"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><image href='/etc/hostname' "
        'width=\'9\' height=\'9\'/></svg>"), format: "svg", alt: "a")',
    ],
)
def test_no_file_and_no_package_can_be_reached(markup, monkeypatch):
    monkeypatch.chdir(Path(__file__).parent)
    with pytest.raises(NoPdf):
        typeset((HEAD + markup).encode(), {})


# where it can't be made


def test_a_missing_typesetter_is_named(monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(NoPdf, match=r"typst is not installed; get it with `pip install typst"):
        pdf_of([WHOLE])
    assert capsys.readouterr().out == ""


def test_a_missing_typeface_is_named(monkeypatch, tmp_path):
    monkeypatch.setattr(typeface, "WEIGHTS", ("Regular", "Nonesuch"))
    with pytest.raises(NoPdf, match=r"Source Sans Pro is not installed; get it with `pip install font-source-sans-pro"):
        pdf_of([WHOLE])


def test_the_command_ends_with_2_and_writes_nothing(monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "typst", None)
    answer = CliRunner().invoke(app, ["rules", "list", "--format", "pdf", "--output", str(tmp_path / "page.pdf")])
    assert answer.exit_code == 2
    assert "pip install typst" in answer.output
    assert "Traceback" not in answer.output
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("form", ["text", "html"])
def test_it_is_imported_only_for_a_pdf(form):
    program = (
        "import sys; from carknocker.cli.main import app\n"
        f"try: app(['rules', 'list', '--format', '{form}'])\n"
        "except SystemExit: pass\n"
        "print([name for name in ('typst', 'fontTools', 'carknocker.page.pdf') if name in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert answer.stdout.splitlines()[-1] == "[]"


def test_each_compilation_leaves_no_file_behind(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert writer.pdf_of([Page("T", "V", "plain", ())]).startswith(b"%PDF")
    assert list(tmp_path.iterdir()) == []
