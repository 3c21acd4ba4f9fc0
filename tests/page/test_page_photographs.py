"""Photographs on a page: shown where the medium can, named elsewhere, with words for whoever can't see them."""

import io
from base64 import b64decode

import pikepdf
from html5lib import parse
from photograph_samples import photograph
from PIL import Image

from carknocker.documents.pictures import small_picture
from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.model import Item, Page, Picture, Section
from carknocker.page.pdf.writer import pdf_of
from carknocker.page.text import text_of

SMALL = small_picture(photograph(1600, 1200), "a.jpg")
NASTY = 'wheel "L3" <img src=x onerror=alert(1)> & co'


def page(title: str = "flange thickness: a.jpg", described: str = "Photograph of wheel L3") -> Page:
    picture = Picture(title, described, SMALL.jpeg, SMALL.width, SMALL.height)
    return Page("T", "V", "plain", (Section("Photographs", (Item("Wheel L3", (picture,)), Item("Car", (picture,)))),))


def images(html: str) -> list:
    return list(parse(html, namespaceHTMLElements=False).iter("img"))


def test_a_small_picture_has_its_size_in_pixels() -> None:
    assert (SMALL.width, SMALL.height) == (640, 480)
    assert Image.open(io.BytesIO(SMALL.jpeg)).size == (640, 480)


def test_html_holds_the_picture_itself_and_asks_for_nothing() -> None:
    html = html_of([page()])
    first, second = images(html)
    assert first.get("alt") == second.get("alt") == "Photograph of wheel L3"
    assert (first.get("width"), first.get("height")) == ("640", "480")
    beginning, _, data = first.get("src").partition(",")
    assert beginning == "data:image/jpeg;base64"
    assert b64decode(data, validate=True) == SMALL.jpeg
    assert "default-src 'none'; style-src 'unsafe-inline'; img-src data:\"" in html


def test_a_page_without_photographs_may_show_none() -> None:
    assert "img-src" not in html_of([Page("T", "V", "plain", ())])


def test_nothing_in_its_words_becomes_a_part_of_the_page() -> None:
    html = html_of([page(NASTY, NASTY)])
    assert [one.get("alt") for one in images(html)] == [NASTY, NASTY]
    assert not [one for one in parse(html, namespaceHTMLElements=False).iter() if one.get("onerror")]


def test_pdf_holds_each_picture_with_its_words() -> None:
    content = pdf_of([page(described="Photograph of wheel L3")])
    assert content == pdf_of([page(described="Photograph of wheel L3")])
    with pikepdf.open(io.BytesIO(content)) as pdf:
        words = {str(one.Alt) for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and "/Alt" in one}
        held = [
            one for one in pdf.objects if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"
        ]  # fmt: skip
        assert words == {"Photograph of wheel L3"}
        assert {(int(one.Width), int(one.Height)) for one in held} == {(640, 480)}


def test_text_and_markdown_name_it() -> None:
    assert "Photograph: flange thickness: a.jpg" in text_of(page())
    assert "Photograph: flange thickness: a.jpg" in markdown_of(page())
