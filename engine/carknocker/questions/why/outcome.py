"""The tree under the outcome: what refuses, what restricts, what is to be done on the way."""

from collections.abc import Iterable

from carknocker.judgement.model import DutyOnTheWay, Finding, Refusal
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.chain import duty_node, restriction_node
from carknocker.questions.why.findings import finding_node, relief_node
from carknocker.questions.why.model import WhyNode
from carknocker.questions.why.part import group
from carknocker.questions.why.refusals import refusal_node
from carknocker.wording.car_title import car_title
from carknocker.wording.days import days_words
from carknocker.wording.refusals import against_words


def outcome_node(asked: Asked) -> WhyNode:
    """The outcome with all its direct reasons: what was measured and refuses first, then all that is not shown as one,
    then restrictions, duties on the way, and what is relieved."""
    judgement = asked.judgement
    missing = [r.finding for r in judgement.refusals if r.finding is not None and r.finding.verdict == "not shown"]
    others = [r for r in judgement.refusals if r.finding is None or r.finding.verdict != "not shown"]
    ways = [(refusal, refusal_node(refusal, asked)) for refusal in others]
    nodes = [node for _, node in sorted(ways, key=lambda way: (_steps(way[1]), *_name(way[0], asked)))]
    if missing:
        nodes.append(_missing(missing, asked))
    nodes.extend(restriction_node(one, asked) for one in judgement.restrictions)
    nodes.extend(_on_the_way(one, asked) for one in judgement.on_the_way)
    if not judgement.refusals:
        nodes.extend(
            relief_node(relief, asked)
            for relief in judgement.reliefs
            if relief.stopped or (asked.findings.get((relief.criterion, relief.part)) or _NOTHING).unmet
        )
    if not nodes:
        nodes.append(WhyNode("nothing", _all_well(judgement.findings)))
    lines = (
        ("car", car_title(judgement.car)),
        ("move", f"{judgement.move.host}, {judgement.move.out.isoformat()} to {judgement.move.back.isoformat()}"),
        ("as of", judgement.as_of.isoformat()),
    )
    return WhyNode("outcome", judgement.outcome, lines, because=tuple(nodes))


class _Unmet:
    unmet = False


_NOTHING = _Unmet()


def _all_well(findings: Iterable[Finding]) -> str:
    fitted = [finding for finding in findings if finding.part.fitted]
    met = sum(finding.verdict == "met" for finding in fitted)
    return f"nothing shown stands against the move: {met} of {len(fitted)} findings on the car are met, none is unmet"


def _steps(node: WhyNode) -> int:
    """How many firings lie between what refuses and the car, on the shortest way."""
    if node.sort == "unfit":
        return min(_steps(way) for way in node.because)
    return 1 + min(_steps(way) for way in node.because) if node.sort == "firing" else 0


def _name(refusal: Refusal, asked: Asked) -> tuple[str, int]:
    """The name of the rule, then the place in walking order."""
    if refusal.finding is not None:
        return refusal.finding.criterion.id, asked.order.get(refusal.finding.part.key, 0)
    if refusal.duty is not None:
        return refusal.duty.consequence.id, asked.order.get(refusal.duty.part.key, 0)
    return "" if refusal.against is None else against_words(refusal.against), 0


def _missing(findings: list[Finding], asked: Asked) -> WhyNode:
    """All that is not shown, rule by rule."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        by_rule.setdefault(finding.criterion.id, []).append(finding)
    groups = tuple(
        group(own[0].criterion.title, [finding_node(finding, asked) for finding in own], own[0].criterion)
        for own in by_rule.values()
    )
    many = f"{len(findings)} findings of {len(by_rule)} criteria" if len(findings) > 1 else "1 finding"
    return WhyNode("group", f"not shown: {many}", because=groups)


def _on_the_way(one: DutyOnTheWay, asked: Asked) -> WhyNode:
    due = (("due", days_words(one.due)),) if one.due else ()
    lines = (("by", one.by), *due, ("routine", "yes" if one.routine else "no"))
    if one.finding is not None:
        inner = finding_node(one.finding, asked)
        said = f"on the way: {asked.part(one.finding.part.key)}: {one.finding.criterion.title}"
    elif one.duty is not None:
        inner = duty_node(one.duty, asked)
        said = f"on the way: {asked.part(one.duty.part.key)}: {one.duty.consequence.title}"
    else:
        raise AssertionError("a duty on the way that is about nothing")
    return WhyNode("duty", said, lines, inner.source, inner.where, because=(inner,), about=one.duty or one.finding)
