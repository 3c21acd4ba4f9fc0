"""Reasons that are alike but for the part they are about, as one reason that names all the parts."""

from carknocker.judgement.model import Duty, Finding, Judgement
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence, Part
from carknocker.wording.parts import compact_labels, part_words
from carknocker.wording.sources import place_of

_OF_EACH = ("follows", "stops")
"""Lines that may differ among reasons that are alike; those of all of them are told."""
_Key = tuple[object, ...]


def alike_together(nodes: tuple[WhyNode, ...], judgement: Judgement) -> tuple[WhyNode, ...]:
    """The reasons, those that are alike as one, in the place of the first. What they rest on is put together likewise,
    so that nothing is left out: where their grounds differ, each stays with its own part."""
    groups: dict[_Key, list[WhyNode]] = {}
    for node in nodes:
        groups.setdefault(_key(node, judgement), []).append(node)
    return tuple(_one(group, judgement) for group in groups.values())


def _key(node: WhyNode, judgement: Judgement) -> _Key:
    lines = tuple(line for line in node.lines if line[0] not in _OF_EACH)
    label = _label(node, judgement)
    said = node.said.replace(label, "", 1) if label else node.said
    # Readings are alike wherever in the record they stand; rules are alike only if they are the same rule.
    where = None if isinstance(node.about, Evidence) else node.where
    return node.sort, bool(label), said, lines, node.source, where, node.struck


def _label(node: WhyNode, judgement: Judgement) -> str:
    """The part that a reason is about, as it names it; empty if it names none."""
    part = _part(node, judgement)
    if part is None and node.sort == "clause" and len(node.because) == 1:
        part = _part(node.because[0], judgement)
    label = "" if part is None else part_words(part)
    return label if label and label in node.said else ""


def _part(node: WhyNode, judgement: Judgement) -> Part | None:
    about = node.about
    if isinstance(about, Evidence):
        return judgement.parts.get(about.part)
    return about.part if isinstance(about, Finding | Duty) else None


def _one(group: list[WhyNode], judgement: Judgement) -> WhyNode:
    first = group[0]
    because = alike_together(tuple(under for node in group for under in node.because), judgement)
    label = _label(first, judgement)
    labels = [_label(node, judgement) for node in group]
    said = first.said.replace(label, compact_labels(labels), 1) if label and len(group) > 1 else first.said
    lines = tuple(
        (name, text if name not in _OF_EACH else "; ".join(_texts(group, name))) for name, text in first.lines
    )
    where = first.where
    if len({node.where for node in group}) > 1:
        where = None
        lines = (*lines, ("at", _places(group, judgement)))
    return WhyNode(first.sort, said, lines, first.source, where, first.struck, because, first.about)


def _texts(group: list[WhyNode], name: str) -> list[str]:
    return list(dict.fromkeys(text for node in group for label, text in node.lines if label == name))


def _places(group: list[WhyNode], judgement: Judgement) -> str:
    """`car.yaml:61, 72`: the lines of each file."""
    by_file: dict[str, dict[str, None]] = {}
    for node in group:
        if node.where is not None:
            file, _, line = place_of(node.where, judgement).rpartition(":")
            by_file.setdefault(file, {})[line] = None
    return "; ".join(f"{file}:{', '.join(lines)}" for file, lines in by_file.items())
