"""Reading a PDF back: its tags, its texts sheet by sheet, its typefaces; what PDF/UA-1 asks for that typst does not
refuse."""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import msgspec
import pikepdf
import pypdfium2

from carknocker.page.model import Block, Item, Page, Section
from carknocker.page.pdf.writer import pdf_of


class Tag(msgspec.Struct):
    """An element of the structure tree. alt, scope: empty where it has none."""

    name: str
    title: str
    alt: str
    scope: str
    inside: list[Tag]

    def all(self) -> Iterator[Tag]:
        """The element and all in it, in order of reading."""
        yield self
        for one in self.inside:
            yield from one.all()


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(pdf))


def tags(pdf: bytes) -> Tag:
    """The whole structure tree."""
    whole = opened(pdf)
    return Tag("Root", "", "", "", list(_tags(whole.Root.StructTreeRoot.K)))


def _tags(given: Any) -> Iterator[Tag]:
    if isinstance(given, pikepdf.Array):
        for one in given:
            yield from _tags(one)
    elif isinstance(given, pikepdf.Dictionary) and "/S" in given:
        scope = next((str(one.Scope) for one in _listed(given.get("/A")) if "/Scope" in one), "")
        inside = list(_tags(given.K)) if "/K" in given else []
        yield Tag(str(given.S)[1:], str(given.get("/T", "")), str(given.get("/Alt", "")), scope, inside)


def _listed(given: Any) -> list[Any]:
    if given is None:
        return []
    return list(given) if isinstance(given, pikepdf.Array) else [given]


def faults(pdf: bytes) -> list[str]:
    """What a reader who hears the page would miss; empty for a page in order."""
    found = []
    root = tags(pdf)
    for table in (one for one in root.all() if one.name == "Table"):
        heads = [one for part in table.inside if part.name == "THead" for row in part.inside for one in row.inside]
        if not heads:
            found.append("a table without head")
        elif any(one.name != "TH" or one.scope != "/Column" for one in heads):
            found.append("a head that is not a column's")
    found.extend("a figure without text" for one in root.all() if one.name == "Figure" and not one.alt)
    levels = [int(one.name[1:]) for one in root.all() if re.fullmatch("H[1-9]", one.name)]
    if not levels or levels[0] != 1:
        found.append("no heading of level 1 first")
    found.extend("a level skipped" for before, after in pairwise(levels) if after > before + 1)
    whole = opened(pdf)
    if whole.Root.get("/Lang") != "en-US":
        found.append("no language")
    with whole.open_metadata() as metadata:
        if not metadata.get("dc:title"):
            found.append("no title")
        if metadata.get("pdfuaid:part") != "1":
            found.append("not said to be PDF/UA-1")
    if not whole.Root.ViewerPreferences.DisplayDocTitle or not whole.Root.MarkInfo.Marked:
        found.append("not marked")
    return found


def typefaces(pdf: bytes) -> set[str]:
    """The names of all typefaces, without the letters before that mark a part of one."""
    names = set()
    whole = opened(pdf)
    for one in whole.objects:
        if isinstance(one, pikepdf.Dictionary | pikepdf.Stream) and "/BaseFont" in one:
            names.add(str(one.BaseFont).lstrip("/").rpartition("+")[2])
    return names


def sheets(pdf: bytes) -> list[str]:
    """The text of each sheet."""
    document = pypdfium2.PdfDocument(pdf)
    texts = [document[number].get_textpage().get_text_range() for number in range(len(document))]
    document.close()
    return texts


def letters(text: str) -> str:
    """The letters and figures of a text, raised and lowered ones too."""
    return re.sub(r"[^A-Za-z0-9]", "", unicodedata.normalize("NFKC", text))


def page_with(*blocks: Block | Item) -> Page:
    """A page of one section."""
    return Page("T", "V", "plain", (Section("S", blocks),))


def sheets_with(*blocks: Block | Item) -> list[str]:
    """The text of each sheet of a page of one section."""
    return sheets(pdf_of([page_with(*blocks)]))
