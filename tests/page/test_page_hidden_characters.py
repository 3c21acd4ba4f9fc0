"""Control, format and separator characters in every text and in every refusal: no writer lets one out.

A record may not hold them; to see what the writers do, the reader is here made to let them in.
"""

from __future__ import annotations

import io
import json
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nasty_samples
import pytest
from rich.console import Console
from test_page_escaping import page_with
from typer.testing import CliRunner

import carknocker
from carknocker.cli.main import app
from carknocker.cli.output import encoded
from carknocker.documents import Location, Problem, ProblemList, document_reader, read_document, show_problems
from carknocker.documents.visible_text import REPLACEMENT, first_hidden, one_line, visible, visible_line
from carknocker.page.html import html_of
from carknocker.page.json_encoder import json_text
from carknocker.page.markdown import markdown_of
from carknocker.page.text import print_page, text_of

NO_TEXT = ("Cc", "Cf", "Zl", "Zp", "Cs")
EVERY = [chr(code) for code in range(0x110000)]
HIDDEN = [one for one in EVERY if unicodedata.category(one) in NO_TEXT and one not in "\n\t"]
BLANKS = [one for one in EVERY if unicodedata.category(one) == "Zs" and one != " "]
IN_FILES = "".join(one for one in HIDDEN if unicodedata.category(one) != "Cs")
SURROGATES = "\ud800\udbff\udc00\udc80\udfff"
PAYLOAD = f"zz{IN_FILES}{''.join(BLANKS)}zz"
SHORT = "zz\x1b\x07\x9b\u202e\u061c\u2028\u00ad\u3000zz"
GLUE = "\u00a0"
"""In HTML it keeps a figure and its unit on one line."""


def hidden_in(text: str, allowed: str = "\n") -> list[str]:
    return sorted({f"U+{ord(one):04X}" for one in text if unicodedata.category(one) in NO_TEXT and one not in allowed})


def refuse_hidden(content: bytes | str, *, allowed: str = "\n", blanks: str = "") -> str:
    text = content.decode("utf-8") if isinstance(content, bytes) else content
    assert hidden_in(text, allowed) == []
    assert [one for one in BLANKS if one in text and one not in blanks] == []
    return text


def test_every_character_that_hides_is_known() -> None:
    assert [f"U+{ord(one):04X}" for one in HIDDEN if first_hidden(f"a{one}b") != one] == []
    assert [f"U+{ord(one):04X}" for one in HIDDEN if visible(f"a{one}b") != f"a{REPLACEMENT}b"] == []
    assert visible("a\tb\r\nc\nd\re") == f"a\tb\r\nc\nd{REPLACEMENT}e"
    for one in (*HIDDEN, *BLANKS, "\n", "\t"):
        line, short = visible_line(f"a{one}b"), one_line(f"a{one}b")
        assert line in ("a b", f"a{REPLACEMENT}b")
        assert short in ("a b", f"a{REPLACEMENT}b")


def test_what_a_person_may_write_is_let_be() -> None:
    """Letters, marks, numbers, punctuation and symbols of every script, and a no-break space."""
    seen = [one for one in EVERY if unicodedata.category(one)[0] in "LMNPS"]
    for text in ("".join(seen), "3 1/2\u00a0in, 12° 30', Ångström — “wheel” 😀"):
        assert first_hidden(text) == ""
        assert visible(text) == text
    plain = "".join(seen)
    assert visible_line(plain) == one_line(plain) == plain


@pytest.mark.parametrize("place", ["a: {0}", "{0}: a", "[{0}]", "a: {{b: {0}}}"])
def test_no_file_may_hold_one(place: str) -> None:
    for one in IN_FILES:
        problems = ProblemList()
        read_document(place.format(f'"x\\U{ord(one):08x}y"'), "f", problems)
        assert [problem.found for problem in problems.problems] == [
            f"the character U+{ord(one):04X}, which can't be seen"
        ]
        problems = ProblemList()
        read_document(place.format(f"x{one}y"), "f", problems)
        if one not in "\r\x85\u2028\u2029":  # line ends of YAML, that fold to a space
            assert f"U+{ord(one):04X}" in problems.problems[0].found
        refuse_hidden(show_problems(problems.problems, {"f": place.format(f"x{one}y")}))


ALL = "x".join((*HIDDEN, *BLANKS, "\n", "\t"))


def test_every_block_of_a_page_in_every_form() -> None:
    page = page_with(ALL)
    refuse_hidden(text_of(page))
    refuse_hidden(markdown_of(page))
    refuse_hidden(html_of([page]), blanks=GLUE)
    styled = io.StringIO()
    print_page(page, Console(file=styled, force_terminal=True, color_system="truecolor"))
    assert "\x1b[1m" in styled.getvalue()
    refuse_hidden(re.sub(r"\x1b\[[0-9;]*m", "", styled.getvalue()))


def test_every_part_of_a_problem() -> None:
    for text in (None, {f"car{ALL}.yaml": f"{ALL}\n" * 3}):
        problem = Problem(Location(f"car{ALL}.yaml", 1, 40), ALL, ALL, ALL, ALL, "" if text else f"{ALL}{ALL}")
        shown = refuse_hidden(show_problems((problem,), text))
        assert len(shown.splitlines()) == 8
    refuse_hidden(encoded(ALL), allowed="\n\t", blanks="".join(BLANKS))


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two folders of cars, with rulesets, a plan for lifting and prices, every free text of which is the payload."""
    folder = tmp_path_factory.mktemp("yard")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(nasty_samples, "NASTY", PAYLOAD)
        patch.setattr(nasty_samples, "SHORT", SHORT)
        patch.setattr(document_reader, "first_hidden", lambda text: "")
        car, move = nasty_samples.car_text(), nasty_samples.move_text()
        nasty_samples.library_in(folder / "rulesets")
        plan = nasty_samples.LIFT_PLAN.replace(nasty_samples.written("zz").strip(), "")
    for name in (f"one {SHORT}", f"two {SHORT}"):
        (folder / name).mkdir()
        (folder / name / "car.yaml").write_text(car, encoding="utf-8")
        (folder / name / "move.yaml").write_text(move, encoding="utf-8")
        (folder / name / "lift.yaml").write_text(plan, encoding="utf-8")
    return folder


DAY = ("--as-of", "2026-10-08")
ONE, TWO = f"one {SHORT}", f"two {SHORT}"
COMMANDS = {
    "check": ("check", ONE, *DAY),
    "check, full": ("check", ONE, *DAY, "--full"),
    "check, several": ("check", ONE, TWO, *DAY),
    "why": ("why", ONE, "wheel R6", *DAY),
    "compare": ("compare", ONE, TWO, *DAY),
    "plan": ("plan", ONE, *DAY),
    "place-wheels": ("place-wheels", ONE, *DAY),
    "due": ("due", ONE, *DAY, "--ics", "dates.ics"),
    "worksheet": ("worksheet", ONE, *DAY, "--form", "form.yaml"),
    "spares": ("spares", ONE, *DAY),
    "request": ("request", ONE, *DAY),
    "setout": ("setout", ONE, *DAY),
    "wheel-order": ("wheel-order", ONE, *DAY),
    "tag": ("tag", ONE, *DAY, "--inspector", PAYLOAD, "--location", PAYLOAD, "--destination", PAYLOAD),
    "lift": ("lift", ONE, "--end", "B", *DAY),
    "figures": ("figures", ONE, *DAY),
    "verify": ("verify", "dossier.json", ONE),
    "rules list": ("rules", "list"),
    "rules show": ("rules", "show", "kestrel-and-northern"),
    "rules diff": ("rules", "diff", "kestrel-and-northern/7", "kestrel-and-northern/8"),
}
FORMS = {
    "check": ("text", "markdown", "json", "html"), "check, full": ("html",), "check, several": ("json",),
    "verify": ("text",), "plan": ("text", "json"), "compare": ("text", "json"), "rules show": ("text", "json"),
}  # fmt: skip
USUAL_FORMS = ("text", "json", "html")
"""Every block is looked at in every form by itself."""


@pytest.fixture
def inside(yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working folder from which the cars are named, where the reader lets everything in."""
    monkeypatch.setattr(document_reader, "first_hidden", lambda text: "")
    monkeypatch.setattr(carknocker, "__file__", str(yard / "engine" / "carknocker" / "__init__.py"))  # its rulesets
    for made in yard.iterdir():
        (tmp_path / made.name).symlink_to(made)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def texts_in(value: Any) -> Iterator[str]:
    """Every text in JSON, as whoever reads it gets it."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield key
            yield from texts_in(one)
    elif isinstance(value, list):
        for one in value:
            yield from texts_in(one)
    elif isinstance(value, str):
        yield value


@pytest.mark.parametrize("name", COMMANDS)
def test_every_answer_in_every_form(inside: Path, name: str) -> None:
    if name == "verify":
        run = CliRunner().invoke(app, [*COMMANDS["check"], "--format", "json", "--output", "dossier.json"])
        refuse_hidden((inside / "dossier.json").read_bytes(), blanks="".join(BLANKS))
    for form in FORMS.get(name, USUAL_FORMS):
        for written in ("dates.ics", "form.yaml", "form.csv"):
            (inside / written).unlink(missing_ok=True)
        run = CliRunner().invoke(app, [*COMMANDS[name], "--format", form])
        assert run.exit_code in (0, 1), run.output
        blanks = {"html": GLUE, "json": "".join(BLANKS)}.get(form, "")
        text = refuse_hidden(run.stdout_bytes, blanks=blanks)
        refuse_hidden(run.stderr_bytes)
        assert f"zz{REPLACEMENT}" in text or f"zz {REPLACEMENT}" in text, text[:400]
        if form == "json":
            refuse_hidden("".join(texts_in(json.loads(text))), blanks="".join(BLANKS))
        for written in inside.glob("*.ics"):
            refuse_hidden(re.sub(rb"\r\n[ ]?", b"\n", written.read_bytes()), blanks="".join(BLANKS))
        for written in inside.glob("form.yaml"):
            refuse_hidden(written.read_bytes(), blanks="".join(BLANKS))


def test_json_hides_nothing_behind_an_escape() -> None:
    for one in (*HIDDEN, "\n", "\t", "\\", '"', "\\u001b", "\\\\b", "/"):
        text = json_text({f"a{one}": [f"{one}b", 1, None]})
        shown = f"{REPLACEMENT}" if one in HIDDEN else one
        assert json.loads(text) == {f"a{shown}": [f"{shown}b", 1, None]}
        refuse_hidden(text)


CAR = "format: carknocker-car/1\ncar: {mark: QWHX 3}\n"
ARGUMENTS = (
    "\x1b[31mred", "\x07", "\x9b31m", "\u202egnp", "\u061c", "\u2028", "\u200b", "\u00ad", "\udcff", "\r", "\x7f",
    "\U000e0041", "\ufeff",
)  # fmt: skip
LINES = (
    ("{}",),
    ("check", "{}"),
    ("check", "{}/car.yaml", *DAY),
    ("check", "car.yaml", "{}", *DAY),
    ("check", "car.yaml", "--as-of", "{}"),
    ("check", "car.yaml", "--format", "{}"),
    ("check", "car.yaml", "--{}"),
    ("check", "car.yaml", "--rules", "{}"),
    ("check", "car.yaml", "--move", "{}", *DAY),
    ("check", "wren-hollow/{}", *DAY),
    ("check", "wren-hollow/before", "--output", "no-such/{}", *DAY),
    ("check", "--file", "{}"),
    ("why", "wren-hollow/before", "{}", *DAY),
    ("why", "wren-hollow/before", "wheel {}", *DAY),
    ("why", "wren-hollow/before", "--if", "{}", *DAY),
    ("compare", "wren-hollow/before", "{}", *DAY),
    ("plan", "wren-hollow/before", "--prices", "{}", *DAY),
    ("due", "wren-hollow/before", "--miles-a-year", "{}", *DAY),
    ("worksheet", "wren-hollow/before", "--form", "{}", *DAY),
    ("enter", "{}", "{}"),
    ("photograph", "{}", "{}", "--of", "{}", "--on", "2026-09-12", "--by", "{}"),
    ("wheel-order", "wren-hollow/before", "--axle", "{}", *DAY),
    ("tag", "wren-hollow/before", "--inspected-on", "{}", *DAY),
    ("lift", "wren-hollow/before", "--end", "{}", *DAY),
    ("lift", "wren-hollow/before", "--end", "A", "--crane", "{}", *DAY),
    ("verify", "{}", "wren-hollow/before"),
    ("new", "{}", "--host", "{}", "--out", "{}", "--back", "{}"),
    ("new", "{}", "--answer", "{}", "--answer", "frame={}", "--answer", "name={}"),
    ("new", "new", "--answers", "{}"),
    ("rules", "{}"),
    ("rules", "show", "{}"),
    ("rules", "show", "us-federal", "{}"),
    ("rules", "check", "{}"),
    ("rules", "diff", "{}", "{}"),
    ("rules", "new", "{}", "--host", "{}"),
)


@pytest.mark.parametrize("line", LINES, ids=" ".join)
def test_every_refusal_of_what_is_asked(line: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "car.yaml").write_text(CAR, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    for one in ARGUMENTS:
        run = CliRunner().invoke(app, [word.replace("{}", f"x{one}y") for word in line])
        assert run.exit_code != 3, run.output
        refuse_hidden(run.stdout_bytes)
        refuse_hidden(run.stderr_bytes)
        assert "Traceback" not in run.output


FILES = {
    "car": ("wren-hollow/before/car.yaml", ("check", "{}", "--move", "wren-hollow/before")),
    "move": ("wren-hollow/before/move.yaml", ("check", "wren-hollow/before", "--move", "{}")),
    "lift": ("wren-hollow/after/lift.yaml", ("lift", "wren-hollow/after", "--end", "A", "--plan", "{}")),
}


@pytest.mark.parametrize("kind", FILES)
def test_every_refusal_of_what_is_written(kind: str, tmp_path: Path) -> None:
    """A character that hides, in a word of every line, bare and as an escape."""
    name, line = FILES[kind]
    written = (nasty_samples.ROOT / "cases" / name).read_text(encoding="utf-8")
    words = [found for found in re.finditer(r"[A-Za-z][A-Za-z0-9_-]{2,}", written)][:: 40 if kind == "car" else 4]
    for number, word in enumerate(words):
        one = IN_FILES[number % len(IN_FILES)]
        for instead in (f"{word[0]}{one}x", f'"{word[0]}\\U{ord(one):08x}x"'):
            file = tmp_path / f"{kind}.yaml"
            file.write_text(written[: word.start()] + instead + written[word.end() :], encoding="utf-8", newline="")
            run = CliRunner().invoke(app, [*(word.replace("{}", str(file)) for word in line), *DAY])
            assert run.exit_code in (0, 1, 2), run.output
            refuse_hidden(run.stdout_bytes)
            refuse_hidden(run.stderr_bytes)
            comment = written.rfind("#", written.rfind("\n", 0, word.start()) + 1, word.start()) >= 0
            folded = one in "\r\x85\u2028\u2029"  # line ends of YAML
            assert run.exit_code == 2 or comment or folded or instead.startswith('"'), (instead, run.output)


SMALL_CAR = """\
format: carknocker-car/1
car: {mark: QWHX 27, name: Tern}
people: {RE: {role: owner}}
gauges: {G-2: {kind: finger gauge, reads_to: 1/16 in}}
trucks: {B: {axles: {1: W-1, 2: W-2}}, A: {axles: {3: W-3, 4: W-4}}}
wheelsets: {W-1: {axle_class: D}, W-2: {axle_class: D}, W-3: {axle_class: D}, W-4: {axle_class: D}}
sheets:
  - {on: 2026-09-01, by: RE, access: walking round, readings: {underframe: {body_camber: 0 in}}}
"""
ROW = ("QWHX 27", "wheel L1", "flange_thickness", "1 in", "G-2", "2026-10-01", "RE")
DOSSIER = {"format": "carknocker-dossier/3", "outcome": "ready", "as_of": "2026-10-08"}


def test_every_refusal_of_a_form_and_of_a_dossier(tmp_path: Path) -> None:
    record = str(tmp_path / "car.yaml")
    (tmp_path / "car.yaml").write_text(SMALL_CAR, encoding="utf-8")
    columns = "car,part,attribute,value,gauge,on,by"
    for number, one in enumerate((*IN_FILES, *BLANKS)):
        row = [f"{cell}{one}x" if place == number % len(ROW) else cell for place, cell in enumerate(ROW)]
        (tmp_path / "form.csv").write_text(f"{columns}\n{','.join(row)}\n", encoding="utf-8", newline="")
        run = CliRunner().invoke(app, ["enter", record, str(tmp_path / "form.csv"), *DAY])
        refuse_hidden(run.stdout_bytes + run.stderr_bytes)
        assert run.exit_code == 2 or one in (*BLANKS, "\r"), run.output
        key = list(DOSSIER)[number % len(DOSSIER)]
        forged = {**DOSSIER, key: f"{DOSSIER[key]}{one}"}
        (tmp_path / "dossier.json").write_text(json.dumps(forged, ensure_ascii=one in "\x1b\x07"), encoding="utf-8")
        run = CliRunner().invoke(app, ["verify", str(tmp_path / "dossier.json"), record])
        assert run.exit_code == 2
        refuse_hidden(run.stderr_bytes)
