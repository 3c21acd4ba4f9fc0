"""What comes out of the printer, from the browser and as a PDF: all of it, numbered, nothing cut, no blocker split."""

from __future__ import annotations

import re

import pytest
from page_list import LONG, PAGES

pytestmark = pytest.mark.browser

PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
MARGINS = 30
MOST_SHEETS = {"tag": 2, "worksheet": 16, "arrange": 3, "spares": 5, "lift": 4}
MOST_SHEETS_OF_ANY = 90
FOLDED = "[...document.querySelectorAll('section > details')].map(one => one.textContent)"
BLOCKERS = """[...document.querySelectorAll('.item.numbered')].map(
  one => [one.offsetHeight, [...one.querySelectorAll('h3, dt, dd, li')].map(piece => piece.textContent)])"""
CUT = """[...document.querySelectorAll('table, figure, .rows, ul')]
  .filter(one => one.getBoundingClientRect().right > innerWidth + 1).map(one => one.textContent.slice(0, 80))"""
SHORTER_THAN_A_SHEET = 700
SHEETS_OF_BLOCKERS = 12


def as_pdf(names):
    """The names, those of long pages for `.ci/long`."""
    return [pytest.param(name, marks=pytest.mark.long) if name in LONG else name for name in names]


AS_PDF = as_pdf(sorted(PAGES))
AS_PDF_WITH_BLOCKERS = as_pdf(["check-not-ready", "check-short", "plan", "horizon"])


def squeezed(text: str) -> str:
    """The text without white space and signs that a PDF may write in several ways."""
    return re.sub(r"[^A-Za-z0-9]", "", text)


def sheets_of(pdf: bytes, most: int | None = None) -> list[str]:
    """The text of each sheet, of the first `most` alone where that is given."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    wanted = len(document) if most is None else min(most, len(document))
    texts = [document[number].get_textpage().get_text_range() for number in range(wanted)]
    document.close()
    return texts


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_a_browser_prints_what_is_folded_too_with_numbers_and_a_running_head(browser, written, paper):
    page = browser.new_page()
    page.goto(written("check-not-ready", "html").as_uri())
    folded = page.evaluate(FOLDED)
    assert folded
    assert page.evaluate("document.querySelectorAll('section > details[open]').length") == 0
    sheets = sheets_of(page.pdf(format=paper, prefer_css_page_size=False))
    page.close()
    printed = squeezed("".join(sheets))
    for text in folded:
        last = squeezed(text)[-60:]
        assert last in printed
    for number, sheet in enumerate(sheets, start=1):
        assert squeezed(f"page {number} of {len(sheets)}") in squeezed(sheet)
        assert "QWHX27WrenHollow" in squeezed(sheet)
        assert "NOTREADY" in squeezed(sheet)


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_nothing_is_cut_off_on_paper(opened, paper):
    across = round((PAPERS[paper][0] - MARGINS) / 25.4 * 96)
    page = opened.page
    page.set_viewport_size({"width": across, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= across
    assert page.evaluate(CUT) == []


def test_print_is_black_on_white_even_on_a_dark_screen(browser, written):
    page = browser.new_page(color_scheme="dark")
    page.goto(written("check-not-ready", "html").as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    colours = page.evaluate("(one => [one.color, one.backgroundColor])(getComputedStyle(document.body))")
    assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    assert page.evaluate("getComputedStyle(document.querySelector('.outcome')).color") == "rgb(0, 0, 0)"
    page.close()


@pytest.mark.parametrize("name", AS_PDF_WITH_BLOCKERS, indirect=True)
def test_no_blocker_is_split_over_two_sheets(opened, written, name):
    page = opened.page
    page.set_viewport_size({"width": 680, "height": 900})
    page.emulate_media(media="print")
    blockers = [pieces for height, pieces in page.evaluate(BLOCKERS) if height < SHORTER_THAN_A_SHEET]
    assert blockers
    for pdf in (page.pdf(format="A4"), page.pdf(format="Letter"), written(name, "pdf").read_bytes()):
        sheets = [squeezed(sheet) for sheet in sheets_of(pdf, SHEETS_OF_BLOCKERS)]
        for heading, *pieces in blockers:
            ends = [squeezed(piece)[end] for piece in pieces for end in (slice(16), slice(-16, None))]
            with_heading = [sheet for sheet in sheets if squeezed(heading) in sheet]
            assert any(all(end in sheet for end in ends) for sheet in with_heading), heading


@pytest.mark.parametrize("name", AS_PDF, indirect=True)
def test_the_pdf_has_all_sheets_and_all_texts(opened, written, name):
    headings = opened.page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(one => one.textContent)")
    sheets = sheets_of(written(name, "pdf").read_bytes())
    assert 1 <= len(sheets) <= MOST_SHEETS.get(name, MOST_SHEETS_OF_ANY)
    printed = squeezed("".join(sheets))
    assert [heading for heading in headings if squeezed(heading) not in printed] == []
    assert squeezed(f"page 1 of {len(sheets)}") in squeezed(sheets[0])


def test_the_pdf_fits_both_papers_and_says_what_it_is(written):
    from pypdf import PdfReader

    pdf = PdfReader(written("check-short", "pdf"))
    across, down = (float(side) / 72 * 25.4 for side in pdf.pages[0].mediabox[2:])
    assert across <= min(width for width, _ in PAPERS.values()) + 0.1
    assert down <= min(height for _, height in PAPERS.values()) + 0.5
    assert pdf.metadata.title == "QTNX 6 Sandpiper"
    assert pdf.trailer["/Root"]["/Lang"] == "en"
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_the_same_page_gives_the_same_bytes(written):
    from carknocker.page.pdf import pdf_of

    html = written("tag", "html").read_text(encoding="utf-8")
    assert pdf_of(html) == pdf_of(html) == written("tag", "pdf").read_bytes()


def test_a_page_that_asks_for_something_outside_gets_nothing():
    from carknocker.page.pdf import pdf_of

    page = '<html lang="en"><body><img src="file:///etc/hostname" alt="x"><p>said</p></body></html>'
    (sheet,) = sheets_of(pdf_of(page))
    assert "said" in sheet
