"""Whatever a file holds, a record comes out or it is refused in words; and what does not matter does not matter."""

import random
import re
from fractions import Fraction
from typing import Any

import yaml
from hypothesis import given
from hypothesis import strategies as st
from record_samples import CAR, MOVE, car, problems_of

from carknocker.documents import show_problems
from carknocker.record.model import Evidence

WORDS = st.sampled_from(
    ["car", "wheels", "L1", "all", "on", "no", "010", "12:30", "~", "", "²", "W-3", "sheets", "readings",
     "after", "J-1", "at", "id", "9" * 400, "é\u202e", "\u0000", "1 1/0 in", "not accessible",
     "2026-13-01", "yes", "G-2", "{", "- "]
) | st.text(max_size=12)  # fmt: skip
TREES = st.recursive(
    WORDS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS, inner, max_size=4), max_leaves=20
)


def sound(text: str) -> None:
    for problem in problems_of(text):
        assert problem.found
        assert problem.where.line >= 1
        assert problem.where.column >= 1
        assert "pydantic" not in show_problems((problem,))


@given(st.dictionaries(st.sampled_from(list(yaml.safe_load(CAR))), TREES, max_size=6))
def test_any_tree_under_the_right_keys(tree: dict[str, Any]) -> None:
    sound(yaml.safe_dump({**tree, "format": "carknocker-car/1"}, allow_unicode=True, sort_keys=False))


@given(st.dictionaries(st.sampled_from(list(yaml.safe_load(MOVE))), TREES, max_size=4))
def test_any_move_under_the_right_keys(tree: dict[str, Any]) -> None:
    sound(yaml.safe_dump({**tree, "format": "carknocker-move/1"}, allow_unicode=True, sort_keys=False))


@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    sound(text)
    sound("format: carknocker-car/1\n" + text)


def texts_of(text: str) -> Any:
    """The tree of a text with every scalar as text, as the reader sees it."""
    return yaml.load(text, Loader=yaml.BaseLoader)


@given(st.randoms(use_true_random=False), TREES, st.sampled_from([CAR, MOVE]))
def test_a_good_file_with_one_place_changed(chance: random.Random, other: Any, text: str) -> None:
    tree = texts_of(text)
    here: Any = tree
    while True:
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        key = chance.choice(keys)
        if not isinstance(here[key], (dict, list)) or not here[key] or chance.random() < 0.2:
            break
        here = here[key]
    match chance.randrange(4):
        case 0:
            del here[key]
        case 1:
            here[key] = other
        case 2 if isinstance(here, list):
            here.append(here[key])
        case _ if isinstance(here, dict):
            here[str(other)[:30]] = here.pop(key)
    sound(yaml.safe_dump(tree, allow_unicode=True, sort_keys=False))


@given(
    st.integers(0, len(CAR)), st.integers(0, 8), st.sampled_from(["", "{", "}", ":", "\n", "- ", "'", "&a ", "*a", "é"])
)
def test_a_good_file_with_a_piece_cut_out(start: int, length: int, piece: str) -> None:
    sound(CAR[:start] + piece + CAR[start + length :])


def told(evidence: tuple[Evidence, ...]) -> set[tuple[object, ...]]:
    """What evidence says, without where it says it."""
    return {
        (one.id, one.part, one.place, one.attribute, repr(one.value), one.on, one.by and one.by.name,
         one.gauge and one.gauge.name, repr(one.resolution), one.sheet, one.after, repr(sorted(one.facts.items())))
        for one in evidence
    }  # fmt: skip


def shuffled(tree: Any, chance: random.Random) -> Any:
    if isinstance(tree, dict):
        keys = list(tree)
        chance.shuffle(keys)
        return {key: shuffled(tree[key], chance) for key in keys}
    return [shuffled(one, chance) for one in tree] if isinstance(tree, list) else tree


@given(st.randoms(use_true_random=False))
def test_the_order_of_keys_does_not_matter(chance: random.Random) -> None:
    other = car(yaml.safe_dump(shuffled(texts_of(CAR), chance), sort_keys=False))
    record = car()
    assert told(other.evidence) == told(record.evidence)
    assert {part.key for part in other.parts} == {part.key for part in record.parts}
    assert other.fittings == record.fittings
    assert [(one.id, one.on, one.at) for one in other.work] == [(one.id, one.on, one.at) for one in record.work]


@given(st.integers(8, 112))  # what a flange can be
def test_inches_and_millimeters_are_one(sixty_fourths: int) -> None:
    inches = Fraction(sixty_fourths, 64)
    millimeters = f"{sixty_fourths * 254 / 640:.7f}"
    assert Fraction(millimeters) == inches * Fraction(254, 10)
    one = car(CAR.replace("15/16 in", f"{inches} in")).evidence
    other = car(CAR.replace("15/16 in", f"{millimeters} mm")).evidence
    assert [entry.value for entry in one] == [entry.value for entry in other]


SIDES = {"left": "right", "right": "left"}


def mirrored(text: str) -> str:
    for left, right in (("L1", "R1"), ("L2", "R2"), ("L3", "R3"), ("L4", "R4")):
        text = text.replace(left, "§").replace(right, left).replace("§", right)
    return re.sub(r"\b(left|right)(?=_bearing|$|: )", lambda found: SIDES[found[1]], text, flags=re.MULTILINE)


def test_a_car_seen_from_the_other_side() -> None:
    def seen(text: str) -> set[tuple[str, str, str, str]]:
        return {(one.part, one.place, one.attribute, repr(one.value)) for one in car(text).evidence}

    assert {(mirrored(part), mirrored(place), name, value) for part, place, name, value in seen(CAR)} == seen(
        mirrored(CAR)
    )
