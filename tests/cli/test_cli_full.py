"""`check` as text is short; `--full`, and every form for a file, is the whole dossier."""

import pytest
from command_line import CASES
from typer.testing import CliRunner

from carknocker.cli.main import app

BEFORE = CASES / "wren-hollow" / "before"
SHEETS = (
    "Duties on the move, and what lapses",
    "Tests and who signed them",
    "Evidence and serials",
    "Rules and digests",
)


@pytest.fixture(autouse=True)
def beside_the_cases(monkeypatch):
    """A long way to the file would make more lines."""
    monkeypatch.chdir(CASES)


def checked(*more):
    answer = CliRunner().invoke(app, ["check", str(BEFORE.relative_to(CASES)), "--as-of", "2026-10-08", *more])
    assert answer.exit_code == 1
    return answer.stdout


def test_text_is_short_and_says_where_the_rest_is():
    page = checked()
    assert not [heading for heading in SHEETS if heading.upper() in page]
    assert "--full" in page
    assert len(page.splitlines()) <= 240
    in_short = page.index("IN SHORT\n1. Wheel R5: flange 7/8 in or thinner; must be over 7/8 in (law)")
    assert in_short < page.index("\nTHE MOVE")


def test_of_what_the_inspector_looks_at_the_short_page_lists_what_nobody_read():
    """Springs 1-4 and 9-12 of the demo car were not read; its equalizers were, and are sound."""
    short = " ".join(checked().split("ITEMS LEFT FOR THE HOST'S INSPECTOR")[1].split("WHAT THIS RESTS ON")[0].split())
    whole = " ".join(checked("--full").split())
    practice = short.split("Common practice, not read in full: ")[1]
    assert "; Spring not compressed solid (springs 1–4, 9–12); " in practice
    assert "Center pin not cracked, broken or missing (trucks B, A); " in practice
    assert (
        "Reporting mark and number as on the papers (Kestrel & Northern circular 7, 1.5): the car, no reading" in short
    )
    assert "springs 5–8, 13–16: compressed solid: no (2026-09-12, RE)" in whole  # a bare `no` reads as its opposite
    assert "more items have a reading on record, none of them beyond its limit: `--appendix` lists them." in short
    assert "Equalizer not cracked or broken" not in short
    assert "Equalizer not cracked or broken" not in whole
    assert "more items of common practice the record has a reading, none beyond its limit" in whole


def test_the_law_and_its_age_stand_on_top_of_the_short_page():
    top = " ".join(checked().split("WHAT KEEPS THIS CAR FROM MOVING")[0].split())
    assert "us-federal 2020: in force since 2020-12-11; text checked on 2026-06-20, 110 days ago" in top


def test_full_text_is_the_whole_dossier():
    page = checked("--full")
    assert all(heading.upper() in page for heading in SHEETS)
    assert max(map(len, page.splitlines())) <= 80


@pytest.mark.parametrize("form", ["markdown", "html"])
@pytest.mark.parametrize("more", [(), ("--full",)])
def test_what_goes_into_a_file_is_whole(form, more):
    page = checked("--format", form, *more)
    assert all(heading in page for heading in SHEETS)


def test_html_alone_is_drawn():
    assert "<svg" in checked("--format", "html")
    assert "<svg" not in checked("--format", "markdown")
