"""Pages as a tagged PDF (PDF/UA-1) on paper of 210 x 279 mm, by typst: the same bytes each time."""

import re
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import msgspec
from msgspec.structs import replace

from carknocker.page.model import Page
from carknocker.page.pdf.blocks import data_of, pictures_of
from carknocker.page.pdf.tables import NoHead
from carknocker.page.pdf.typeface import FAMILY, NoTypeface, copy_to

TEMPLATE = Path(__file__).parent / "sheets.typ"


class NoPdf(Exception):
    """No PDF can be made on this machine. The message says what is missing and what to do."""


def pdf_of(pages: Sequence[Page]) -> bytes:
    """The PDF of some pages, each begun on a new sheet. Raises NoPdf."""
    if len(pages) == 1:
        return _within_its_sheets(pages[0])[1]
    return _pdf_of([_within_its_sheets(page)[0] if page.most_sheets else page for page in pages])


def _within_its_sheets(page: Page) -> tuple[Page, bytes]:
    """A page with its PDF: where it would have more sheets than it may, its sections follow each other without a new
    sheet for each; where that is not enough they give way, as far as they can."""
    made = _pdf_of([page])
    for turn in sorted({0, *(turn for one in page.sections for turn, _ in one.gives_way)}):
        if not page.most_sheets or sheets_in(made) <= page.most_sheets:
            break
        given = (replace(one, blocks=dict(one.gives_way).get(turn, one.blocks)) for one in page.sections)
        page = replace(page, sections=tuple(given), flowing=True)
        made = _pdf_of([page])
    return page, made


_SHEET = re.compile(rb"/Type ?/Page\b")
"""An entry of a sheet; typst leaves them uncompressed."""


def sheets_in(pdf: bytes) -> int:
    """How many sheets of paper a PDF of ours has."""
    return len(_SHEET.findall(pdf))


def _pdf_of(pages: Sequence[Page]) -> bytes:
    try:
        given = msgspec.json.encode(data_of(pages)).decode("utf-8")
        return typeset(TEMPLATE.read_bytes(), {"pages": given, "family": FAMILY}, pictures_of(pages))
    except NoHead as table:
        raise NoPdf(f"no PDF: a table has no column headings: {table}") from None
    except NoTypeface:
        raise NoPdf(_missing("the typeface Source Sans Pro", "font-source-sans-pro")) from None
    except ImportError as missing:
        raise NoPdf(_missing(missing.name or "typst", "typst fonttools")) from None


def _missing(what: str, packages: str) -> str:
    return (
        f"no PDF: {what} is not installed; get it with `pip install {packages}`, or write `--format html` and print "
        "that from a browser"
    )


def typeset(template: bytes, inputs: dict[str, str], files: Mapping[str, bytes] | None = None) -> bytes:
    """The PDF of a typst template. It sees itself, its inputs, the files given by their names and the typeface, and
    nothing else: no other font, no other file, no package.

    Raises NoTypeface, ImportError, and NoPdf if typst refuses the template or warns of anything.
    """
    import typst

    with tempfile.TemporaryDirectory(prefix="carknocker-") as folder:
        fonts, root = Path(folder, "fonts"), Path(folder, "root")
        fonts.mkdir()
        root.mkdir()
        copy_to(fonts)
        (root / TEMPLATE.name).write_bytes(template)
        for name, content in (files or {}).items():
            (root / name).write_bytes(content)
        try:
            made, warnings = typst.compile_with_warnings(
                str(root / TEMPLATE.name),
                root=str(root),
                font_paths=typst.Fonts(
                    include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts)]
                ),
                ignore_system_fonts=True,
                sys_inputs=inputs,
                package_path=str(root),
                package_cache_path=str(root),
                format="pdf",
                pdf_standards=["ua-1"],
                timestamp=0,
            )
        except typst.TypstError as error:
            raise NoPdf(f"no PDF: the typesetter refuses the page: {error.message}") from error
    if warnings:
        raise NoPdf(f"no PDF: the typesetter warns: {warnings[0].message}")
    return bytes(made)
