"""Reads the kinds of gauge: how fine they are, what they read, and whether they need a check."""

from collections.abc import Mapping

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.vocabulary.attribute_reader import entries_of, flag_of, named, text_of, texts_of, unknown_kind
from carknocker.vocabulary.kind_reader import KindDraft
from carknocker.vocabulary.model import GaugeKind

_KEYS = frozenset(("finest", "coarsest", "uncertainty", "reads", "check", "other_names"))
_DIMENSIONS = ("length", "pressure", "weight", "temperature difference", "tapes", "resistance")
_ANY_LENGTH = "any length"


def read_gauge_kinds(
    section: Node | None, drafts: Mapping[str, KindDraft], kinds: dict[str, GaugeKind], problems: ProblemList
) -> None:
    """Adds the kinds of gauge of one file."""
    for name, node in named(section, "kinds of gauge", problems):
        entries = entries_of(node, _KEYS, f"the gauge `{name}`", problems)
        given = texts_of(entries.get("reads"), "what it reads", problems)
        reads = tuple(kind_and_attribute(node, text, drafts, problems) for text in given if text != _ANY_LENGTH)
        kinds[name] = GaugeKind(
            name,
            finest=_step(entries.get("finest"), problems),
            coarsest=_step(entries.get("coarsest"), problems),
            reads=reads,
            any_length=_ANY_LENGTH in given,
            check="check" not in entries or flag_of(entries["check"], "check", problems),
            other_names=texts_of(entries.get("other_names"), "other names", problems),
            uncertainty=_step(entries.get("uncertainty"), problems),
        )


def kind_and_attribute(
    node: Node, text: str, drafts: Mapping[str, KindDraft], problems: ProblemList
) -> tuple[str, str]:
    """What `brake system.brake_pipe_leakage` names. Reports a kind or an attribute that there is not."""
    kind, _, name = text.rpartition(".")
    if kind not in drafts:
        problems.add(unknown_kind(node, kind, drafts))
    elif name not in drafts[kind].attributes:
        found, near = f"`{kind}` has no attribute `{name}`", nearest(name, drafts[kind].attributes)
        problems.add(problem_at(node, found, "one of its attributes", near))
    return kind, name


def _step(node: Node | None, problems: ProblemList) -> Quantity | None:
    if node is None:
        return None
    text = text_of(node, "what it reads to", problems)
    for dimension in _DIMENSIONS:
        try:
            return read_quantity(text, dimension)
        except QuantityError:
            continue
    problems.add(problem_at(node, f"`{text}`", "what it reads to, with its unit: `1/16 in`"))
    return None
