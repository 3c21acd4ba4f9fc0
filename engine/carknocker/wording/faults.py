"""What is wrong, in one line: the part, the fault, and what it must be.

A breach is said in the words of its edition (`fault`), with the figures that were found; every other verdict in the
words of the program. The same fault on many parts is one line that names them all.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import msgspec

from carknocker.judgement.explanation import (
    CountSeen,
    EachSeen,
    MayComeToBe,
)
from carknocker.judgement.facts import EntryFact, FindingFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import AgainstMove, Duty, Finding, Refusal, RestrictionInForce
from carknocker.judgement.shortfall import Compared, compared
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import (
    AllOf,
    AttributePath,
    Clause,
    Comparison,
    CountOf,
    of_test,
)
from carknocker.rulebook.fault_reader import PLACE, SIDE_OF
from carknocker.rulebook.model import Consequence, FaultWords
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.evidence_faults import evidence_fault, must_where_unknown
from carknocker.wording.facts import UNLESS_SHOWN, only_undecided
from carknocker.wording.fault_figures import SIDE_WORDS, found_words, limit_words, merged, must_words, short_names
from carknocker.wording.limits import path_words
from carknocker.wording.near_figures import near_words
from carknocker.wording.parts import joined_labels, named
from carknocker.wording.refusals import allowed_words, stated_words


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
    def what_is_wrong(self) -> str:
        """The line without what it must be: `Wheel R5: flange 7/8 in or thinner`."""
        line = f"{self.subject}: {self.said}"
        return line[:1].upper() + line[1:]

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
        return FaultLine(subject.words, *near_words(each, index))
    own = (paths[0] if paths else None) if subject.whole else None
    said = merged([(one.part, evidence_fault(one, own, index)) for one in each], index)
    if first.verdict != "not shown":
        return FaultLine(subject.words, said)
    must = merged([(one.part, must_where_unknown(one, index)) for one in each], index)
    title = first.criterion.title
    named_already = must or f"“{title}”" in said
    return FaultLine(subject.words, said, must, rests_on="" if named_already else _apart(first, index))


def fault_of_part(finding: Finding, index: JudgementIndex) -> str:
    """The fault of one finding behind the name of its part: `flange 7/8 in or thinner; must be over 7/8 in`, and of a
    test or a paper which one; empty where nothing is wrong."""
    if not (finding.unmet or finding.verdict == "borderline"):
        return ""
    fault = fault_of_findings([finding], index)
    return fault.words if fault.subject == named([finding.part], index) else f"{fault.subject}: {fault.words}"


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
        said.append(f"{text} ({short_names(parts, index)})" if some else text)
        if "{limit" not in words and ("{found" in words or _of_one_figure(findings[0].criterion.must)):
            must[merged([(part, failure.must) for part, failure in on], index)] = None
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
    compared_here = [one for one in clauses if isinstance(one, Comparison) and one.word in SIDE_WORDS]
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
        _Failure(words, tuple(own), {**by_path, "": own[0]}, must_words(own[0], seen, criterion.must), {})
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
        return merged([(part, _at_place(kind, name, side, failure)) for part, failure in on], index)

    return PLACE.sub(lambda match: fill(match[1], match[2] or "", match[3] or ""), words)


def _at_place(kind: str, name: str, side: str, failure: _Failure) -> str:
    one = failure.all.get(name) if name or "" in failure.all else None
    if one is None:
        return failure.others.get(kind, "not shown")
    return limit_words(one) if kind == "limit" else found_words(one, side)


def _apart(finding: Finding, index: JudgementIndex) -> str:
    """The title of a requirement whose reading nobody took, where another asks for the same reading; else empty."""
    asked = index.explain(finding).attributes[:1]
    others = (
        one
        for one in index.findings_on(finding.part.key)
        if one.verdict == "not shown" and one.criterion.id != finding.criterion.id
    )
    return finding.criterion.title if any(index.explain(one).attributes[:1] == asked for one in others) else ""


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
