"""YAML read safely: every scalar stays text, every value knows its place, and nothing is too much."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import Node, Problem, ProblemList, read_document


def read(text: str) -> tuple[Node | None, tuple[Problem, ...]]:
    problems = ProblemList()
    return read_document(text, "f.yaml", problems), problems.problems


def good(text: str) -> Node:
    node, problems = read(text)
    assert problems == ()
    assert node is not None
    return node


def bad(text: str) -> Problem:
    problems = read(text)[1]
    assert len(problems) == 1, [problem.found for problem in problems]
    return problems[0]


@pytest.mark.parametrize(
    "text",
    [
        "no",
        "on",
        "yes",
        "12:30",
        "010",
        "0x10",
        "1e3",
        "2026-09-12",
        "3.20",
        ".5",
        "+1",
        "1_000",
        "NaN",
        "Off",
        "=",
        "!x",
    ],
)
def test_no_scalar_is_guessed_at(text: str) -> None:
    written = text if text[0] not in "!" else f"'{text}'"
    assert good(f"key: {written}").plain() == {"key": text}
    assert good(f"{{{written}: a}}").plain() == {text: "a"}


def test_nothing_is_nothing_unless_quoted() -> None:
    assert good("{a: , b: ~, c: null, d: '', e: '~', f: {}, g: []}").plain() == {
        "a": None, "b": None, "c": None, "d": "", "e": "~", "f": {}, "g": [],
    }  # fmt: skip


def test_places() -> None:
    node = good("a: x\nb:\n  - é: 1\n  -   {c: [d, 'e']}\n")
    assert str(node.where) == "f.yaml:1:1"
    assert str(node.key_where("b")) == "f.yaml:2:1"
    assert str(node.key_where("z")) == "f.yaml:1:1"
    listed = node.get("b")
    assert listed is not None
    assert [str(one.where) for one in listed.nodes] == ["f.yaml:3:5", "f.yaml:4:7"]
    inner = listed.nodes[1].get("c")
    assert inner is not None
    assert [(one.text, one.quoted, str(one.where)) for one in inner.nodes] == [
        ("d", False, "f.yaml:4:12"), ("e", True, "f.yaml:4:15"),
    ]  # fmt: skip
    assert node.get("z") is None
    assert [key for key, _, _ in node.items()] == ["a", "b"]
    assert node.only(("b",)).keys() == ("b",)


def test_what_stands_here() -> None:
    assert good("{a: b, c: d}").describe() == "a mapping with the keys a, c"
    assert good("{}").describe() == "a mapping without keys"
    assert good("[1, 2]").describe() == "a list of 2"
    assert good("x").describe() == "`x`"
    assert good("[~]").nodes[0].describe() == "nothing"


@pytest.mark.parametrize(
    ("text", "where", "found", "remedy"),
    [
        ("a: 1\nb: 2\na: 3", "f.yaml:3:1", "`a` a second time (first on line 1)", ""),
        ("a: !b c", "f.yaml:1:4", "the tag `!b`", "take the tag out"),
        ("a: !!python/name:os.system ", "f.yaml:1:4", "the tag `tag:yaml.org,2002:python/name:os", "take the"),
        ("a: {<<: {b: c}}", "f.yaml:1:5", "a merge key `<<`", "copy the values in"),
        ("{a: 1, 000 lb}", "f.yaml:1:8", "`000 lb` stands alone: inside braces a comma ends", "put the value"),
        ("{a: level, full}", "f.yaml:1:12", "`full` stands alone", "put the value in quotes"),
        ('a: "x\\e[31m"', "f.yaml:1:4", "the character U+001B, which can't be seen", ""),
        ("é: 1\nb: x\u202ey", "f.yaml:2:4", "the character U+202E, which can't be seen", ""),
        ("é: 1\nb: \x0c", "f.yaml:2:4", "not YAML: the character U+000C", ""),
        ("a: b: c", "f.yaml:1:5", "the YAML breaks off here", "put the whole value in quotes"),
        ("a:\n\t- b", "f.yaml:2:1", "the YAML breaks off here", "use spaces, not tabs"),
        ("a: [b", "f.yaml:1:6", "the YAML breaks off here", "check the brackets"),
        ("a: `b`", "f.yaml:1:4", "the YAML breaks off here", "quote a value"),
        ("a: *b", "f.yaml:1:4", "an alias `*` to no anchor", ""),
        ("", "f.yaml:1:1", "an empty document", ""),
        ("--- a\n--- b\n", "f.yaml:2:1", "begins a second document in the file", "a file of its own"),
    ],
)  # fmt: skip
def test_one_thing_wrong(text: str, where: str, found: str, remedy: str) -> None:
    problem = bad(text)
    assert str(problem.where) == where
    assert found in problem.found
    assert remedy in problem.remedy


def test_a_second_document_is_told_in_plain_words() -> None:
    problem = bad("--- {a: b}\n---\nc: d\n")
    assert (str(problem.where), problem.line_text) == ("f.yaml:2:1", "---")
    assert problem.found == "the YAML breaks off here: a line `---` begins a second document in the file"
    assert problem.expected == "one document in a file"


def test_an_entry_without_a_value_is_no_comma_inside_braces() -> None:
    assert good("{1: W-1, 2: , 3: ~}").plain() == {"1": "W-1", "2": None, "3": None}


def test_unusual_but_readable_signs() -> None:
    text = "1½ in, 10° 30', 2\u00a0qt, naïve – Ω ☃ 😀\n two lines"
    assert good("a: |\n  two\n  lines\n").plain() == {"a": "two\nlines\n"}
    assert good(f'a: "{text}"').plain() == {"a": text.replace("\n two", " two")}


def test_caps() -> None:
    assert good("[" * 40 + "]" * 40).kind == "sequence"
    assert "deeper than 40 levels" in bad("[" * 41 + "]" * 41).found
    assert "more than 200,000 values" in bad("[" + "[],[],[],[],[],[],[],[],[],[]," * 20_001 + "]").found
    assert "an alias inside" in bad("&a {b: [*a]}").found


def test_what_an_alias_stands_for_is_shared_and_counted() -> None:
    node = good("{a: &x {b: c}, d: *x}")
    assert node.plain() == {"a": {"b": "c"}, "d": {"b": "c"}}
    assert node.get("a") is node.get("d")
    wide = "a: &a [" + "x," * 3000 + "]\nb: [" + "*a," * 150 + "]\n"
    assert "aliases that grow to more than 200,000 values" in bad(wide).found


@given(st.text(max_size=300))
def test_any_text_is_read_or_told_of(text: str) -> None:
    node, problems = read(text)
    assert node is not None or problems
    assert all(problem.where.line >= 1 and problem.where.column >= 1 for problem in problems)


@given(st.text(alphabet="ab:{}[]-,&*!|>'\"#?% \n\t~", max_size=80))
def test_any_signs_of_yaml(text: str) -> None:
    node, problems = read(text)
    assert node is not None or problems
