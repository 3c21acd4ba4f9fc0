"""The answer to *why* as a page: a tree from the outcome down to the reading, the gauge, the sentence."""

from msgspec.structs import replace

from carknocker.dossier.check.layout import TONES
from carknocker.dossier.pages.otherwise_section import otherwise_section
from carknocker.dossier.pages.why_alike import alike_together
from carknocker.dossier.pages.why_missing import is_missing, missing_leaf
from carknocker.dossier.pages.why_passed import is_passed, passed_leaf
from carknocker.dossier.writing.page import Item, Leaf, Page, Paragraph, Section, Tree
from carknocker.judgement.model import Judgement
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.wording.car_title import car_title
from carknocker.wording.sources import place_of, source_words

FOLDED_FROM = 5
"""A group inside a group is folded when it has at least this many members."""
_ALONE = (
    "car", "move", "as of", "measured", "required", "margin", "would pass", "worked", "settles", "why", "follows",
    "says", "asks", "seen", "due", "stops",
)  # fmt: skip
"""Lines of a reason that stand by themselves; the short ones are put together."""


def why_page(answer: WhyAnswer) -> Page:
    """The page of an answer."""
    judgement = answer.check.judgement
    title = car_title(judgement.car)
    nodes = alike_together(answer.nodes, judgement)
    if answer.parts or answer.rules:
        leaves = tuple(passed_leaf(node) if is_passed(node) else _leaf(node, judgement) for node in nodes)
    else:
        leaves = tuple(_outcome_leaf(node, judgement) for node in answer.nodes)
    blocks: tuple[Paragraph | Tree | Item, ...] = (Tree(leaves),)
    if answer.rules:
        blocks = (Paragraph(f"Asked about: {', '.join(answer.rules)}"), *blocks)
    if _folds(nodes):
        hint = "Where many are alike they are folded: name a part or a rule to see one, `carknocker why CAR PART RULE`."
        blocks = (*blocks, Paragraph(hint))
    tone = TONES[judgement.outcome] if not answer.parts and not answer.rules else "plain"
    sections = [Section("Because", blocks)]
    if answer.otherwise is not None:
        sections.append(otherwise_section(answer.otherwise))
    return Page(f"{title}: {answer.question}", answer.answer, tone, tuple(sections))


def _outcome_leaf(node: WhyNode, judgement: Judgement) -> Leaf:
    """The outcome; what is not shown, where that is much, in a few lines for each criterion."""
    number = next((number for number, one in enumerate(node.because) if is_missing(one, node)), None)
    if number is None:
        return _leaf(alike_together((node,), judgement)[0], judgement)
    before, after = node.because[:number], alike_together(node.because[number + 1 :], judgement)
    first = _leaf(alike_together((replace(node, because=before),), judgement)[0], judgement)
    rest = (_leaf(one, judgement, node) for one in after)
    return replace(first, under=(*first.under, missing_leaf(node.because[number]), *rest))


def _leaf(node: WhyNode, judgement: Judgement, above: WhyNode | None = None, *, inside_group: bool = False) -> Leaf:
    """A reason with what it rests on. above: the reason over it; a rule that is the same is not named a second time."""
    same_rule = (
        above is not None and node.source is not None and (node.source, node.where) == (above.source, above.where)
    )
    told = above.lines if same_rule and above is not None else ()
    notes = _notes(node, judgement, told, same_rule=same_rule)
    if _folded(node, inside_group):
        return Leaf(node.said, (*notes, f"{len(node.because)} of them, folded"), (), node.struck)
    grouped = inside_group or node.sort == "group"
    under = tuple(_leaf(child, judgement, node, inside_group=grouped) for child in node.because)
    return Leaf(node.said, notes, under, node.struck)


def _notes(
    node: WhyNode, judgement: Judgement, told: tuple[tuple[str, str], ...], *, same_rule: bool
) -> tuple[str, ...]:
    lines = [line for line in node.lines if not (line[0] == "rule" and line in told) and not _said_already(line, node)]
    if node.where is not None and not same_rule:
        lines.append(("at", place_of(node.where, judgement)))
    readings = node.sort in ("evidence", "void", "work")
    alone = [f"{label}: {text}" for label, text in lines if label in _ALONE and not readings]
    short = "; ".join(f"{label}: {text}" for label, text in lines if label not in _ALONE or readings)
    source = [f"source: {source_words(node.source)}"] if node.source is not None and not same_rule else []
    return (*alone, *source, *([short] if short else []))


def _said_already(line: tuple[str, str], node: WhyNode) -> bool:
    """Why a duty is open, where that is what it requires; what was seen, where the evidence under it says just that."""
    label, text = line
    if label == "why":
        return ("required", text) in node.lines
    return label == "seen" and bool(node.because) and all(text in under.said for under in node.because)


def _folded(node: WhyNode, inside_group: bool) -> bool:
    return node.sort == "group" and inside_group and len(node.because) >= FOLDED_FROM


def _folds(nodes: tuple[WhyNode, ...], inside_group: bool = False) -> bool:
    return any(
        _folded(node, inside_group) or _folds(node.because, inside_group or node.sort == "group") for node in nodes
    )
