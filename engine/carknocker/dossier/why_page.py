"""The answer to *why* as a page: a tree from the outcome down to the reading, the gauge, the sentence."""

from carknocker.dossier.layout import TONES
from carknocker.dossier.page import Item, Leaf, Page, Paragraph, Section, Tree
from carknocker.dossier.words import place_of, source_words
from carknocker.judgement.model import Judgement
from carknocker.questions.why_model import WhyAnswer, WhyNode

FOLDED_FROM = 5
"""A group inside a group is folded when it has at least this many members."""


def why_page(answer: WhyAnswer) -> Page:
    """The page of an answer."""
    judgement = answer.check.judgement
    title = " ".join(word for word in (judgement.car.mark, judgement.car.name) if word)
    leaves = tuple(_leaf(node, judgement, inside_group=False) for node in answer.nodes)
    blocks: tuple[Paragraph | Tree | Item, ...] = (Tree(leaves),)
    if answer.rules:
        blocks = (Paragraph(f"Asked about: {', '.join(answer.rules)}"), *blocks)
    if _folds(answer.nodes):
        hint = "Where many are alike they are folded: name a part or a rule to see one, `carknocker why CAR PART RULE`."
        blocks = (*blocks, Paragraph(hint))
    tone = TONES[judgement.outcome] if not answer.parts and not answer.rules else "plain"
    return Page(f"{title}: {answer.question}", answer.answer, tone, (Section("Because", blocks),))


def _leaf(node: WhyNode, judgement: Judgement, *, inside_group: bool) -> Leaf:
    notes = [f"{label}: {text}" for label, text in node.lines]
    if node.source is not None:
        notes.append(f"source: {source_words(node.source)}")
    if node.where is not None:
        notes.append(f"at: {place_of(node.where, judgement)}")
    if _folded(node, inside_group):
        notes.append(f"{len(node.because)} of them, folded")
        return Leaf(node.said, tuple(notes), (), node.struck)
    grouped = inside_group or node.sort == "group"
    under = tuple(_leaf(child, judgement, inside_group=grouped) for child in node.because)
    return Leaf(node.said, tuple(notes), under, node.struck)


def _folded(node: WhyNode, inside_group: bool) -> bool:
    return node.sort == "group" and inside_group and len(node.because) >= FOLDED_FROM


def _folds(nodes: tuple[WhyNode, ...], inside_group: bool = False) -> bool:
    return any(
        _folded(node, inside_group) or _folds(node.because, inside_group or node.sort == "group") for node in nodes
    )
