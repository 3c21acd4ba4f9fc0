"""Problems: in plain words at the place of the value, all of them, each once; and how they are shown."""

import json
from typing import Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import field, to_builtins
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic_core import core_schema

from carknocker.documents import (
    InputRefused,
    Location,
    Problem,
    ProblemList,
    ProblemReporter,
    nearest,
    one_of,
    read_document,
    show_problems,
    some,
)
from carknocker.documents.structure import Accepts, Structure, read_as
from carknocker.quantities import QuantityError


def _refuse(value: object) -> object:
    raise QuantityError("`x`, a letter", "a number", "1", "write a number")


class Inner(Structure, frozen=True, kw_only=True):
    speed: str = ""


class Outer(Structure, frozen=True, kw_only=True):
    name: Annotated[str, Accepts(core_schema.str_schema(min_length=1, max_length=5))]
    start: str = field(default="", name="from")
    kind: Literal["", "left", "right or wrong"] = ""
    count: Annotated[int, Accepts(core_schema.int_schema(ge=0, le=9))] = 0
    listed: tuple[str, ...] = ()
    inner: Inner | None = None
    checked: Annotated[str, Accepts.made_by(_refuse)] = ""


def told(text: str) -> list[tuple[str, str, str, str]]:
    problems = ProblemList()
    node = read_document(text, "f", problems)
    assert node is not None
    read = read_as(node, Outer, problems)
    assert (read is None) == bool(problems.problems)
    return [(str(one.where), one.found, one.expected, one.nearest) for one in problems.problems]


@pytest.mark.parametrize(
    ("text", "where", "found", "expected", "near"),
    [
        ("[a]", "f:1:1", "a list of 1", "a mapping with the keys `name`, `from`", ""),
        ("{}", "f:1:1", "the key `name` is missing", "`name: …` here", ""),
        ("{name: a, nmae: b}", "f:1:11", "the key `nmae`", "one of `name`, `from`", "name"),
        ("{name: a, start: b}", "f:1:11", "the key `start`", "one of `name`, `from`", ""),
        ("{name: [a]}", "f:1:8", "a list of 1", "a text", ""),
        ("{name: ''}", "f:1:8", "``", "a text that is not empty", ""),
        ("{name: abcdef}", "f:1:8", "`abcdef`", "a text of at most 5 characters", ""),
        ("{name: a, kind: lft}", "f:1:17", "`lft`", "one of `left`, `right or wrong`", "left"),
        ("{name: a, count: x}", "f:1:18", "`x`", "a whole number", ""),
        ("{name: a, count: -1}", "f:1:18", "`-1`", "at least 0", ""),
        ("{name: a, count: 10}", "f:1:18", "`10`", "at most 9", ""),
        ("{name: a, listed: b}", "f:1:19", "`b`", "a list", ""),
        ("{name: a, listed: [b, [c]]}", "f:1:23", "a list of 1", "a text", ""),
        ("{name: a, inner: b}", "f:1:18", "`b`", "a mapping", ""),
        ("{name: a, inner: {sped: b}}", "f:1:19", "the key `sped`", "one of `speed`", "speed"),
        ("{name: a, checked: x}", "f:1:20", "`x`, a letter", "a number", "1"),
    ],
)
def test_one_thing_wrong_in_a_shape(text: str, where: str, found: str, expected: str, near: str) -> None:
    problems = told(text)
    assert len(problems) == 1
    assert problems[0][:2] == (where, found)
    assert expected in problems[0][2]
    assert problems[0][3] == near


def test_all_that_is_wrong_in_a_shape() -> None:
    assert [found for _, found, _, _ in told("{nmae: a, kind: up, count: many}")] == [
        "the key `name` is missing", "`up`", "`many`", "the key `nmae`",
    ]  # fmt: skip


class _InnerModel(BaseModel):
    model_config = ConfigDict(extra="forbid")
    speed: str = ""


class _OuterModel(BaseModel):
    """The same shape as `Outer`, as a pydantic model."""

    model_config = ConfigDict(extra="forbid")
    name: Annotated[str, Field(min_length=1, max_length=5)]
    start: str = Field(default="", alias="from")
    kind: Literal["", "left", "right or wrong"] = ""
    count: Annotated[int, Field(ge=0, le=9)] = 0
    listed: tuple[str, ...] = ()
    inner: _InnerModel | None = None


def by_a_model(entry: dict[str, object]) -> tuple[dict[str, object] | None, int]:
    """What a pydantic model makes of an entry, and how many things it finds wrong."""
    try:
        return {**_OuterModel.model_validate(entry).model_dump(by_alias=True), "checked": ""}, 0
    except ValidationError as error:
        return None, error.error_count()


_TEXTS = st.sampled_from(["", "a", "left", "abcdef", "3", "10", "x"])
_VALUES = st.recursive(
    _TEXTS,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.sampled_from(["speed", "b"]), inner, max_size=2),
    max_leaves=4,
)
_KEYS = st.sampled_from(["name", "from", "start", "kind", "count", "listed", "inner", "nmae"])


_WILD = st.dictionaries(_KEYS, _VALUES, max_size=6)
_TAME = st.fixed_dictionaries(
    {"name": st.sampled_from(["a", "left", "abcdef"])},
    optional={
        "from": _TEXTS, "kind": st.sampled_from(["", "left", "lft"]), "count": st.sampled_from(["0", "9", "10"]),
        "listed": st.lists(_TEXTS, max_size=2), "inner": st.dictionaries(st.just("speed"), _TEXTS),
    },
)  # fmt: skip


@given(entry=_TAME | _WILD)
def test_a_structure_takes_and_makes_what_a_pydantic_model_of_the_same_shape_does(entry: dict[str, object]) -> None:
    problems = ProblemList()
    node = read_document(json.dumps(entry), "f", problems)
    assert node is not None
    read = read_as(node, Outer, problems)
    made, wrong = by_a_model(entry)
    assert len(problems) == wrong
    assert (None if read is None else to_builtins(read)) == made


def test_no_name_of_a_class_comes_out() -> None:
    for text in ("[a]", "{name: {a: b}, inner: [c], listed: {d: e}, count: [f], kind: {g: h}, checked: [i]}"):
        words = " ".join(" ".join(problem) for problem in told(text))
        for name in ("Outer", "Inner", "pydantic", "Literal", "str", "int ", "dict", "NoneType", "validat"):
            assert name not in words, words


def test_what_is_written_as_nothing_is_not_there() -> None:
    assert told("{name: a, count: , inner: ~}") == []


def test_nearest() -> None:
    assert nearest("flange_thicknes", ["flange_height", "flange_thickness"]) == "flange_thickness"
    assert nearest("fine", ["passed", "failed"]) == ""
    assert nearest("faild", ["passed", "failed"]) == "failed"
    assert nearest("works", ["sound", "worn"]) == ""
    assert nearest("Flange-Height", ["flange_height"]) == "flange_height"
    assert nearest("quite other", ["flange_height"]) == ""
    assert nearest("", ["a"]) == ""
    assert nearest("x" * 10_000, ["x" * 70, ""]) == "x" * 70


def test_some() -> None:
    assert some([]) == ""
    assert some(["a", "b"]) == "`a`, `b`"
    assert some(str(n) for n in range(14)).endswith("`11`, … (14 in all)")


def test_a_reporter() -> None:
    book = ProblemReporter(ProblemList())
    node = read_document("{a: ' b ', c: , d: [e]}", "f", book.problems)
    assert node is not None
    assert [book.text(node.get(key), "a thing") for key in ("a", "c", "d", "e")] == ["b", "", "", ""]
    assert book.is_known(node, "b", ["b"], "name")
    assert not book.is_known(node, "bb", ["bbb"], "name")
    assert not book.is_known(node, "bb", [], "name")
    book.unknown_key(node, "a", ("aa", "c"), "a thing")
    book.note_error(node, QuantityError("`x`", "y", "z", "do"), "size")
    assert [(one.found, one.expected, one.nearest) for one in book.problems.problems] == [
        ("a list of 1", "a thing: a text", ""),
        ("the name `bb`, which is not known", "one of `bbb`", "bbb"),
        ("the name `bb`, which is not known", "no name: none is written down", ""),
        ("the key `a` in a thing", "one of `aa`, `c`", "aa"),
        ("`x` for `size`", "y", "z"),
    ]


def test_a_refusal_has_each_problem_once_in_the_order_of_the_file() -> None:
    problems = ProblemList()
    problems.refuse_if_any()
    for line in (9, 2, 9):
        problems.add(Problem(Location("f", line, 1), "x"))
    with pytest.raises(InputRefused) as caught:
        problems.refuse_if_any()
    assert [one.where.line for one in caught.value.problems] == [2, 9]
    assert str(caught.value) == "f:2:1: x\nf:9:1: x"
    assert len(problems) == 3


SHOWN = """\
car.yaml:2:9: found the role `ownr`, which is not known
    RE: {role: ownr}
            ^
  expected: one of `owner`
  nearest right word: owner
  to do: correct it

car.yaml:3:1: a thing

2 problems found; nothing was changed."""


def test_problems_shown() -> None:
    problems = (
        Problem(Location("car.yaml", 3, 1), "a thing"),
        Problem(
            Location("car.yaml", 2, 9), "the role `ownr`, which is not known", "one of `owner`", "owner", "correct it"
        ),
    )
    shown = show_problems(problems, {"car.yaml": "car:\nRE: {role: ownr}\n"})
    assert shown == SHOWN
    assert show_problems(problems[:1]) == "car.yaml:3:1: a thing\n\n1 problem found; nothing was changed."


def test_a_long_line_is_cut_round_the_mark() -> None:
    problem = Problem(Location("f", 1, 501), "x", line_text="a" * 500 + "b" + "c" * 500)
    _, line, mark, *_ = show_problems((problem,)).splitlines()
    assert len(line) == 104
    assert line[mark.index("^")] == "b"
    shown = show_problems((Problem(Location("f", 1, 3), "x", line_text="a\tb\x1b[31m"),))
    assert "\x1b" not in shown
    assert "\t" not in shown


def test_one_of_nothing_is_said_in_words() -> None:
    assert one_of(["a", "b"]) == "one of `a`, `b`"
    assert one_of([]) == "nothing: there is none here"
    assert one_of([], "no attribute: there is none") == "no attribute: there is none"
