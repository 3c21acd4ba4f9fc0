"""What a part meets, and what does not apply to it, in short: each in full in the answer about one of them."""

from carknocker.dossier.pages.why_missing import EACH_IN_FULL, IN_FULL, rule_words
from carknocker.dossier.writing.page import Leaf
from carknocker.judgement.model import Finding
from carknocker.questions.why.model import WhyNode

_PASSED = ("met", "not applicable")
_TOLD = ("measured", "required", "margin")


def is_passed(node: WhyNode) -> bool:
    """Whether a reason is a group of many findings that stand against nothing."""
    return (
        node.sort == "group"
        and len(node.because) > IN_FULL
        and all(isinstance(one.about, Finding) and one.about.verdict in _PASSED for one in node.because)
    )


def passed_leaf(node: WhyNode) -> Leaf:
    """Each with its figures and its name."""
    return Leaf(node.said, (EACH_IN_FULL,), tuple(map(_of_finding, node.because)))


def _of_finding(node: WhyNode) -> Leaf:
    lines = dict(node.lines)
    said = node.said.removesuffix(": met").removesuffix(": not applicable")
    rule = rule_words(node)
    told = [f"{label}: {lines[label]}" for label in _TOLD if lines.get(label)]
    return Leaf(said, ("; ".join([*told, rule]),)) if told else Leaf(f"{said}; {rule}")
