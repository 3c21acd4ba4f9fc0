"""One word for one thing: what the glossary says that nobody writes is in no output, message, rule or page of docs/.

Quoted text keeps its own words, and is known by its place: between “ and ”, under `words` of a source, as what people
call a thing (`OTHER_NAMES`, `other_names.yaml`), in code between backticks.
"""

import ast
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest
import yaml
from typer.testing import CliRunner

from carknocker.cli.main import app, folders
from carknocker.wording.glossary import terms
from carknocker.wording.terms_page import terms_page

ROOT = Path(__file__).parent.parent.parent
GLOSSARY = ROOT / "engine" / "carknocker" / "wording" / "terms.yaml"
TERMS = ROOT / "docs" / "terms.md"
INSTEAD = tuple(sorted(words for term in terms() for words in term.instead_of))
QUOTED_KEYS = frozenset({"words"})
NAMES_OF_OTHERS = frozenset({"OTHER_NAMES", "_EARLIER_WORDS", "_BRITISH"})
Texts = Iterable[tuple[str, str]]
_UNWRITTEN = re.compile(rf"(?<!\w)(?:{'|'.join(re.escape(words) for words in INSTEAD)})(?!\w)", re.IGNORECASE)


def slips(texts: Texts) -> list[str]:
    """Where a text has a word that nobody writes, with that word."""
    found = []
    for where, text in texts:
        flat = " ".join(re.sub(r"“[^”]*”", "“”", text).split())
        found.extend(f"{where}: {one[0]}" for one in _UNWRITTEN.finditer(flat))
    return found


def texts_of_code(file: Path) -> Iterator[tuple[str, str]]:
    """Every text in a module, but for docstrings other than a command's, which is its help."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    passed: set[ast.AST] = set()
    for node in ast.walk(tree):
        match node:
            case ast.Expr(value=ast.Constant() as told):
                passed.add(told)
            case (
                ast.Assign(targets=[ast.Name(id=name)], value=value)
                | ast.AnnAssign(target=ast.Name(id=name), value=ast.AST() as value)
            ) if name in NAMES_OF_OTHERS:
                passed.update(ast.walk(value))
            case ast.JoinedStr(values=values):
                passed.update(values)
                yield (
                    f"{file.name}:{node.lineno}",
                    "".join(str(one.value) if isinstance(one, ast.Constant) else "…" for one in values),
                )
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in passed:
            yield f"{file.name}:{node.lineno}", node.value


def texts_of_yaml(file: Path) -> Iterator[tuple[str, str]]:
    """Every key and every value of a file, but for quoted words."""
    rows = [yaml.compose(file.read_text(encoding="utf-8"))]
    while rows:
        node = rows.pop()
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                if key.value not in QUOTED_KEYS:
                    rows.extend((key, value))
        elif isinstance(node, yaml.SequenceNode):
            rows.extend(node.value)
        elif node is not None:
            yield f"{file.parent.name}/{file.name}:{node.start_mark.line + 1}", node.value


def paragraphs_of(file: Path) -> Iterator[tuple[str, str]]:
    """The paragraphs of a page of docs/, without code."""
    text = re.sub(r"```.*?```|`[^`\n]*`", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
    for number, paragraph in enumerate(re.split(r"\n\s*\n", text), start=1):
        yield f"{file.name}, paragraph {number}", paragraph


@cache
def golden() -> tuple[tuple[str, str], ...]:
    files = sorted((ROOT / "tests" / "cases" / "golden").glob("*"))
    return tuple((file.name, file.read_text(encoding="utf-8")) for file in files)


def test_the_page_of_terms_is_what_the_glossary_gives():
    assert TERMS.read_text(encoding="utf-8") == terms_page()
    assert terms_page().count("\n| **") == len(terms())


def test_no_word_is_both_written_and_not_written():
    forms = {form.casefold() for term in terms() for form in term.forms}
    assert len(INSTEAD) > 40
    assert not forms & {words.casefold() for words in INSTEAD}
    assert len(INSTEAD) == len(set(INSTEAD))


def test_a_slip_is_found_and_a_quotation_is_passed():
    assert slips([("here", "a test that no longer\nstands, on trainline power")]) == [
        "here: no longer stands", "here: trainline power",
    ]  # fmt: skip
    assert slips([("here", "“the certificate is withdrawn” (49 CFR 1.1)")]) == []
    assert slips([("here", "drivers of screws")]) == []


def test_the_pages_of_the_demo_cases():
    assert len(golden()) > 10
    assert slips(golden()) == []


def test_every_text_in_the_code():
    files = sorted((ROOT / "engine").rglob("*.py"))
    assert len(files) > 300
    assert slips(one for file in files for one in texts_of_code(file)) == []


@pytest.mark.parametrize("folder", ["engine", "rulesets"])
def test_every_text_in_vocabulary_and_rules(folder):
    files = sorted(file for file in (ROOT / folder).rglob("*.yaml") if file.name != "other_names.yaml")
    assert len(files) > 10
    assert slips(one for file in files if file != GLOSSARY for one in texts_of_yaml(file)) == []
    assert slips((term.term, term.said) for term in terms()) == []


def test_the_docs():
    files = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
    assert slips(one for file in files if file != TERMS for one in paragraphs_of(file)) == []


def test_the_help_of_every_command():
    commands = [
        words
        for name, found in folders().items()
        for words in ([(name, one) for one in found] if isinstance(found, dict) else [(name,)])
    ]
    assert len(commands) > 20
    assert (
        slips((" ".join(words), CliRunner().invoke(app, [*words, "--help"]).stdout) for words in [(), *commands]) == []
    )
