"""`check` of a car with photographs: each medium shows or names them, and a false file is named and not shown."""

import hashlib
import json
import re
import shutil

import pytest
from command_line import CASES, invoke
from photograph_samples import photograph

DAY = ("--as-of", "2026-10-08")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo car with a photograph of one wheel, put on record by the command, and a false one written by hand."""
    car = tmp_path_factory.mktemp("photographs") / "car"
    shutil.copytree(CASES / "wren-hollow" / "before", car)
    shot = car.parent / "shot.jpg"
    shot.write_bytes(photograph(1200, 900))
    made = invoke("photograph", car, shot, "--of", "wheel R5", "--on", "2026-09-12", "--by", "RE",
                  "--reading", "flange_thickness", "--yes")  # fmt: skip
    assert made.exit_code == 0, made.output
    false = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
    (car / "photographs" / "false.jpg").write_bytes(false)
    digest = hashlib.sha256(false).hexdigest()
    record = car / "car.yaml"
    entry = f"  - {{file: false.jpg, of: wheel L1, on: 2026-09-12, by: RE, sha256: {digest}}}\n"
    record.write_text(record.read_text(encoding="utf-8") + entry, encoding="utf-8")
    return car


def test_html_shows_what_is_a_photograph_and_names_the_other(folder):
    html = invoke("check", folder, *DAY, "--format", "html").stdout
    assert len(re.findall("<img ", html)) == 1
    assert 'alt="Photograph of wheel R5, flange thickness, taken 2026-09-12"' in html
    assert "false.jpg" in re.sub("<wbr>|</?span>", "", html)
    assert "alert(1)" not in html


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_text_names_both_and_holds_neither(folder, form):
    text = invoke("check", folder, *DAY, "--format", form).stdout
    assert "wheel-R5-2026-09-12.jpg" in text.replace("\\", "")
    assert "false.jpg" in text
    assert "base64" not in text


def test_pdf_is_made(folder):
    answer = invoke("check", folder, *DAY, "--format", "pdf", "--output", folder.parent / "a.pdf")
    assert answer.exit_code == 1, answer.output
    content = (folder.parent / "a.pdf").read_bytes()
    assert content.startswith(b"%PDF")
    assert b"/DCTDecode" in content


@pytest.mark.parametrize(("state", "change"), [("missing", "unlink"), ("changed", "write")])
def test_a_photograph_that_is_not_as_it_was_is_told_by_table_and_compare(folder, tmp_path, state, change):
    later = tmp_path / "later"
    shutil.copytree(folder, later)
    (shot,) = (later / "photographs").glob("wheel-R5*.jpg")
    if change == "unlink":
        shot.unlink()
    else:
        shot.write_bytes(shot.read_bytes() + b" ")
    said = f"{shot.name}: {state} since it was put on record"
    table = " ".join(invoke("check", folder, later, "--table", *DAY).stdout.split())
    assert table.count(said) == 1
    (one,) = [car for car in json.loads(invoke("check", later, "--table", *DAY, "--format", "json").stdout)["cars"]]
    assert one["photographs"] == [f"{shot.name}: {state}"]
    compared = " ".join(invoke("compare", folder, later, *DAY).stdout.split())
    assert f"photograph {shot.name} of 2026-09-12, wheel R5: {state} since it was put on record" in compared
    assert "put on record" not in " ".join(invoke("compare", folder, folder, *DAY).stdout.split())
