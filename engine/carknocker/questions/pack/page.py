"""What is in a pack, as a page."""

from carknocker.dossier.pack import RULESETS, Pack
from carknocker.page.model import Bullets, Page, Paragraph, Rows, Section
from carknocker.record.photographs import ORIGINALS

_WHAT = {"car.yaml": "the car's record", "move.yaml": "the move", "dossier.json": "the dossier, as it came out"}


def _what(name: str) -> str:
    return _WHAT.get(name) or ("an original photograph" if f"/{ORIGINALS}/" in name else "a photograph, reduced")


def pack_page(pack: Pack, title: str, file: str) -> Page:
    """The files of the pack, the editions, and what a stranger does with it. file: where it was written."""
    rows = [(name, f"{_what(name)}, {len(content):,} bytes")
            for name, content in pack.files.items() if not name.startswith(f"{RULESETS}/")]  # fmt: skip
    editions = tuple(f"{edition}, SHA-256 {digest}" for edition, digest in sorted(pack.editions.items()))
    return Page(
        f"Pack of {title}",
        f"Written to {file}, judged as of {pack.as_of.isoformat()}.",
        "plain",
        (
            Section("In the pack", (Rows(tuple(rows)),)),
            Section("Editions by which it was judged", (Bullets(editions),)),
            Section("What to do with it", (Paragraph(f"Whoever gets it runs: carknocker verify {file}"),)),
        ),
    )
