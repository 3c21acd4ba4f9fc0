"""Texts in a PDF are data: shown letter by letter, never read as markup; every sign that the repository uses is in the
typeface, and one that is not is named."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from nasty_samples import NASTY
from pdf_samples import faults, opened, sheets, sheets_with

from carknocker.page.model import (
    Blanks,
    Block,
    Box,
    Boxes,
    Bullets,
    Calendar,
    CalendarRow,
    Commands,
    Decisions,
    Drawing,
    Emphasized,
    FaultRow,
    FaultRows,
    Head,
    Item,
    Leaf,
    Noted,
    OutcomeBar,
    Page,
    Paragraph,
    Rows,
    Section,
    Span,
    Table,
    Tick,
    Ticks,
    ToWrite,
    Tree,
)
from carknocker.page.pdf import typeface
from carknocker.page.pdf.blocks import svg_for_print
from carknocker.page.pdf.runs import BREAK, runs_of, shown
from carknocker.page.pdf.writer import pdf_of

ROOT = Path(__file__).resolve().parents[2]
DAYS = (date(2026, 11, 6), date(2026, 11, 7), date(2026, 11, 8))
KINDS = ("number", "text", "tick", "line")
HOSTILE = (
    '#read("/etc/hostname")', '#import "@preview/cetz:0.3.4": *', '#include "car.yaml"', "#sys.inputs", "#panic()",
    "#{while true {}}", '"); #read("/etc/hostname") //', "*b* _i_ `c` $x^2$ = h\\ - l + n / t: d @ref <label>",
    "\\u{41} \\#pagebreak() ~ -- --- ... [x] {y} /* c */ // c", "https://zz.invalid/a", "'s \"quoted\"", NASTY,
)  # fmt: skip


def blocks_of(text: str) -> list[Block | Item]:
    """One block of each kind, with the text in each of its places."""
    loud = Emphasized(text, f" {text}")
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>'
    return [
        Paragraph(text), Paragraph(text, strong=True), Rows(((text, text), (loud, loud))), Bullets((text,)),
        Box(text, (text,)), Boxes(((text, text),)), Blanks(((text, text),)),
        Tree((Leaf(text, (text,), (Leaf(text),), struck=True),)), Table(text, (f"Part{text}", text), ((text, text),)),
        Drawing("d", text, text, svg, 9, 9), Item(text, (Paragraph(text),), 1), Item(text, (Paragraph(text),)),
        *blocks_of_a_dossier(text),
    ]  # fmt: skip


def blocks_of_a_dossier(text: str) -> list[Block | Item]:
    """Those that stand only on the sheets of a dossier."""
    return [
        FaultRows((FaultRow(1, text, text, "law", text), FaultRow(2, text, text)), text),
        Ticks((Tick(text, True), Tick(text, False)), (text, text)), Decisions((text, text), (text,)),
        Calendar(text, DAYS, (Span(text, *DAYS[::2], True),), (CalendarRow(text, text, DAYS[:1]),)), Commands((text,)),
        Rows(((text, text), ("a", ToWrite(text))), facts=True),
        Table(text, ("No.", "What", "OK", "Found"), (("1", Noted(text, text), "", ""),), KINDS, (0,), True),
        Item(text, (Paragraph(text),), 3, "host", (Paragraph(text),)), Item(text, (Paragraph(text),), half=True),
        Item(text, (Paragraph(text),), half=True),
    ]  # fmt: skip


def page_of(text: str) -> Page:
    blocks = tuple(blocks_of(text))
    sheets = (
        Section(text, blocks, half=True), Section(text, blocks[:1], half=True), Section(text, blocks, folded=True),
        Section(text, blocks, folded=True, sheet=True, lead=text), Section(text, blocks[:1], foot=True),
    )  # fmt: skip
    return Page(
        text, Emphasized(text, text), "bad", sheets, brief=True, beside=(text,), head=Head(text, text, text, "A-"),
        bar=OutcomeBar("not ready", text, text, text), above=text, dated=text, foot=text,
    )  # fmt: skip


PLACES = 9 + 3 * 50
"""Title, outcome, what stands beside, above and below them; each block's texts in three sections."""


def plain(text: str) -> str:
    """Without white space, and hyphens as this reader of PDF gives them at the end of a line."""
    return re.sub(r"[\s\ufffe\x02-]", "", text)


@pytest.mark.parametrize("text", HOSTILE)
def test_a_text_is_never_markup(text):
    pdf = pdf_of([page_of(text)])
    assert faults(pdf) == []
    assert plain("".join(sheets(pdf))).count(plain(text)) > PLACES // 2
    document = opened(pdf)
    links = [one for sheet in document.pages for one in sheet.get("/Annots", ())]
    assert all("/Dest" in one or one.A.S == "/GoTo" for one in links)


@settings(max_examples=25)
@given(st.text(max_size=80))
def test_whatever_is_written_a_page_is_made(text):
    assert faults(pdf_of([page_of(text)])) in ([], ["no title"])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("列車 No. 5", "[U+5217][U+8ECA] No. 5"),
        ("🚂", "[U+1F682]"),
        ("a\u202eb\u200bc", "a?b?c"),
        ("e\u0301", "é"),
        ("10⁻⁸, xᵢ", "10−⁸, xi"),
        ("W‑31", "W-31"),
        ("ﬁt ｆｕｌｌ", "ﬁt full"),
    ],
)
def test_a_sign_that_the_typeface_lacks_is_a_like_one_or_its_number(text, expected):
    assert shown(text) == expected


def test_nothing_of_a_foreign_name_is_lost_on_paper():
    assert "[U+5217][U+8ECA]" in "".join(sheets_with(Paragraph("列車"))).replace("\r\n", "")


def texts_of_the_repository() -> str:
    files = [
        file
        for folder, ending in (("engine", "*.py"), ("engine", "*.yaml"), ("rulesets", "*.yaml"), ("cases", "*.yaml"),
                               ("tests/cases/golden", "*.txt"), ("tests/cases/golden", "*.md"))
        for file in (ROOT / folder).rglob(ending)
    ]  # fmt: skip
    assert len(files) > 400
    return "".join(file.read_text(encoding="utf-8") for file in files)


def test_every_sign_of_the_repository_is_in_the_typeface_or_has_a_like_one():
    signs = {sign for sign in texts_of_the_repository() if not sign.isspace()}
    assert set("½¼⅛≤≥×±°→–—“”’′″√≈−·…πΔΣ²³₀₁") <= signs
    assert [sign for sign in sorted(signs) if "[U+" in shown(sign)] == []


@pytest.mark.parametrize("sign", list("⅛⅜⅝⅞¼½¾⅓⅔⁄→←≤≥≈±×−°′″…–—✓☐•√πΩ"))
def test_a_sign_of_the_trade_is_itself_in_every_weight(sign):
    assert typeface.has(sign)
    for file in typeface.files():
        with TTFont(file, lazy=True) as font:
            assert ord(sign) in font.getBestCmap(), file.name


def test_every_weight_has_the_same_signs():
    kept = []
    for file in typeface.files():
        with TTFont(file, lazy=True) as font:
            kept.append(set(font.getBestCmap()))
    assert all(one == kept[0] for one in kept)
    assert len(kept) == 4


def test_widths_are_those_of_the_typeface():
    """Source Sans Pro 2.020, its hmtx table, 1000 units to an em: regular n 547, bold n 572, space 200."""
    face = typeface.widths()
    assert face.of("n", 1000) == 547
    assert face.of("n", 1000, bold=True) == 572
    assert face.of("n n", 10) == pytest.approx(12.94)


# runs


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ""),
        ("words", "words"),
        ("over 7/8 in", ["over ", {"fraction": "7/8"}, "\u00a0in"]),
        ("1-3/16", ["1-", {"fraction": "3/16"}]),
        ("kestrel-and-northern/7", "kestrel-and-northern/7"),
        ("1996/2004", "1996/2004"),
        ("5/7", "5/7"),
        ("1/2/3", "1/2/3"),
        ("49 CFR 238.15", "49\u00a0CFR\u00a0238.15"),
        ("add `--appendix FILE`", ["add ", {"code": ["--appendix FILE"]}]),
        ("`{a: 7/8}`, `spares:`", [{"code": ["{a: ", {"fraction": "7/8"}, "}"]}, ", ", {"code": ["spares:"]}]),
        (
            "`lateral_motion`, `condition` (sound)",
            [{"code": ["lateral_motion"]}, ", ", {"code": ["condition"]}, " (sound)"],
        ),
        ("`paper: log of moves`", [{"code": ["paper: log of moves"]}]),
        ("`c`, ` alone, `Owner: a`", "`c`, ` alone, `Owner: a`"),
        ("bearings L1–L3", ["bearings ", {"whole": ["L1–L3"]}]),
        ("2026-10-08", "2026-10-08"),
        ("10⁻⁸", ["10", {"raised": "−"}, "⁸"]),
        ("xᵢ", ["x", {"lowered": "i"}]),
        ("x" * 24, "x" * 24),
        ("x" * 45, ["x" * 20, BREAK, "x" * 20, BREAK, "x" * 5]),
        ("wren-hollow/before/car.yaml", ["wren-", BREAK, "hollow/", BREAK, "before/", BREAK, "car.yaml"]),
    ],
)
def test_a_text_as_runs(text, expected):
    assert runs_of(text) == expected


def test_a_fraction_of_a_drawing_is_written_with_its_own_slash():
    svg = '<svg id="7/8"><text x="1/2">1-3/16 in, 列 1996/2004 ⁻</text></svg>'
    assert svg_for_print(svg) == '<svg id="7/8"><text x="1/2">1-3⁄16 in, ? 1996/2004 −</text></svg>'
