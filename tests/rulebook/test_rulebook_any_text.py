"""Whatever stands in an edition's files, it is read or refused in plain words: never a traceback."""

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from example_counts import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from rulebook_samples import CARRIES, FLANGE, HOST_SOURCE, chapter, head, library, move, write

from carknocker.documents import InputRefused, Problem, show_problems
from carknocker.rulebook.check import check_library

FILES = {
    ("law", "edition.yaml"): head("law", "1", regimes="{passenger: part 238}"),
    ("law", "wheels.yaml"): chapter(FLANGE, CARRIES, when="{move.train: passenger}"),
    ("circular", "edition.yaml"): head(
        "circular", "7", layer="host", relaxes="[{criterion: law/flange, reason: short}]", until="2030-01-01"
    ),
    ("circular", "a.yaml"): chapter(FLANGE + "    tightens: law/flange\n    read_within: 90 days\n", """
  - id: follows
    title: F
    cause:
      - {work: [valve replaced], when: {control_valve: UC}}
      - {event: slid wheels, when: {fact.cause: {is_not: other}}}
      - {state: {count: {of: spring, when: {leaf_broken: yes}, at_most: 1}}, of: truck}
    voids: {readings: [leakage], of: brake system}
    requires: {test: single-car brake test, within: 30 days}
    restricts: {speed: half the train's maximum allowable speed, place: [rear]}
    relieves: {criterion: named, leaves: {speed: 10 mph}}
""", source=HOST_SOURCE),
}  # fmt: skip
PIECES = [
    "[", "]", "{", "}", ":", ": ", ", ", "- ", "\n", "&a ", "*a", "!!python/object:x ", "? ", "|\n", "~", "''", "0",
    "1/0 in",
    "yes", "[[]]", "{by: }", "{attribute: x}", "any: ", "count: ", "2020-02-30", "9999999999999999999 in", "\x00", "é",
    "\t",
]  # fmt: skip


def refusal(ask: Callable[[], object]) -> tuple[Problem, ...] | None:
    """The problems for which something is refused; None if it is not."""
    try:
        ask()
    except InputRefused as error:
        return error.problems
    return None


def sound(folder: Path) -> None:
    """Reads, chooses and checks; a refusal has at least one problem, and each problem has a place and words."""
    planned = move()
    for ask in (lambda: library(folder).rulebooks(planned), lambda: check_library(library(folder))):
        problems = refusal(ask)
        if problems is not None:
            assert problems
            assert all(problem.found and problem.where.line >= 1 for problem in problems)
            assert "problem" in show_problems(problems)


def with_text(place: tuple[str, str], text: str) -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        for ruleset, edition in (("law", "1"), ("circular", "7")):
            write(folder, ruleset, edition, "")
        for (ruleset, name), good in FILES.items():
            edition = "1" if ruleset == "law" else "7"
            written = text if (ruleset, name) == place else good
            (folder / ruleset / edition / name).write_bytes(written.encode("utf-8", "surrogatepass"))
        sound(folder)
    finally:
        shutil.rmtree(folder)


@given(st.sampled_from(sorted(FILES)), st.data())
@settings(max_examples=examples(50))
def test_a_good_file_with_a_piece_changed(place: tuple[str, str], data: st.DataObject) -> None:
    text = FILES[place]
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 12)))
        text = text[:start] + data.draw(st.sampled_from(PIECES)) + text[end:]
    with_text(place, text)


@given(st.sampled_from(sorted(FILES)), st.data())
@settings(max_examples=examples(50))
def test_a_good_file_with_words_exchanged(place: tuple[str, str], data: st.DataObject) -> None:
    words = FILES[place].split(" ")
    for _ in range(data.draw(st.integers(1, 3))):
        first, second = (data.draw(st.integers(0, len(words) - 1)) for _ in range(2))
        words[first], words[second] = words[second], words[first]
    with_text(place, " ".join(words))


@given(st.sampled_from(sorted(FILES)), st.text(max_size=200))
def test_any_text(place: tuple[str, str], text: str) -> None:
    with_text(place, text)
