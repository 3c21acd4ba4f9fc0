"""Rules that can do nothing, and rules that stand against each other: told without judging a car."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rulebook_samples import (
    CARRIES,
    FLANGE,
    HOST_SOURCE,
    alone,
    chapter,
    checked,
    criterion_text,
    follows,
    head,
    said,
    write,
)

from carknocker.documents import InputRefused
from carknocker.rulebook.check.satisfiable import Choice, Span


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ("when: {move.train: freight, cracked: yes, all: [{cracked: no}]}\nmust: {cracked: no}",
         "can never apply: its `when` leaves nothing open to `cracked`"),
        ("when: {plate: straight}\nunless: {plate: [straight, curved]}\nmust: {cracked: no}",
         "can never apply: wherever its `when` holds, its `unless` holds too"),
        ("when: {rim_thickness: {over: 2 in}}\nunless: {rim_thickness: {at_least: 1 in}}\nmust: {cracked: no}",
         "wherever its `when` holds, its `unless` holds too"),
        ("must: {flange_thickness: {over: 2 in, under: 1 in}}",
         "can never be met: its `must` leaves nothing open to `flange_thickness`"),
        ("must: {flange_thickness: {over: 1 in, at_most: 1 in}}", "can never be met"),
        ("must: {tread: {one_of: [good, shelled], is_not: good, none_of: [shelled, built up]}}", "can never be met"),
        ("when: {flange_thickness: {under: 1 in}}\nmust: {flange_thickness: {at_least: 1 in}}",
         "can never be met where it applies"),
        ("when: {flange_thickness: {over: 1 in}}\nmust: {flange_thickness: {over: 7/8 in}}",
         "can never be breached: wherever its `when` holds, its `must` holds too"),
        ("when: {tread: good}\nmust: {tread: [good, shelled]}", "can never be breached"),
    ],
)  # fmt: skip
def test_a_criterion_that_can_do_nothing(keys: str, told: str, tmp_path: Path) -> None:
    assert told in alone(tmp_path, criterion_text(keys))


@pytest.mark.parametrize(
    "keys",
    [
        "must: {flange_thickness: {at_least: 1 in, at_most: 1 in}}",
        "when: {plate: curved}\nunless: {tread: good}\nmust: {flange_thickness: {over: 7/8 in}}",
        "when: {rim_thickness: {over: 1 in}}\nunless: {rim_thickness: {over: 2 in}}\nmust: {cracked: no}",
        "when: {flange_thickness: {under: 2 in}}\nmust: {flange_thickness: {over: 7/8 in}}",
        "must: {any: [{flange_thickness: {under: 1 in}}, {flange_thickness: {over: 2 in}}]}",
        "when: {any: [{plate: straight}, {plate: curved}]}\nmust: {cracked: no}",
        "must: {flange_thickness: {shown: yes}}",
    ],
)
def test_a_criterion_that_can_do_something(keys: str, tmp_path: Path) -> None:
    assert "can never" not in alone(tmp_path, criterion_text(keys))


@pytest.mark.parametrize(
    ("cause", "told"),
    [
        ("{state: {plate: straight, all: [{plate: curved}]}, of: wheel}", "a state leaves nothing open to `plate`"),
        ("{work: wheels turned, when: {rim_thickness: {over: 2 in, under: 1 in}}}",
         "the `when` of a cause on `work` leaves nothing open"),
    ],
)  # fmt: skip
def test_a_consequence_that_can_never_follow(cause: str, told: str, tmp_path: Path) -> None:
    assert told in alone(tmp_path, follows(cause, "restricts: {speed: 10 mph}"))


def test_a_consequence_whose_own_when_holds_nowhere(tmp_path: Path) -> None:
    text = follows("{work: wheels turned}", "when: {move.train: freight, all: [{move.train: passenger}]}\n"
                   "restricts: {speed: 10 mph}")  # fmt: skip
    assert "law/follows can never follow: its `when` leaves nothing open to `move.train`" in alone(tmp_path, text)


def of_host(must: str, more: str = "", met: str = "1 in") -> str:
    text = f"""
  - id: own
    title: Own
    of: wheel
    must: {{flange_thickness: {must}}}
    effect: refuse
    shown_by: owner before the move
    {more}
    examples:
      - {{flange_thickness: {met}, is: met}}
      - {{flange_thickness: 3 in, is: breached}}
      - {{flange_thickness: 1/2 in, is: breached}}
"""
    return chapter(text, source=HOST_SOURCE)


def test_a_host_who_contradicts_the_law(tmp_path: Path) -> None:
    found = checked(tmp_path, chapter(FLANGE, CARRIES), host=of_host("{at_most: 7/8 in}"))
    assert "circular/own and law/flange contradict each other: nothing that `flange_thickness` can be" in found


def test_a_host_whose_limit_is_on_the_wrong_side(tmp_path: Path) -> None:
    found = checked(tmp_path, chapter(FLANGE, CARRIES), host=of_host("{under: 1-1/4 in}"))
    assert "circular/own limits `flange_thickness` on the upper side, law/flange on the lower side" in found


@pytest.mark.parametrize("must", ["{over: 1 in}", "{over: 7/8 in, under: 2 in}"])
def test_a_limit_on_the_same_side_or_on_both(must: str, tmp_path: Path) -> None:
    found = checked(tmp_path, chapter(FLANGE, CARRIES), host=of_host(must))
    assert "contradict" not in found
    assert "on the upper side" not in found


@pytest.mark.parametrize(
    ("more", "law"),
    [("when: {move.train: freight}", "{move.train: passenger}"), ("when: {plate: curved}", "{plate: straight}"),
     ("unless: {plate: curved}", "")],
)  # fmt: skip
def test_criteria_that_never_meet_on_one_part_do_not_contradict(more: str, law: str, tmp_path: Path) -> None:
    text = FLANGE.replace("    of: wheel", f"    of: wheel\n    when: {law}") if law else FLANGE
    found = checked(tmp_path, chapter(text, CARRIES), host=of_host("{at_most: 7/8 in}", more))
    assert "contradict" not in found


def test_words_that_contradict_within_one_edition(tmp_path: Path) -> None:
    two = "".join(
        f"""
  - id: {name}
    title: T
    of: wheel
    must: {{plate: {word}}}
    effect: refuse
    shown_by: owner before the move
    examples: [{{plate: {word}, is: met}}, {{plate: {other}, is: breached}}]
"""
        for name, word, other in (("one", "straight", "curved"), ("two", "curved", "straight"))
    )
    assert "law/two and law/one contradict each other" in checked(tmp_path, chapter(two, CARRIES))


@pytest.mark.parametrize("reason", ["", ', reason: ""', ', reason: "  "'])
def test_a_relaxation_without_reason(reason: str, tmp_path: Path) -> None:
    with pytest.raises(InputRefused) as refused:
        checked(tmp_path, host_keys={"layer": "host", "relaxes": f"[{{criterion: law/flange{reason}}}]"})
    found = said(refused.value.problems)
    assert "`reason` is missing" in found or "a text that is not empty" in found


def test_dates_that_overlap(tmp_path: Path) -> None:
    write(tmp_path, "law", "2", head("law", "2", in_force="2024-01-01"), wheels=chapter(FLANGE))
    write(tmp_path, "law", "0", head("law", "0", in_force="2010-01-01", until="2024-06-30"), wheels=chapter(FLANGE))
    found = checked(tmp_path)
    assert "edition 0 in force from 2010-01-01 to 2024-06-30; edition 1" in found
    assert "edition 0 in force from 2010-01-01 to 2024-06-30; edition 2" in found


numbers = st.none() | st.integers(-3, 3)
spans = st.builds(Span, numbers, st.booleans(), numbers, st.booleans())
choices = st.builds(Choice, st.frozensets(st.sampled_from("abc")), st.booleans())


def holds(span: Span, value: float) -> bool:
    above = span.low is None or value > span.low or (value == span.low and not span.low_open)
    below = span.high is None or value < span.high or (value == span.high and not span.high_open)
    return above and below


@given(spans, spans, st.integers(-8, 8))
def test_what_lies_in_both_spans(one: Span, two: Span, half: int) -> None:
    value = half / 2
    assert holds(one.meet(two), value) == (holds(one, value) and holds(two, value))
    if one.within(two) and holds(one, value):
        assert holds(two, value)
    if one.empty:
        assert not holds(one, value)


@given(choices, choices, st.sampled_from("abcd"))
def test_what_passes_both_choices(one: Choice, two: Choice, word: str) -> None:
    def passes(choice: Choice) -> bool:
        return (word in choice.words) != choice.out

    assert passes(one.meet(two)) == (passes(one) and passes(two))
    if one.within(two) and passes(one):
        assert passes(two)
    if one.empty:
        assert not passes(one)
