"""JSON of every question: the answer's own fields, by rules whose names are all there."""

import json
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from types import UnionType
from typing import Union, get_args, get_origin, get_type_hints

import msgspec
import pytest

import carknocker
from carknocker.documents import Location
from carknocker.page.json_encoder import answer_json, encode, every_field, json_text, keys
from carknocker.page.sheet import LINE_RULES
from carknocker.quantities import Quantity
from carknocker.record.values import Figure
from carknocker.rulebook.model import Source
from carknocker.wording.record_lines import RecordLine

PACKAGE = Path(carknocker.__file__).parent
FORMS = sorted(
    ".".join(file.relative_to(PACKAGE.parent).with_suffix("").parts)
    for pattern in ("**/json_form.py", "**/edition_json.py")
    for file in PACKAGE.glob(pattern)
)


class Inner(msgspec.Struct, frozen=True):
    day: date
    note: str


class Outer(msgspec.Struct, frozen=True):
    name: str
    inner: Inner | None
    amount: Fraction
    pairs: tuple[tuple[str, int], ...] = ()


ONE = Outer("x", Inner(date(2026, 10, 8), ""), Fraction(85, 2), (("a", 1), ("b", 2)))


def test_without_a_rule_all_fields_are_written_in_their_order():
    assert encode(ONE) == {
        "name": "x", "inner": {"day": "2026-10-08", "note": ""}, "amount": "85/2", "pairs": [["a", 1], ["b", 2]],
    }  # fmt: skip
    assert list(encode(ONE)) == ["name", "inner", "amount", "pairs"]


def test_a_rule_names_reaches_in_and_says_what_is_null():
    rules = {Outer: keys("title=name", "day=inner.day", "note=inner.note?", "pairs[word count]")}
    assert encode(ONE, rules) == {
        "title": "x", "day": "2026-10-08", "note": None,
        "pairs": [{"word": "a", "count": 1}, {"word": "b", "count": 2}],
    }  # fmt: skip
    assert encode(Outer("y", None, Fraction(1)), rules) == {"title": "y", "day": None, "note": None, "pairs": []}


def test_what_every_form_writes_as_one_text():
    assert encode([Figure(Quantity("length", 7, 8, "in")), Location("car.yaml", 12, 3)]) == ["7/8 in", "car.yaml:12"]
    assert encode({"b": frozenset(("z", "a")), "n": 3, "yes": True}) == {"b": ["a", "z"], "n": 3, "yes": True}
    source = Source("49 CFR", "229.75", "", "law", "read")
    assert encode(source)["check_current_text"] is False
    assert encode(source)["year"] is None
    assert "check_current_text" not in encode(source, {Source: every_field(Source)})


def test_a_line_with_a_box_is_written_with_it():
    lines = [RecordLine("wheel made", "", box=True), RecordLine("weight", "not on record", known=False)]
    assert encode(lines, LINE_RULES) == [
        {"label": "wheel made", "text": "[  ]", "known": True, "owner_supplies": True},
        {"label": "weight", "text": "not on record", "known": False, "owner_supplies": True},
    ]


def test_a_type_that_nothing_speaks_of_is_refused():
    with pytest.raises(TypeError, match="nothing says how a complex"):
        encode({"a": 1j})


def test_an_answer_bears_the_name_of_its_form_first():
    assert list(json.loads(answer_json("x/1", ONE, car="c"))) == ["format", "car", "name", "inner", "amount", "pairs"]
    assert answer_json("x/1", ONE).endswith("}\n")


def _reached(kind: type, name: str) -> object:
    """The type of a field or of a property."""
    hints = get_type_hints(kind)
    if name in hints:
        return hints[name]
    return get_type_hints(getattr(kind, name).fget)["return"]


def _parts(hint: object) -> list[object]:
    return list(get_args(hint)) if get_origin(hint) in (Union, UnionType) else [hint]


def _check(kind: type, path: tuple[str, ...]) -> None:
    found: list[object] = [kind]
    for name in path:
        found = [part for one in found if isinstance(one, type) for part in _parts(_reached(one, name))]
        found = [one for one in found if one is not type(None)] or [type(None)]


def _rules_of(form: str) -> list[Mapping]:
    named = vars(import_module(form)).items()
    return [value for name, value in named if name.startswith("_RULES") and isinstance(value, Mapping)]


@pytest.mark.parametrize("form", [form for form in FORMS if _rules_of(form)])
def test_every_name_in_the_rules_of_a_form_is_a_field_or_a_property(form):
    checked = 0
    for table in _rules_of(form):
        for kind, rule in table.items():
            for key in rule if isinstance(rule, tuple) else ():
                _check(kind, key.path)
                checked += 1
    assert checked > 0


def test_the_forms_without_rules_of_their_own_are_known():
    """They write every field of their answer as it stands."""
    assert {form for form in FORMS if not _rules_of(form)} == {
        "carknocker.questions.spares.json_form", "carknocker.questions.worksheet.json_form",
    }  # fmt: skip


def test_the_forms_are_where_this_test_looks_for_them():
    of_questions = ("plan", "why", "lift", "tag", "figures", "place_wheels", "rules_check", "rules_diff")
    assert {f"carknocker.questions.{name}.json_form" for name in of_questions} <= set(FORMS)
    shared = ("dossier.json_form", "page.edition_json", "whatif.differences.json_form")
    assert {f"carknocker.{name}" for name in shared} <= set(FORMS)


def test_what_has_nothing_nested_in_it_is_one_line_and_all_of_it_is_there():
    form = {
        "empty": [],
        "plain": ["a", 1, None],
        "short": {"parts": ["a", "b"], "stops": ["car"]},
        "nested": [{"deep": {"x": [1]}, "y": True}],
    }
    assert json_text(form) == (
        "{\n"
        '  "empty": [],\n'
        '  "plain": ["a", 1, null],\n'
        '  "short": {"parts": ["a", "b"], "stops": ["car"]},\n'
        '  "nested": [\n'
        "    {\n"
        '      "deep": {"x": [1]},\n'
        '      "y": true\n'
        "    }\n"
        "  ]\n"
        "}\n"
    )
    long = {"parts": ["a" * 100, "b" * 100], "stops": ["car"]}
    assert json_text(long).count("\n") == 4
    assert json.loads(json_text(long)) == long
