"""What is wrong with evidence, by its dates and its age: void, good for too short a time, too old, or not there."""

from collections.abc import Sequence

from carknocker.documents import listed
from carknocker.judgement.dates import day_of
from carknocker.judgement.explanation import (
    ComesToApply,
    ExceptionEnds,
    FactNotOnRecord,
    MadeVoid,
    MayNotApply,
    NoLimit,
    NothingOnRecord,
    NotRead,
    NotSettled,
    SignerNotAccepted,
    TooOld,
    UnknownValue,
)
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.shortfall import compared
from carknocker.judgement.truth import NEAR
from carknocker.quantities import Period
from carknocker.rulebook.clauses import (
    AttributePath,
    Fixed,
    FromPart,
    Unanswered,
)
from carknocker.wording.fault_figures import called, must_words
from carknocker.wording.limits import NO_FIGURES
from carknocker.wording.phrases import run_out
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.verdicts import applies_words, reason_words, why_unknown_words


def evidence_fault(finding: Finding, own: AttributePath | None, index: JudgementIndex) -> str:
    """What is wrong, by verdict. own: the test or paper that the line is about, which need not be named again."""
    match finding.verdict:
        case "void":
            return _void(finding, own, index)
        case "lapses":
            return _lapses(finding, own, index)
        case "not shown":
            return _not_shown(finding, own, index)
        case _:
            return reason_words(index.explain(finding).reasons) or f"{finding.verdict}: {finding.criterion.title}"


def _void(finding: Finding, own: AttributePath | None, index: JudgementIndex) -> str:
    explanation = index.explain(finding)
    paths = explanation.attributes
    label = f"{called(paths[0])}: reading" if own is None and paths else ""
    why = next((one.why for one in explanation.reasons if isinstance(one, MadeVoid)), None)
    if isinstance(why, MadeVoidBy):
        return f"{label} void; {why.work.name} after it, {why.work.on.isoformat()}".strip()
    return f"{label} void{'; ' if why is not None else ''}{set_aside_words(why)}".strip()


def _lapses(finding: Finding, own: AttributePath | None, index: JudgementIndex) -> str:
    explanation, last = index.explain(finding), finding.lapses_on
    if last is None:
        return reason_words(explanation.reasons)
    path = next(iter(explanation.attributes), None)
    lapsed = _lapsing(finding, index)
    label, also = "", ""
    if own is None:
        names = lapsed or ([] if path is None else [called(path)])
        label = listed_up_to(names) if names else "what was read of the parts inside"
    else:
        names = [own.attribute.label]
        others = [one for one in lapsed if one not in (called(own), own.attribute.label)]
        also = f"; so too {listed_up_to(others)}" if others else ""
    begins = tuple(one for one in explanation.reasons if isinstance(one, ComesToApply | ExceptionEnds))
    also += f"; {reason_words(begins)}" if begins else ""
    read = None if finding.evidence is None else finding.evidence.on
    ends = "good through"
    if path is not None and path.attribute.type in ("test", "paper"):
        ends = run_out(names)
    elif finding.criterion.read_within is not None and read is not None:
        ends = f"read {read.isoformat()}, good through"
    return f"{label} {ends} {last.isoformat()}; move ends {index.judgement.move.back.isoformat()}{also}".strip()


def must_where_unknown(finding: Finding, index: JudgementIndex) -> str:
    """What a figure or a word that nobody read must be; empty where that takes more than one."""
    if any(isinstance(one, MayNotApply) for one in index.explain(finding).reasons):
        return ""  # what is missing is whether it applies
    seen = compared(finding, index)
    unread = [each for each in seen if each.value is None] or list(seen[:1])
    one = unread[0] if len({str(each.comparison.path) for each in unread}) == 1 else None
    if one is None or (one.limit is None and not isinstance(one.comparison.limit, Fixed)):
        return ""
    return must_words(one, seen, finding.criterion.must)


_MOST_NAMED = 3


def _lapsing(finding: Finding, index: JudgementIndex) -> list[str]:
    """The readings and papers of which each alone is no longer good on the return."""
    leaving, back = index.view(finding), index.view(finding, index.judgement.move.back)
    leaves = index.compiled(finding.criterion).leaves
    lapsed = [leaf for leaf in leaves if leaf.test(leaving) >= NEAR and leaf.test(back) < NEAR]
    return list(dict.fromkeys(_with_day(leaf.comparison.path, leaf.get(leaving)) for leaf in lapsed))


def _with_day(path: AttributePath, value: ObservedValue | None) -> str:
    """An attribute as called; a date with the day that it names: `reconditioned 2020-06-15`."""
    day = day_of(value) if value is not None and path.value_attribute.type == "date" else None
    return called(path) if day is None else f"{called(path)} {day.written}"


def listed_up_to(names: Sequence[str]) -> str:
    """`a, b and c`; of more, the first three and how many there are beside them."""
    more = len(names) - _MOST_NAMED
    return listed((*names[:_MOST_NAMED], *((f"{more} more",) if more > 0 else ())))


def _not_shown(finding: Finding, own: AttributePath | None, index: JudgementIndex) -> str:
    criterion, reasons = finding.criterion, index.explain(finding).reasons
    if isinstance(criterion.must, Unanswered):
        return f"no rule at hand says {criterion.must.what}"
    for reason in reasons:
        match reason:
            case NotSettled(values) if values:
                labels: dict[str, dict[str, None]] = {}
                for one in values:
                    same = own is not None and one.path.attribute == own.attribute and one.path.fact is None
                    name = "" if same else called(one.path)
                    if isinstance(one.why, NoLimit) and isinstance(one.why.comparison.limit, FromPart):
                        name = called(one.why.comparison.limit.path)
                    elif own is not None and one.path.attribute == own.attribute and one.path.fact is not None:
                        name = one.path.fact.label
                    labels.setdefault(_why(one, criterion.read_within), {})[name] = None
                return "; ".join(f"{', '.join(filter(None, names))} {why}".strip() for why, names in labels.items())
            case NotSettled():
                return "a part inside has no reading that counts"
            case MayNotApply():
                return f"nothing on record says whether “{criterion.title}” applies; it does {applies_words(reason)}"
            case _:
                continue
    return reason_words(reasons) or f"not shown: {criterion.title}"


def _why(unknown: UnknownValue, read_within: Period | None) -> str:
    """Why a value is not shown, after its name."""
    attribute = unknown.path.value_attribute
    is_file = attribute.type in ("test", "paper") or attribute.description or unknown.path.fact is not None
    match unknown.why:
        case NothingOnRecord() | NotRead():
            if is_file or attribute.type in NO_FIGURES:
                return "not on file" if is_file else "not on record"
            return "not counted" if attribute.type == "count" else "not measured"
        case NoLimit():
            return "not on record"
        case FactNotOnRecord():
            return "not on file"
        case TooOld(_, on, day):
            read = "made" if is_file else "checked" if attribute.type in NO_FIGURES else "measured"
            age = f"over {read_within} before departure" if read_within else f"too old on {day.isoformat()}"
            return f"last {read} {on.isoformat()}, {age}"
        case SignerNotAccepted(_, on, by, host):
            return f"of {on.isoformat()}: signed by {by or 'nobody named'}, whom {host} does not accept for that day"
        case why:
            text = why_unknown_words(why, unknown.path.owner)
            return text if text.startswith(("can't", "rests")) else f"not shown: {text}"
