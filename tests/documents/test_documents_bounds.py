"""However a file is made, reading it is bounded: by nodes, by problems, by what is shown. Counted, not timed."""

import difflib
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import (
    InputRefused,
    Location,
    Node,
    Problem,
    ProblemList,
    document_reader,
    nearest,
    read_document,
    show_problems,
)
from carknocker.documents import problems as problems_module
from carknocker.documents.document_reader import MOST_BYTES, MOST_NODES, MOST_TAG_DIRECTIVES
from carknocker.documents.problems import MOST_PROBLEMS, MOST_SHOWN, TextLines

EVENTS_A_NODE = 2
"""A collection has an end as well."""


class CountingParser(document_reader._Parser):
    """The parser, counting the events that were asked for."""

    events = 0

    def get_event(self) -> Any:
        type(self).events += 1
        return super().get_event()


@pytest.fixture
def events(monkeypatch: pytest.MonkeyPatch) -> Callable[[], int]:
    monkeypatch.setattr(CountingParser, "events", 0)
    monkeypatch.setattr(document_reader, "_Parser", CountingParser)
    return lambda: CountingParser.events


def filled(piece: str, before: str = "", after: str = "") -> str:
    """A text as long as a file may be."""
    return before + piece * ((MOST_BYTES - len(before) - len(after)) // len(piece)) + after


HOSTILE: dict[str, Callable[[], str]] = {
    "list": lambda: filled("a,", "[", "]"),
    "lists": lambda: filled("[],", "[", "]"),
    "mappings": lambda: filled("{},", "[", "]"),
    "keys": lambda: filled("a: b\n"),
    "keys in braces": lambda: filled("a: b, ", "{", "}"),
    "entries": lambda: filled("- a: b\n"),
    "deep": lambda: filled("["),
    "deep mappings": lambda: filled("{a: "),
    "deep dashes": lambda: filled("- "),
    "deep questions": lambda: filled("? "),
    "aliases": lambda: filled("*a,", "[&a b,", "]"),
    "wide aliases": lambda: filled("*a,", "[&a [" + "b," * 1000 + "],", "]"),
    "anchors": lambda: "".join(f"- &a{number} b\n" for number in range(300_000)),
    "tags": lambda: filled("!t a,", "[", "]"),
    "merges": lambda: filled("{<<: a},", "[", "]"),
    "lists as keys": lambda: filled("[]: a,", "{", "}"),
    "commas": lambda: "{a: 1," + "".join(f"k{number}," for number in range(400_000)) + "}",
    "hidden": lambda: filled('"\\e",', "[", "]"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_no_more_than_the_most_nodes_are_read(name: str, events: Callable[[], int]) -> None:
    problems = ProblemList()
    with suppress(InputRefused):
        read_document(HOSTILE[name](), "f", problems)
    assert 0 < len(problems) <= MOST_PROBLEMS
    assert events() <= EVENTS_A_NODE * MOST_NODES + 10


def test_tag_directives_are_not_compared_with_each_other(events: Callable[[], int]) -> None:
    problems = ProblemList()
    assert read_document("".join(f"%TAG !a{n}! !b\n" for n in range(200_000)), "f", problems) is None
    assert [problem.found for problem in problems.problems] == [f"more than {MOST_TAG_DIRECTIVES} directives `%TAG`"]
    assert events() == 0


class HashedOnly(dict[str, tuple[Node, Node]]):
    """Entries that may be looked up and not walked through."""

    def __iter__(self) -> Iterator[str]:
        raise AssertionError("walked through")

    items = values = keys = __iter__  # type: ignore[assignment]


def test_a_key_is_looked_up_by_hash() -> None:
    value = Node("scalar", "f", 2, 7, "x")
    mapping = Node("mapping", "f", 0, 0, entries=HashedOnly(a=(Node("scalar", "f", 2, 3, "a"), value)))
    assert mapping.get("a") is value
    assert mapping.get("b") is None
    assert mapping.key_where("a") == Location("f", 3, 4)
    assert mapping.key_where("b") == Location("f", 1, 1)


def test_many_keys_are_described_by_the_first() -> None:
    node = read_document("{" + "".join(f"{'k' * 200}{n}: x, " for n in range(500)) + "}", "f", ProblemList())
    assert node is not None
    assert len(node.describe()) < 400
    assert node.describe().count(",") == 3


def test_problems_end_the_reading() -> None:
    problems = ProblemList()
    for number in range(1, MOST_PROBLEMS):
        problems.add(Problem(Location("f", number, 1), "x"))
    with pytest.raises(InputRefused) as refused:
        problems.add(Problem(Location("f", MOST_PROBLEMS, 1), "x"))
    assert len(problems) == len(refused.value.problems) == MOST_PROBLEMS


def made(count: int) -> tuple[Problem, ...]:
    return tuple(Problem(Location("f", number + 1, 1), f"thing {number}") for number in range(count))


@pytest.mark.parametrize(
    ("count", "shown", "last"),
    [
        (1, 1, "1 problem found; nothing was changed."),
        (MOST_SHOWN, MOST_SHOWN, f"{MOST_SHOWN} problems found; nothing was changed."),
        (MOST_SHOWN + 1, MOST_SHOWN, f"{MOST_SHOWN + 1} problems found, 1 more than are shown; nothing was changed."),
        (1000, 100, "1,000 problems found, at least 900 more than are shown; nothing was changed."),
    ],
)
def test_of_many_problems_the_first_are_shown(count: int, shown: int, last: str) -> None:
    lines = show_problems(made(count)[::-1]).splitlines()
    assert lines[-1] == last
    assert lines[:-1:2] == [f"f:{number + 1}:1: thing {number}" for number in range(shown)]


def test_only_what_is_shown_of_a_line_is_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    cleaned: list[int] = []
    visible_line = problems_module.visible_line

    def counting(text: str) -> str:
        cleaned.append(len(text))
        return visible_line(text)

    monkeypatch.setattr(problems_module, "visible_line", counting)
    text = "k: x, " * 600_000
    found = tuple(Problem(Location("f", 1, 6 * number + 1), "x") for number in range(MOST_SHOWN))
    shown = show_problems(found, {"f": text})
    assert shown.count("\n    ") == 2 * MOST_SHOWN
    assert sum(cleaned) < 200 * MOST_SHOWN


def test_a_line_is_cut_out_of_the_text_once() -> None:
    lines = TextLines("a" * 1_000_000 + "\nb")
    assert lines[0] is lines[0]
    assert (len(lines), lines[1]) == (2, "b")


ENDS = st.sampled_from(["\n", "\r", "\r\n", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029"])


@given(st.lists(st.text(max_size=5) | ENDS, max_size=40).map("".join), st.integers(1, 9))
def test_the_lines_of_a_text(text: str, piece: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(problems_module, "_PIECE", piece)
        lines = TextLines(text)
        assert [lines[number] for number in range(len(lines))] == text.splitlines()


def test_of_very_many_names_only_some_are_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[int] = []
    close = difflib.get_close_matches

    def counting(word: str, names: Any, **more: Any) -> list[str]:
        compared.append(len(names))
        return close(word, names, **more)

    monkeypatch.setattr(difflib, "get_close_matches", counting)
    names = ["flange_thickness", *(f"{letter}{number}" for letter in "abcdefgh" for number in range(5_000))]
    assert nearest("Flange-thicknes", names) == "flange_thickness"
    assert nearest("flange_thicknes", names[:200]) == "flange_thickness"
    assert compared == [300, 200]
