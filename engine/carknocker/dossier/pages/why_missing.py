"""What is not shown on a whole car, a few lines for each criterion: the rest stands in the answer about one of them."""

from carknocker.dossier.writing.page import Leaf
from carknocker.judgement.model import Finding
from carknocker.questions.why.model import WhyNode
from carknocker.wording.parts import compact_labels, part_words
from carknocker.wording.sources import place_words

IN_FULL = 3
"""So many criteria of which something is not shown are told in full; of what a part passes, too."""
EACH_IN_FULL = "each in full: `carknocker why CAR PART RULE`"
_REASONS = 2
"""So many different reasons are told of one criterion, the commonest first."""


def is_missing(node: WhyNode, above: WhyNode | None) -> bool:
    """Whether a reason is the one under the outcome that holds all that is not shown, and holds much."""
    return (
        above is not None
        and above.sort == "outcome"
        and node.sort == "group"
        and len(node.because) > IN_FULL
        and all(isinstance(one.about, Finding) and one.about.verdict == "not shown" for one in _findings(node))
    )


def missing_leaf(node: WhyNode) -> Leaf:
    """All that is not shown: of each criterion its title, the parts, what is missing, its source and its name."""
    return Leaf(node.said, (EACH_IN_FULL,), tuple(map(_of_rule, node.because)))


def _findings(node: WhyNode) -> tuple[WhyNode, ...]:
    return tuple(one for rule in node.because for one in rule.because)


def _of_rule(rule: WhyNode) -> Leaf:
    parts = [part_words(one.about.part) for one in rule.because if isinstance(one.about, Finding)]
    source = "" if rule.source is None else f"{place_words(rule.source)}; "
    notes = (_why(rule), f"{source}{rule_words(rule)}")
    return Leaf(f"{rule.said}: {compact_labels(parts)}", tuple(note for note in notes if note))


def rule_words(node: WhyNode) -> str:
    """The short name of the rule of a reason, by which it is asked about."""
    name = next((text for label, text in node.lines if label == "rule"), "")
    return f"rule: {name.partition('/')[2]}"


def _why(rule: WhyNode) -> str:
    counts: dict[str, int] = {}
    for one in rule.because:
        reason = next((text for label, text in one.lines if label == "why"), "")
        counts[reason] = counts.get(reason, 0) + 1
    told = [reason for reason in sorted(counts, key=lambda reason: -counts[reason]) if reason]
    more = len(told) - _REASONS
    return "; ".join([*told[:_REASONS], *([f"{more} more"] if more > 0 else [])])
