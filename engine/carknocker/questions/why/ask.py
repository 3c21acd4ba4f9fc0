"""`why`: from the outcome down to the reading, the gauge, the person and the sentence; and why a rule says what it says
of a part. Nothing is judged anew: the functions that decided are asked again."""

from collections.abc import Iterable, Sequence

from carknocker.documents import listed
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.facts import DutyFact, Fact, UnfitFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import UNMET, Duty, DutyOnTheWay, Finding, Firing, Judgement, Refusal
from carknocker.judgement.names import find_parts, find_rules
from carknocker.questions.why.chain import NONE, duty_node, fact_node, firing_node, restriction_node, step_node
from carknocker.questions.why.findings import evidence_node, finding_node, relief_node
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.questions.why.why_not import why_not
from carknocker.record.model import Part
from carknocker.rulebook.model import Consequence, Criterion
from carknocker.wording.days import days_words
from carknocker.wording.faults import fault_of_duties, fault_of_findings
from carknocker.wording.outcomes import READY, not_at_hand_words, outcome_words
from carknocker.wording.parts import car_title, part_by_key, part_words
from carknocker.wording.phrases import counted
from carknocker.wording.refusals import against_words

_ORDER = ("breached", "void", "lapses", "not shown", "borderline", "for the day", "met", "not applicable")
_WORDS = {"not applicable": "do not apply", "for the day": "for the host's inspector on the day"}


def tally(findings: Iterable[Finding]) -> str:
    """`1 breached, 20 met, 30 do not apply`."""
    counts = dict.fromkeys(_ORDER, 0)
    for finding in findings:
        counts[finding.verdict] += 1
    words = [f"{number} {_WORDS.get(verdict, verdict)}" for verdict, number in counts.items() if number]
    return ", ".join(words) if words else "no criterion looks at it"


def group(said: str, nodes: Sequence[WhyNode], criterion: Criterion | None = None) -> WhyNode:
    """Many alike as one; of one criterion, with its source."""
    source, where = (None, None) if criterion is None else (criterion.source, criterion.where)
    lines = () if criterion is None else (("rule", criterion.id),)
    return WhyNode("group", said, lines, source, where, because=tuple(nodes))


def part_nodes(parts: tuple[Part, ...], index: JudgementIndex) -> tuple[WhyNode, ...]:
    """All that is said of some parts: what is against them first."""
    keys = {part.key for part in parts}
    judgement = index.judgement
    fitted = [part for part in parts if part.fitted]
    unfit = [part for part in fitted if UnfitFact(part.key) in index.producing]
    nodes = [fact_node(UnfitFact(part.key), index) for part in unfit]
    for verdict in _ORDER:
        own = [finding for finding in judgement.findings if finding.part.key in keys and finding.verdict == verdict]
        found = [finding_node(finding, index) for finding in own]
        if verdict in UNMET:
            nodes.extend(found)
        elif found:
            nodes.append(group(f"{len(found)} {_WORDS.get(verdict, verdict)}", found))
    nodes.extend(duty_node(one, index) for one in judgement.duties if one.part.key in keys)
    nodes.extend(
        restriction_node(one, index) for one in judgement.restrictions if any(fact.parts & keys for fact in one.reasons)
    )
    nodes.extend(relief_node(one, index) for one in judgement.reliefs if one.stopped and one.part in keys)
    void = [evidence_node(one.evidence, index) for one in judgement.voided if one.evidence.part in keys]
    if void:
        nodes.append(group(f"{len(void)} void", void))
    return tuple(nodes)


def refusal_node(refusal: Refusal, index: JudgementIndex) -> WhyNode:
    """What keeps the car from moving: the firings that carry it up to the car, then what it is itself."""
    if refusal.against is not None:
        reasons = tuple(restriction_node(one, index) for one in refusal.reasons)
        return WhyNode("against", f"against the move: {against_words(refusal.against)}", because=reasons)
    if refusal.finding is not None:
        start: Fact = refusal.finding.fact
        leaf = finding_node(refusal.finding, index)
    else:
        duty = refusal.duty
        if duty is None:
            raise AssertionError("a refusal without a reason")
        start = duty.fact
        leaf = duty_node(duty, index)
    ways = _ways_up(UnfitFact("car"), start, leaf, index, NONE)
    up = tuple(node for _, node in ways)
    if not up:
        return leaf
    return up[0] if len(up) == 1 else WhyNode("unfit", "the car is unfit", because=up)


def _ways_up(
    target: Fact, start: Fact, leaf: WhyNode, index: JudgementIndex, above: frozenset[Fact]
) -> list[tuple[int, WhyNode]]:
    """The firings by which `start` makes `target` unfit, each with the number of steps, the shortest way first."""
    ways: list[tuple[int, WhyNode]] = []
    for firing in index.reasons(target):
        if firing.cause == start:
            ways.append((1, step_node(firing, (leaf,), index)))
        elif isinstance(firing.cause, UnfitFact) and firing.cause not in above:
            lower = _ways_up(firing.cause, start, leaf, index, above | {target})
            if lower:
                ways.append((1 + lower[0][0], step_node(firing, tuple(node for _, node in lower), index)))
    return sorted(ways, key=lambda way: way[0])


def outcome_node(index: JudgementIndex) -> WhyNode:
    """The outcome with all its direct reasons: what was measured and refuses first, then all that is not shown as one,
    then restrictions, duties on the way, and what is relieved."""
    judgement = index.judgement
    missing = [r.finding for r in judgement.refusals if r.finding is not None and r.finding.verdict == "not shown"]
    others = [r for r in judgement.refusals if r.finding is None or r.finding.verdict != "not shown"]
    ways = [(refusal, refusal_node(refusal, index)) for refusal in others]
    nodes = [node for _, node in sorted(ways, key=lambda way: (_steps(way[1]), *_name(way[0], index)))]
    if missing:
        nodes.append(_missing(missing, index))
    nodes.extend(restriction_node(one, index) for one in judgement.restrictions)
    nodes.extend(_on_the_way(one, index) for one in judgement.on_the_way)
    if not judgement.refusals:
        nodes.extend(
            relief_node(relief, index)
            for relief in judgement.reliefs
            if relief.stopped or (index.findings.get((relief.criterion, relief.part)) or _NOTHING).unmet
        )
    if not nodes:
        nodes.append(WhyNode("nothing", _all_well(judgement.findings)))
    lines = (
        ("car", car_title(judgement.car)),
        ("move", f"{judgement.move.host}, {judgement.move.out.isoformat()} to {judgement.move.back.isoformat()}"),
        ("as of", judgement.as_of.isoformat()),
    )
    return WhyNode("outcome", outcome_words(judgement), lines, because=tuple(nodes))


class _Unmet:
    unmet = False


_NOTHING = _Unmet()


def _all_well(findings: Iterable[Finding]) -> str:
    fitted = [finding for finding in findings if finding.part.fitted]
    met = sum(finding.verdict == "met" for finding in fitted)
    said = f"{met} of {len(fitted)} findings on the car are met, none is unmet"
    return f"nothing on record keeps this car from moving: {said}"


def _steps(node: WhyNode) -> int:
    """How many firings lie between what refuses and the car, on the shortest way."""
    if node.sort == "unfit":
        return min(_steps(way) for way in node.because)
    return 1 + min(_steps(way) for way in node.because) if node.sort == "firing" else 0


def _name(refusal: Refusal, index: JudgementIndex) -> tuple[str, int]:
    """The name of the rule, then the place in walking order."""
    if refusal.finding is not None:
        return refusal.finding.criterion.id, index.order.get(refusal.finding.part.key, 0)
    if refusal.duty is not None:
        return refusal.duty.consequence.id, index.order.get(refusal.duty.part.key, 0)
    return "" if refusal.against is None else against_words(refusal.against), 0


def _missing(findings: list[Finding], index: JudgementIndex) -> WhyNode:
    """All that is not shown, rule by rule, each said as its fault."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        by_rule.setdefault(finding.criterion.id, []).append(finding)
    groups = tuple(
        group(fault_of_findings(own, index).text, [finding_node(finding, index) for finding in own], own[0].criterion)
        for own in by_rule.values()
    )
    many = f"{counted(len(findings), 'finding')} of {counted(len(by_rule), 'requirement')}"
    return WhyNode("group", f"not shown: {many}", because=groups)


def _on_the_way(one: DutyOnTheWay, index: JudgementIndex) -> WhyNode:
    due = (("due", days_words(one.due)),) if one.due else ()
    lines = (("by", one.by), *due, ("routine", "yes" if one.routine else "no"))
    if one.finding is not None:
        inner = finding_node(one.finding, index)
        label, title = part_by_key(index.judgement.parts, one.finding.part.key), one.finding.criterion.title
    elif one.duty is not None:
        inner = duty_node(one.duty, index)
        label, title = part_by_key(index.judgement.parts, one.duty.part.key), one.duty.consequence.title
    else:
        raise AssertionError("a duty on the way that is about nothing")
    around = "on the way: ", f": {title}"
    return WhyNode(
        "duty", label.join(around), lines, inner.source, inner.where, because=(inner,), about=one.duty or one.finding,
        around=around, label=label,
    )  # fmt: skip


def consequence_nodes(consequence: Consequence, parts: tuple[Part, ...], index: JudgementIndex) -> tuple[WhyNode, ...]:
    """Its firings, with the duties that they made; else, for each alternative cause, what does not hold."""
    near = reached(parts, index) if parts else None
    of_it = [firing for firing in index.judgement.firings if firing.consequence.id == consequence.id]
    keys = {part.key for part in parts}
    fired = of_it if near is None else [firing for firing in of_it if _touches(firing, keys)]
    if near is not None and not fired:
        keys = set(near)
        fired = [firing for firing in of_it if firing.cause.part in keys]
    if not fired:
        return why_not(consequence, near, index)
    nodes: list[WhyNode] = []
    shown: set[DutyFact] = set()
    for firing in fired:
        duties = [(fact, index.duty(fact)) for fact in firing.followed if isinstance(fact, DutyFact)]
        if not duties:
            nodes.append(firing_node(firing, index))
        for fact, duty in duties:
            if duty is not None and fact not in shown and (not parts or {fact.part, firing.cause.part} & keys):
                shown.add(fact)
                nodes.append(duty_node(duty, index))
    return tuple(nodes)


def _touches(firing: Firing, keys: set[str]) -> bool:
    """The cause lies on one of the parts, or something followed there."""
    return any(fact.parts & keys for fact in (firing.cause, *firing.followed))


def reached(parts: tuple[Part, ...], index: JudgementIndex) -> frozenset[str]:
    """The parts, and all that is in reach of them: from there a consequence could come."""
    standing = index.situation.standing
    found = {part.key for part in parts}
    for part in parts:
        for kind in standing.by_kind:
            found.update(standing.reach(part.key, kind))
    return frozenset(found)


_OUTCOMES = {
    "ready": "Why is the car ready?",
    "ready with restrictions": "Why is the car ready only with restrictions?",
    "repair move only": "Why may the car make a repair move only?",
    "not ready": "Why is the car not ready?",
}


def why(answer: CheckAnswer, part: str | None = None, criterion: str | None = None) -> WhyAnswer:
    """Why the outcome is what it is; or, for a part, a rule or both, what is said there and why.

    part: a label, a position, a serial, a kind (`wheel L3`, `L3`, `W-31`, `truck B`, `car`). criterion: the short or
    full id of a criterion or a consequence. Raises NotFound for a word that names nothing, with the nearest right one.
    """
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    parts = find_parts(judgement, part) if part is not None else ()
    rules = find_rules(judgement.rulebook, criterion) if criterion is not None else ()
    if not parts and not rules:
        node = outcome_node(index)
        return WhyAnswer(answer, _OUTCOMES[judgement.outcome], _said(judgement), (), (), (node,))
    if not rules:
        findings = [finding for finding in judgement.findings if finding.part in parts]
        words = f"{_names(parts)}: {tally(findings)}"
        return WhyAnswer(answer, f"Why: {_names(parts)}?", words, parts, (), part_nodes(parts, index))
    nodes = tuple(node for rule in rules for node in _of_rule(rule, parts, index))
    ids = tuple(rule.id for rule in rules)
    return WhyAnswer(answer, f"Why: {_asked(nodes, rules, parts, index)}?", _answer(nodes), parts, ids, nodes)


def _asked(
    nodes: tuple[WhyNode, ...], rules: Iterable[Criterion | Consequence], parts: tuple[Part, ...], index: JudgementIndex
) -> str:
    """What is asked about: where one rule is not met, its fault; else its title, with the parts that it looks at."""
    about = tuple(node.about for node in nodes)
    unmet = [one for one in about if isinstance(one, Finding) and one.unmet]
    if unmet and len({(one.criterion.id, one.verdict) for one in unmet}) == 1:
        return fault_of_findings(unmet, index).what_is_wrong
    open_duties = [one for one in about if isinstance(one, Duty) and one.state == "open"]
    if open_duties and len({one.consequence.id for one in open_duties}) == 1:
        return fault_of_duties(open_duties, index).what_is_wrong
    found = tuple(dict.fromkeys(one.part for one in about if isinstance(one, Finding | Duty)))
    on = f"{_names(found or parts)}: " if parts else ""
    return f"{on}{listed(dict.fromkeys(rule.title for rule in rules))}"


def _said(judgement: Judgement) -> str:
    """The outcome, and what of the law is not at hand where that limits it."""
    missing = not_at_hand_words(judgement.rulebook) if judgement.outcome in READY else ""
    return "; ".join(filter(None, (outcome_words(judgement), missing)))


def _of_rule(rule: Criterion | Consequence, parts: tuple[Part, ...], index: JudgementIndex) -> tuple[WhyNode, ...]:
    if isinstance(rule, Consequence):
        return consequence_nodes(rule, parts, index)
    standing = index.situation.standing
    if parts:
        own = [part.key for part in parts if part.kind == rule.of]
        keys = own or list(dict.fromkeys(key for part in parts for key in standing.reach(part.key, rule.of)))
    else:
        keys = [part.key for part in standing.by_kind.get(rule.of, ())]
    found = [index.findings[rule.id, key] for key in keys if (rule.id, key) in index.findings]
    if not found:
        where = "the car and the move have none" if not parts else f"{_names(parts)} leads to none"
        said = f"{rule.title}: it is about a {rule.of}, and {where}"
        return (WhyNode("nothing", said, (("rule", rule.id),), rule.source, rule.where),)
    return tuple(finding_node(finding, index) for finding in _worst_first(found, index))


def _worst_first(findings: Iterable[Finding], index: JudgementIndex) -> list[Finding]:
    """What keeps the car from moving first, then the other verdicts; else in walking order."""
    order = ("breached", "void", "lapses", "not shown", "borderline", "for the day", "met", "not applicable")
    return sorted(findings, key=lambda f: (order.index(f.verdict), index.order[f.part.key]))


def _answer(nodes: tuple[WhyNode, ...]) -> str:
    if len(nodes) == 1:
        return nodes[0].said
    findings = [node.about for node in nodes if isinstance(node.about, Finding)]
    if len(findings) == len(nodes):
        return tally(findings)
    fired = sum(node.sort in ("firing", "duty") for node in nodes)
    return f"{fired} of {len(nodes)} follow" if fired else "it does not follow"


def _names(parts: tuple[Part, ...]) -> str:
    return listed(part_words(part) for part in parts[:4]) + (f" and {len(parts) - 4} more" if len(parts) > 4 else "")
