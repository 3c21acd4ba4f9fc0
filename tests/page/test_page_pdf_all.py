"""Every page that a command gives as a PDF: it is made, tagged in order, and nothing of it is lost."""

from __future__ import annotations

import pytest
from page_list import PAGES, write_page
from pdf_samples import faults, letters, sheets, tags, typefaces

from carknocker.page.model import Calendar, Drawing, Page, Table, texts_of
from carknocker.page.paper import text_parts
from carknocker.page.pdf import writer

MOST_SHEETS = {"check-not-ready": 8, "tag": 2, "worksheet": 9, "place-wheels": 3, "spares": 5, "lift": 4}
MOST_SHEETS_OF_ANY = 50
DEMOS = {
    f"check-{case.replace('/', '-')}": ("check", case, "--as-of", "2026-10-08")
    for case in ("two-nations/south", "larkspur/passenger", "larkspur/freight")
}
ALL = {**PAGES, **DEMOS}


@pytest.mark.parametrize("name", sorted(ALL))
def test_it_is_made_in_order_and_whole(name, tmp_path, monkeypatch):
    given: list[Page] = []
    real = writer.pdf_of

    def kept(pages):
        given.extend(pages)
        return real(pages)

    monkeypatch.setattr(writer, "pdf_of", kept)
    monkeypatch.setitem(PAGES, name, ALL[name])
    pdf = write_page(name, "pdf", tmp_path).read_bytes()
    assert faults(pdf) == []
    assert {face.partition("-")[0] for face in typefaces(pdf)} == {"SourceSansPro"}
    texts = sheets(pdf)
    assert 1 <= len(texts) <= MOST_SHEETS.get(name, MOST_SHEETS_OF_ANY)
    printed = letters("".join(texts)).casefold()
    for page in given:
        wanted = [page.title, *text_parts(page.verdict), *page.beside, *texts_of(page.sections)]
        described = {block.described for block in drawings(page)}
        described |= {block.title for block in drawings(page) if block.headed}
        described |= {block.caption for block in blocks(page) if isinstance(block, Table) and block.headed}
        described |= {block.caption for block in blocks(page) if isinstance(block, Calendar)}
        if page.lean:
            described.add(page.sections[0].heading)  # that of the page stands right above it
        for text in wanted:
            if text not in described:
                assert letters(text)[:40].casefold() in printed, text
                assert letters(text)[-40:].casefold() in printed, text
    assert "[U+" not in "".join(texts)
    assert "`" not in "".join(texts), "what is to be typed is set as such"
    if len(given) == 1:
        assert alone_at_a_foot(pdf, texts) == []


def alone_at_a_foot(pdf: bytes, texts: list[str]) -> list[str]:
    """The headings that are the last words of a sheet, above its foot."""
    headings = {letters(one.title) for one in tags(pdf).all() if one.name in ("H1", "H2", "H3") and len(one.title) > 9}
    found = []
    for text in texts:
        body = text
        for foot in ("Made by carknocker", "An aid to qualified people"):
            body = body.rpartition(foot)[0] if foot in body else body
        found.extend(one for one in headings if letters(body).endswith(one))
    return found


def blocks(page: Page):
    for section in page.sections:
        for block in section.blocks:
            yield from (block, *getattr(block, "blocks", ()), *getattr(block, "aside", ()))


def drawings(page: Page):
    yield from (one for one in blocks(page) if isinstance(one, Drawing))
