"""Parts and cars in words, many parts in short form: `wheels L1–L6, R1–R6`."""

import re
from collections.abc import Iterable, Mapping
from typing import Protocol

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Part
from carknocker.vocabulary import load_vocabulary

_NUMBERED = re.compile(r"([A-Za-z]*)(\d+)")
_RANGED = frozenset({"axles", "sides of axle", "listed", "legs"})

_THE = {"car": "the car", "move": "the move", "train": "the train"}


def label_of(part: Part) -> str:
    """The label of a part: `wheel R5`, `the car`; a part of a spare says so."""
    if not part.fitted:
        return f"{part.label} (spare)"
    return part.label if part.position or part.label.startswith(("the ", "unlisted ")) else f"the {part.label}"


def part_words(part: Part) -> str:
    """A part in words: `wheel R5`, `the car`; a part that is not fitted says so."""
    label = _THE.get(part.key, part.label)
    return label if part.fitted else f"{label} (not fitted)"


def of_part(label: str, part: Part) -> str:
    """An attribute with its part: `kind of truck B`; the label alone if it ends with the part already."""
    named = f" of {part_words(part)}"
    return label if label.endswith(named) else f"{label}{named}"


def part_by_key(parts: Mapping[str, Part], key: str) -> str:
    """The label of a part; the key itself if there is no such part."""
    found = parts.get(key)
    return key if found is None else part_words(found)


def attribute_words(kind: str, name: str) -> str:
    """The label of an attribute of a kind of part."""
    attribute = load_vocabulary().attribute(kind, name)
    return name.replace("_", " ") if attribute is None else attribute.label


def named(parts: Iterable[Part], index: JudgementIndex) -> str:
    """Some parts in walking order, kind by kind: `wheels L1–L4, R1–R4; truck B`."""
    by_kind: dict[tuple[str, bool], list[Part]] = {}
    for part in index.in_order(parts):
        by_kind.setdefault((part.kind, part.fitted), []).append(part)
    return "; ".join(_of_one_kind(kind, own, index) for (kind, _), own in by_kind.items())


def _of_one_kind(kind: str, parts: list[Part], index: JudgementIndex) -> str:
    if len(parts) == 1:
        return label_of(parts[0])
    unlisted = [label_of(part) for part in parts if not part.position]
    named_here = positions(parts, index)
    words = [f"{plural(kind)} {named_here}", *([joined_labels(unlisted)] if unlisted else [])]
    text = "; ".join(words if named_here else words[1:])
    return text if parts[0].fitted else f"{text} (spares)"


def plural(kind: str) -> str:
    """The plural name of a kind of part."""
    known = load_vocabulary().kinds.get(kind)
    return (known.plural if known is not None else "") or f"{kind}s"


def positions(parts: Iterable[Part], index: JudgementIndex) -> str:
    """The positions of parts of one kind, without the kind: `L1–L6, R2`. Empty for a single part without a position."""
    listed = index.in_order(parts)
    if not listed:
        return ""
    names = [part.position for part in listed if part.position]
    kind = index.vocabulary.kinds.get(listed[0].kind)
    if kind is None or kind.positions not in _RANGED:
        return ", ".join(names)
    return ", ".join(_runs(names))


def compact_labels(labels: Iterable[str]) -> str:
    """Labels that differ only in the last word, merged: `wheel L1–L3, R2; truck B`."""
    return "; ".join(f"{kind} {', '.join(_runs(lasts))}".strip() for kind, lasts in _by_kind(labels).items())


def joined_labels(labels: Iterable[str]) -> str:
    """The same with each position listed: `wheel L1, L2, L3, R2; truck B`."""
    return "; ".join(f"{kind} {', '.join(lasts)}".strip() for kind, lasts in _by_kind(labels).items())


def _by_kind(labels: Iterable[str]) -> dict[str, list[str]]:
    by_kind: dict[str, list[str]] = {}
    for label in dict.fromkeys(labels):
        kind, _, last = label.rpartition(" ")
        by_kind.setdefault(kind, []).append(last)
    return by_kind


def _runs(names: list[str]) -> list[str]:
    """Consecutive numbers with the same letter as a range; the rest unchanged."""
    numbers: dict[str, list[int]] = {}
    others: list[str] = []
    for name in names:
        match = _NUMBERED.fullmatch(name)
        if match is None or str(int(match[2])) != match[2]:
            others.append(name)
        else:
            numbers.setdefault(match[1], []).append(int(match[2]))
    words: list[str] = []
    for letter, own in sorted(numbers.items()):
        for first, last in _spans(sorted(set(own))):
            if last - first >= 2:
                words.append(f"{letter}{first}–{letter}{last}")
            else:
                words.extend(f"{letter}{number}" for number in range(first, last + 1))
    return words + others


def _spans(numbers: list[int]) -> list[tuple[int, int]]:
    spans: list[tuple[int, int]] = []
    for number in numbers:
        if spans and spans[-1][1] == number - 1:
            spans[-1] = (spans[-1][0], number)
        else:
            spans.append((number, number))
    return spans


class Marked(Protocol):
    """Anything with a reporting mark and a name, either of which may be empty."""

    @property
    def mark(self) -> str: ...

    @property
    def name(self) -> str: ...


def car_title(car: Marked) -> str:
    """Reporting mark and name: `QWHX 27 Wren Hollow`."""
    return " ".join(word for word in (car.mark, car.name) if word)
