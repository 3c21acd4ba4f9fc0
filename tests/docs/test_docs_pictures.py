"""The pictures of the README and the docs are what their script draws today."""

import importlib.util
import re
import xml.etree.ElementTree as ET
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "pictures"


def drawn() -> dict[str, str]:
    spec = importlib.util.spec_from_file_location("draw_pictures", FOLDER / "draw.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.pictures()


def test_each_picture_is_current():
    """Compared as XML: the order in which attributes are written says nothing."""
    found = drawn()
    assert {file.name for file in FOLDER.glob("*.svg")} == set(found)
    for name, text in found.items():
        kept = (FOLDER / name).read_text(encoding="utf-8")
        assert ET.canonicalize(kept) == ET.canonicalize(text), f"{name}: run `python docs/pictures/draw.py`"


def test_each_picture_has_paper_and_a_size():
    for file in FOLDER.glob("*.svg"):
        root = ET.fromstring(file.read_text(encoding="utf-8"))
        left, top, wide, high = map(float, root.get("viewBox", "").split())
        paper = root.find("{http://www.w3.org/2000/svg}rect")
        assert paper is not None
        assert [float(paper.get(name, "nan")) for name in ("x", "y", "width", "height")] == [left, top, wide, high]
        assert abs(int(root.get("height", "0")) * wide - int(root.get("width", "0")) * high) < wide


def test_the_pictures_that_pages_show_are_there_and_have_words():
    for page in [ROOT / "README.md", *(ROOT / "docs").glob("*.md")]:
        for words, target in re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", page.read_text(encoding="utf-8")):
            assert words.strip(), target
            assert (page.parent / target).exists(), target


def test_the_faults_of_a_picture_have_the_numbers_of_the_page_beside_it():
    """The README shows the page of the same car: wheel R5 is its first item, the plain bearings its second."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "\n1. Wheel R5: flange 7/8 in or thinner" in readme
    assert "\n2. Bearings L1–L3, R1–R3: plain" in readme
    said = (FOLDER / "trucks-above.svg").read_text(encoding="utf-8")
    assert "fault 1, flange thickness 7/8 or less, at R5; fault 2, bearing plain" in said
    assert "R5, 7/8 in or less, is fault 1; plain bearings are fault 2](docs/pictures/trucks-above.svg)" in readme
