"""What is wrong, in one line: the part, the fault, and what it must be.

A breach is said in the words of its edition (`fault`), with the figures that were found; every other verdict in the
words of the program. The same fault on many parts is one line that names them all.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import msgspec

from carknocker.documents import listed
from carknocker.judgement.dates import day_of
from carknocker.judgement.explanation import (
    ComesToApply,
    CountSeen,
    EachSeen,
    ExceptionEnds,
    FactNotOnRecord,
    MadeVoid,
    MayComeToBe,
    MayNotApply,
    NoLimit,
    NothingOnRecord,
    NotRead,
    NotSettled,
    SignerNotAccepted,
    TooOld,
    UnknownValue,
)
from carknocker.judgement.facts import EntryFact, FindingFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import AgainstMove, Duty, Finding, Refusal, RestrictionInForce
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.judgement.shortfall import Compared, compared
from carknocker.judgement.truth import NEAR
from carknocker.quantities import Period
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound
from carknocker.rulebook.clauses import (
    AllOf,
    AttributePath,
    Clause,
    Comparison,
    CountOf,
    Fixed,
    FromPart,
    Unanswered,
    of_test,
)
from carknocker.rulebook.fault_reader import PLACE, SIDE_OF
from carknocker.rulebook.model import Consequence, FaultWords
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.facts import UNLESS_SHOWN, only_undecided
from carknocker.wording.limits import NO_FIGURES, path_words
from carknocker.wording.parts import joined_labels, named
from carknocker.wording.refusals import allowed_words, stated_words
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.verdicts import applies_words, reason_words, why_unknown_words


class FaultLine(msgspec.Struct, frozen=True):
    """One fault. subject: its parts, or the test or paper that it is about. said: what is wrong. must: what it has to
    be, empty where what is wrong says so. why: of a duty not done, what called for it. rests_on: of what is against the
    move, the faults that it comes from."""

    subject: str
    said: str
    must: str = ""
    why: str = ""
    rests_on: str = ""

    @property
    def short_words(self) -> str:
        """What is wrong and what it must be: `flange 7/8 in or thinner; must be over 7/8 in`."""
        must = f"must be {self.must}" if self.must else ""
        why = f"called for by {self.why}" if self.why else ""
        return "; ".join(filter(None, (self.said, why, must)))

    @property
    def words(self) -> str:
        """The same with what it comes from."""
        return f"{self.short_words} ({self.rests_on})" if self.rests_on else self.short_words

    @property
    def text(self) -> str:
        """The whole line: `Wheel R5: flange 7/8 in or thinner; must be over 7/8 in`."""
        line = f"{self.subject}: {self.words}"
        return line[:1].upper() + line[1:]


def fault_of(refusals: Sequence[Refusal], index: JudgementIndex) -> FaultLine:
    """The fault of refusals that say the same of some parts."""
    findings = [one.finding for one in refusals if one.finding is not None]
    if findings:
        return fault_of_findings(findings, index)
    duties = [one.duty for one in refusals if one.duty is not None]
    if duties:
        return fault_of_duties(duties, index)
    first = refusals[0]
    if first.against is None:
        raise AssertionError("a refusal of nothing")
    return _fault_of_move(first.against, first.reasons, index)


def faults_of(refusals: Iterable[Refusal], index: JudgementIndex) -> tuple[FaultLine, ...]:
    """The faults of refusals in their order; those of one rule that say the same are one."""
    return tuple(fault_of(group, index) for group in alike_refusals(refusals))


def alike_refusals(refusals: Iterable[Refusal]) -> tuple[tuple[Refusal, ...], ...]:
    """The refusals in their order, those of one rule that say the same together."""
    groups: dict[tuple[object, ...], list[Refusal]] = {}
    for refusal in refusals:
        groups.setdefault(_alike(refusal), []).append(refusal)
    return tuple(map(tuple, groups.values()))


def _alike(refusal: Refusal) -> tuple[object, ...]:
    """What refusals have in common that are one fault."""
    finding, duty = refusal.finding, refusal.duty
    if finding is not None:
        return finding.criterion.id, finding.verdict
    if duty is not None:
        return duty.consequence.id, repr(duty.requirement), duty.since
    return (repr(refusal.against),)


# findings


def fault_of_findings(findings: Sequence[Finding], index: JudgementIndex) -> FaultLine:
    """The fault of findings with one verdict, of one criterion or of several that ask the same."""
    by_part = {one.part.key: one for one in reversed(findings)}
    each = [by_part[part.key] for part in index.in_order(one.part for one in findings)]
    first = each[0]
    paths = index.explain(first).attributes
    if first.verdict == "breached":
        return _breached(each, index)
    subject = _subject([one.part for one in each], paths[:1], index)
    if first.verdict == "borderline":
        return _borderline(each, subject, index)
    own = (paths[0] if paths else None) if subject.whole else None
    said = _merged([(one.part, _said(one, own, index)) for one in each], index)
    if first.verdict != "not shown":
        return FaultLine(subject.words, said)
    must = _merged([(one.part, _must_where_unknown(one, index)) for one in each], index)
    return FaultLine(subject.words, said, must, rests_on="" if must else _apart(first, index))


class _Subject(msgspec.Struct, frozen=True):
    """words: before the colon. whole: whether they name the test or the paper."""

    words: str
    whole: bool


def _subject(parts: Sequence[Part], paths: Sequence[AttributePath], index: JudgementIndex) -> _Subject:
    """Of one test or paper of a part that the car has once: the test or the paper; else the parts."""
    attributes = {path.attribute.name: path.attribute for path in paths if not path.owner}
    if len(attributes) == len(paths) == 1 or (paths and len(attributes) == 1 and all(not path.owner for path in paths)):
        attribute = next(iter(attributes.values()))
        if attribute.type in ("test", "paper"):
            if len(parts) == 1 and not parts[0].position:
                return _Subject(attribute.label, True)
            return _Subject(f"{attribute.label} of {named(parts, index)}", True)
    return _Subject(named(parts, index), False)


def _breached(findings: Sequence[Finding], index: JudgementIndex) -> FaultLine:
    """The words of the edition, those of every attribute that fails, with what was found on each part."""
    told = [(one.part, _failures(one, index)) for one in findings]
    paths = [one.comparison.path for _, failures in told for failure in failures for one in failure.compared]
    subject = _subject([part for part, _ in told], paths, index)
    by_words: dict[str, list[tuple[Part, _Failure]]] = {}
    for part, failures in told:
        for failure in failures:
            by_words.setdefault(failure.words, []).append((part, failure))
    said: list[str] = []
    must: dict[str, None] = {}
    for words, on in by_words.items():
        text = _filled(words if subject.whole else _without_part(words, told[0][0]), on, index)
        parts = [part for part, _ in on]
        some = len(parts) < len(told)
        said.append(f"{text} ({_short(parts, index)})" if some else text)
        if "{limit" not in words and ("{found" in words or _of_one_figure(findings[0].criterion.must)):
            must[_merged([(part, failure.must) for part, failure in on], index)] = None
    fuller = (text for text in said if not any(other != text and other.startswith(text) for other in said))
    return FaultLine(subject.words, "; ".join(fuller), "; ".join(filter(None, must)))


def _without_part(words: str, part: Part) -> str:
    """The words of a fault without the part that they begin with, since it stands before them: `loose on its axle` of
    `wheel loose on its axle`. Where they go on to a figure or to a second part, they stay."""
    rest = words.removeprefix(f"{load_vocabulary().kinds[part.kind].label} ").removeprefix("that ")
    return words if rest.startswith(("{", "or ", "and ", "of ", "of which ")) else rest


def _of_one_figure(must: Clause) -> bool:
    """Whether a criterion is about one figure alone, so that its fault need not say which one failed."""
    clauses = must.clauses if isinstance(must, AllOf) else (must,)
    compared_here = [one for one in clauses if isinstance(one, Comparison) and one.word in _SIDE_WORDS]
    return len(compared_here) == len(clauses) and len({str(one.path) for one in compared_here}) == 1


class _Failure(msgspec.Struct, frozen=True):
    """Words with places, what fails (the deciding comparison first), all that was compared by path, and what it must
    be. others: what stands in a place that no comparison fills."""

    words: str
    compared: tuple[Compared, ...]
    all: Mapping[str, Compared]
    must: str
    others: Mapping[str, str]


def _failures(finding: Finding, index: JudgementIndex) -> list[_Failure]:
    """What fails of one finding, each with the words of its edition."""
    criterion = finding.criterion
    seen = compared(finding, index)
    by_path: dict[str, Compared] = {}
    for one in seen:
        name = str(one.comparison.path)
        if name not in by_path or one.fails:
            by_path[name] = one
    failing = [one for one in seen if one.fails]
    reasons = index.explain(finding).reasons
    come = next((one for one in reasons if isinstance(one, MayComeToBe)), None)
    if come is not None and not failing:
        return [_Failure(f"the move leaves {come.said} open, and the worst of it counts", (), {}, "", {})]
    found: dict[tuple[str, str], list[Compared]] = {}
    for one in failing:
        words = _own_words(one, index.judgement.move.out) or _words_for(one, criterion.fault)
        if not words:
            words = _without_words(one, criterion.title)
        found.setdefault((words, str(one.comparison.path) if "{" in words else ""), []).append(one)
    if not found:
        words = next((one.words for one in criterion.fault), f"not so: {criterion.title}")
        return [_Failure(words, (), by_path, "", _of_parts_inside(finding, index))]
    return [
        _Failure(words, tuple(own), {**by_path, "": own[0]}, _must(own[0], seen, criterion.must), {})
        for (words, _), own in found.items()
    ]


def _without_words(one: Compared, title: str) -> str:
    """What is said of a criterion without words for its fault."""
    path = one.comparison.path
    if (
        one.comparison.word in ("within", "in_force", "before", "after", "shown")
        or path.value_attribute.type == "yes or no"
    ):
        return f"not so: {title}"
    return f"{path_words(path)} {{found of {path}}}"


def _own_words(one: Compared, departure: date) -> str:
    """What the program says of a test that failed or had run out by its own last day; empty for anything else."""
    if one.value is None or not of_test(one.comparison.path):
        return ""
    test = one.value.evidence
    if one.value.text != "passed":
        return f"{value_words(one.value.value)}, {{found of {one.comparison.path}}}"
    until = None if test is None else test.until
    return "" if until is None or until >= departure else f"ran out {until.isoformat()}"


def _words_for(one: Compared, fault: tuple[FaultWords, ...]) -> str:
    keys = (str(one.comparison.path), SIDE_OF.get(one.comparison.word, ""), "")
    return next((words.words for key in keys for words in fault if words.of == key), "")


def _of_parts_inside(finding: Finding, index: JudgementIndex) -> Mapping[str, str]:
    must, measured = finding.criterion.must, index.explain(finding).measured
    if isinstance(must, CountOf) and isinstance(measured, CountSeen):
        return {"found": f"{measured.count:,}" if measured.count else "none", "limit": f"{must.number:,}"}
    return {"found": joined_labels(measured.failing)} if isinstance(measured, EachSeen) else {}


def _filled(words: str, on: Sequence[tuple[Part, _Failure]], index: JudgementIndex) -> str:
    """The words with each place filled; where parts differ, each figure with its parts."""

    def fill(kind: str, name: str, side: str) -> str:
        return _merged([(part, _at_place(kind, name, side, failure)) for part, failure in on], index)

    return PLACE.sub(lambda match: fill(match[1], match[2] or "", match[3] or ""), words)


def _at_place(kind: str, name: str, side: str, failure: _Failure) -> str:
    one = failure.all.get(name) if name or "" in failure.all else None
    if one is None:
        return failure.others.get(kind, "not shown")
    return _limit(one) if kind == "limit" else _found(one, side)


def _found(one: Compared, side: str) -> str:
    """What was found. side: the words for a gauge that tells only on which side of its figure it is."""
    value, word = one.value, one.comparison.word
    if value is None:
        return "not measured"
    if word == "in_force":
        until = None if value.evidence is None else value.evidence.until
        return "without a last day" if until is None else until.isoformat()
    if word in ("within", "before", "after") or of_test(one.comparison.path):
        day = day_of(value)
        return value_words(value.value) if day is None else day.written
    if isinstance(value.value, Bound):
        return _bound(value.value, side)
    return value_words(value.value)


def _bound(bound: Bound, side: str) -> str:
    low, high = bound.low, bound.high
    if low is not None and high is not None:
        return value_words(bound)
    if high is not None:
        return f"under {write_quantity(high)}" if bound.high_open else f"{write_quantity(high)} or {side or 'less'}"
    if low is not None:
        return f"over {write_quantity(low)}" if bound.low_open else f"{write_quantity(low)} or {side or 'more'}"
    return value_words(bound)


def _limit(one: Compared) -> str:
    limit = one.comparison.limit
    if isinstance(limit, Fixed):
        return listed(map(value_words, limit.values), "or")
    return "not on record" if one.limit is None else value_words(one.limit.value)


_SIDE_WORDS = {"over": "over", "at_least": "at least", "under": "under", "at_most": "at most"}


def _must(one: Compared, seen: Sequence[Compared], must: Clause) -> str:
    """What the attribute of a comparison must be, in figures or in words; empty where the fault says it by itself."""
    if not (isinstance(must, Comparison) or (isinstance(must, AllOf) and one.comparison in must.clauses)):
        return ""
    path = str(one.comparison.path)
    own = [each for each in seen if str(each.comparison.path) == path and each.comparison.word in _SIDE_WORDS]
    if one.comparison.word in _SIDE_WORDS:
        known = [each for each in own if isinstance(each.comparison.limit, Fixed) or each.limit is not None]
        limits = [(each.comparison.word, _limit(each)) for each in known or own]
        if [word for word, _ in limits] == ["at_least", "at_most"]:
            return f"{limits[0][1]} to {limits[1][1]}"
        sides = {_side(word, text) for word, text in limits}
        if len(sides) < len(limits) or len(limits) > len({word for word, _ in limits}):
            return ""  # two limits on one side: which counts depends on the part, and the fault says it in words
        return " and ".join(_side(word, text) for word, text in limits)
    if one.comparison.word in ("is", "one_of"):
        text = _limit(one)
        return "" if text in ("yes", "no") else "none" if text.startswith("0 ") else text
    return ""


def _apart(finding: Finding, index: JudgementIndex) -> str:
    """The title of a requirement whose reading nobody took, where another asks for the same reading; else empty."""
    asked = index.explain(finding).attributes[:1]
    others = (
        one
        for one in index.findings_on(finding.part.key)
        if one.verdict == "not shown" and one.criterion.id != finding.criterion.id
    )
    return finding.criterion.title if any(index.explain(one).attributes[:1] == asked for one in others) else ""


def _must_where_unknown(finding: Finding, index: JudgementIndex) -> str:
    """What a figure or a word that nobody read must be; empty where that takes more than one."""
    if any(isinstance(one, MayNotApply) for one in index.explain(finding).reasons):
        return ""  # what is missing is whether it applies
    seen = compared(finding, index)
    unread = [each for each in seen if each.value is None] or list(seen[:1])
    one = unread[0] if len({str(each.comparison.path) for each in unread}) == 1 else None
    if one is None or (one.limit is None and not isinstance(one.comparison.limit, Fixed)):
        return ""
    return _must(one, seen, finding.criterion.must)


def _side(word: str, limit: str) -> str:
    number = limit.split(" ")[0]
    if word == "at_least" and limit == "100 %":
        return limit
    return "none" if word == "at_most" and number == "0" else f"{_SIDE_WORDS[word]} {limit}"


def _merged(each: Sequence[tuple[Part, str]], index: JudgementIndex) -> str:
    """A text that all parts share; where they differ, every text with the parts that it is of."""
    by_text: dict[str, list[Part]] = {}
    for part, text in each:
        by_text.setdefault(text, []).append(part)
    if len(by_text) == 1:
        return next(iter(by_text))
    return ", ".join(f"{text} ({_short(parts, index)})" for text, parts in by_text.items() if text)


def _short(parts: Sequence[Part], index: JudgementIndex) -> str:
    """Parts by their positions alone where they are of one kind and each has one."""
    if len({part.kind for part in parts}) == 1 and all(part.position for part in parts):
        words = named(parts, index)
        return words if len(parts) > 1 and not words.count(" ") else words.split(" ", words.count(" ") and 1)[-1]
    return named(parts, index)


def _borderline(findings: Sequence[Finding], subject: _Subject, index: JudgementIndex) -> FaultLine:
    said: list[tuple[Part, str]] = []
    musts: dict[str, None] = {}
    near_limit = "too near the limit for the gauge"
    for finding in findings:
        seen = compared(finding, index)
        near = {str(one.comparison.path): one for one in reversed(seen) if one.near}
        each = list(reversed(near.values())) or list(seen[:1])
        if len(each) > 1:
            near_limit = "each too near its limit for the gauge"
        limits = [_must_of_near(one, seen, finding) for one in each]
        told = [
            f"{_near(one)} (must be {must})" if must and len(each) > 1 else _near(one)
            for one, must in zip(each, limits, strict=True)
        ]
        if len(each) == 1:
            musts.setdefault(limits[0], None)
        said.append((finding.part, "; ".join(told)))
    return FaultLine(subject.words, f"{_merged(said, index)}, {near_limit}", ", ".join(filter(None, musts)))


def _near(one: Compared) -> str:
    """What is too near a limit: `flange thickness 57/64 in`; of a limit that a part gives, what it is held against."""
    found = f"{_called(one.comparison.path)} {_found(one, '')}"
    limit = one.comparison.limit
    return f"{found} against {_called(limit.path)} {_limit(one)}" if isinstance(limit, FromPart) else found


def _must_of_near(one: Compared, seen: Sequence[Compared], finding: Finding) -> str:
    """Empty where what it is held against is said beside it."""
    return "" if isinstance(one.comparison.limit, FromPart) else _must(one, seen, finding.criterion.must)


def _called(path: AttributePath) -> str:
    """An attribute behind the part that its line is about: `height over rail (car)`, `form (annual inspection)`."""
    label, owner = path.attribute.label, path.owner
    if path.fact is not None:
        label = f"{path.fact.label} of the {label}"
    return label if owner in ("", "fact") or f" {owner}" in f" {label}" else f"{label} ({owner})"


def _said(finding: Finding, own: AttributePath | None, index: JudgementIndex) -> str:
    """What is wrong, by verdict. own: the test or paper that the line is about, which need not be named again."""
    explanation = index.explain(finding)
    paths = explanation.attributes
    label = "" if own is not None or not paths else _called(paths[0])
    reasons = explanation.reasons
    match finding.verdict:
        case "void":
            label = f"{label}: reading" if label else ""
            why = next((one.why for one in reasons if isinstance(one, MadeVoid)), None)
            if isinstance(why, MadeVoidBy):
                return f"{label} void; {why.work.name} after it, {why.work.on.isoformat()}".strip()
            return f"{label} void{'; ' if why is not None else ''}{set_aside_words(why)}".strip()
        case "lapses":
            back = index.judgement.move.back.isoformat()
            begins = [one for one in reasons if isinstance(one, ComesToApply | ExceptionEnds)]
            last = finding.lapses_on
            if last is None:
                return reason_words(reasons)
            sort = paths[0].attribute.type if paths else ""
            lapsed = _lapsing(finding, index)
            others = [one for one in lapsed if own is None or one not in (_called(own), own.attribute.label)]
            named_here = listed_up_to(others)
            if own is None and (others or not label):
                label = named_here if others else "what was read of the parts inside"
            ends = "runs out" if sort in ("test", "paper") else "good through"
            read = None if finding.evidence is None else finding.evidence.on
            if ends == "good through" and finding.criterion.read_within is not None and read is not None:
                ends = f"read {read.isoformat()}, good through"
            also = f"; {reason_words(tuple(begins))}" if begins else ""
            if own is not None and others:
                also = f"; so too {named_here}{also}"
            return f"{label} {ends} {last.isoformat()}; move ends {back}{also}".strip()
        case "not shown":
            return _not_shown(finding, own, index)
        case _:
            return reason_words(reasons) or f"{finding.verdict}: {finding.criterion.title}"


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
    return _called(path) if day is None else f"{_called(path)} {day.written}"


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
                    name = "" if same else _called(one.path)
                    if isinstance(one.why, NoLimit) and isinstance(one.why.comparison.limit, FromPart):
                        name = _called(one.why.comparison.limit.path)
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


# duties


def fault_of_duties(duties: Sequence[Duty], index: JudgementIndex) -> FaultLine:
    """The fault of an open duty on some parts."""
    first = duties[0]
    requires, parts = first.requirement, [duty.part for duty in duties]
    words = _words_of(first.consequence, "requires")
    if requires.test:
        subject = (
            requires.test if len(parts) == 1 and not parts[0].position else f"{requires.test} of {named(parts, index)}"
        )
        since = "" if first.since is None else f" after {first.since.isoformat()}"
        happened = _happened(duties, index) or ((words,) if words else ())
        return FaultLine(subject, f"none on file{since}", why=", ".join(happened))
    if requires.spare:
        number = f"{requires.number} × " if requires.number > 1 else ""
        aboard = "not aboard" if requires.number == 1 else "not all aboard"
        return FaultLine(f"spare {number}{requires.spare}", "; ".join(filter(None, (aboard, words))))
    asked = words.replace("{asked}", requires.words) if words else f"not on record as done: {requires.words}"
    return FaultLine(named(parts, index), asked)


def _words_of(consequence: Consequence, sort: str) -> str:
    return next((one.words for one in consequence.fault if one.of in (sort, "")), "")


def _happened(duties: Iterable[Duty], index: JudgementIndex) -> tuple[str, ...]:
    """The work and events that called for a duty."""
    names: dict[str, None] = {}
    for duty in duties:
        entry = index.work.get(duty.cause.entry) if isinstance(duty.cause, EntryFact) else None
        if entry is not None:
            names[f"{entry.name} {entry.on.isoformat()}" if duty.since is None else entry.name] = None
    return tuple(names)


# what is against the move


def _fault_of_move(against: AgainstMove, reasons: Sequence[RestrictionInForce], index: JudgementIndex) -> FaultLine:
    why: dict[str, None] = {}
    for one in reasons:
        consequence, criterion = index.consequences.get(one.said_by), index.criteria.get(one.said_by)
        words = "" if consequence is None else _words_of(consequence, "restricts")
        if not words and criterion is not None:
            on = [found for fact in one.reasons if isinstance(fact, FindingFact)
                  if (found := index.findings.get((fact.criterion, fact.part))) is not None]  # fmt: skip
            words = fault_of_findings(on, index).text if on else ""
        why[words or index.title(one.said_by)] = None
    text = "; ".join(filter(None, (stated_words(against), allowed_words(against))))
    if only_undecided((fact for one in reasons for fact in one.reasons), index):
        text = f"{text} {UNLESS_SHOWN}"
    return FaultLine("the move", text, rests_on="; ".join(why))
