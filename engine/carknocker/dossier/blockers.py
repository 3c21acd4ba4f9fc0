"""What keeps the car from moving. Equal items are merged, each with what was measured, what is
required, its source, what it stops, and what clears it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from carknocker.judgement.explanation import MadeVoid
from carknocker.judgement.facts import EntryFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import AgainstMove, Finding, Refusal
from carknocker.judgement.set_aside import MadeVoidBy
from carknocker.page.model import Binds
from carknocker.record.model import Part
from carknocker.rulebook.model import Layer
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.causes import fact_words
from carknocker.wording.duties import requirement_of_duty
from carknocker.wording.evidence import evidence_words, found_later_words
from carknocker.wording.facts import remedy_words
from carknocker.wording.faults import FaultLine, fault_of
from carknocker.wording.limits import ON_FILE, margin_words, path_words
from carknocker.wording.parts import label_of, named
from carknocker.wording.places_to_write import entry_of_spare, entry_of_test
from carknocker.wording.refusals import allowed_words, permission_words, stated_words, stops_words
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.sources import source_words
from carknocker.wording.verdicts import measured_words, names_day, reason_words, required_words


def clears_of(findings: list[Finding], index: JudgementIndex) -> tuple[str, ...]:
    """What clears the findings: new evidence if theirs is void or runs out; else the remedies, each with its
    condition."""
    words: dict[str, list[Part]] = {}
    for finding in findings:
        again = _again(finding, index)
        if again:
            words.setdefault(again, []).append(finding.part)
        if finding.verdict in ("breached", "borderline") or (finding.verdict == "lapses" and not again):
            for remedy in finding.criterion.remedies:
                words.setdefault(remedy_words(remedy, finding, index), []).append(finding.part)
    if not words:
        return ("the rule names no work that clears it: ask the host's mechanical department",)
    everywhere = len({finding.part.key for finding in findings})
    return tuple(
        text if len({part.key for part in parts}) == everywhere else f"{text}: {named(parts, index)}"
        for text, parts in words.items()
    )


def _again(finding: Finding, index: JudgementIndex) -> str:
    """The new evidence that would clear a finding; empty if only work can."""
    paths = index.explain(finding).attributes
    attribute = paths[0].attribute if paths else None
    evidence = finding.evidence
    sort = attribute.type if attribute is not None else (evidence.sort if evidence is not None else "")
    back = index.judgement.move.back
    label = attribute.label if attribute is not None else "it"
    if finding.part.kind in MOVE_KINDS:
        return "change the move, or its file, so that it holds"
    if finding.verdict == "void":
        return _made_again(label) if sort == "test" else "read it again, after that work"
    if finding.verdict == "lapses":
        within = finding.criterion.read_within
        if within is not None and sort not in ("test", "paper"):
            return f"read it again, so that the reading is not over {within} old on {back.isoformat()}"
        if sort == "date":
            return ""  # work alone makes it later
        return _renew(sort, label, back)
    if finding.verdict == "borderline":
        return "measure it again with a finer gauge"
    if finding.verdict == "breached" and sort in ("test", "paper"):
        return _renew(sort, label, back)
    return ""


def _renew(sort: str, label: str, back: date) -> str:
    if sort == "test":
        return f"{_anew(label)}, late enough before departure to hold through {back.isoformat()}"
    if sort == "paper":
        return f"renew the {label} so that it is in force through {back.isoformat()}"
    return f"renew it so that it holds through {back.isoformat()}"


_ORDER = {"breached": 0, "borderline": 1, "lapses": 2, "void": 3, "not shown": 4, "duty not done": 5}


class MeasuredOnParts(msgspec.Struct, frozen=True):
    """What was measured on some parts. margin and evidence are empty if there are none."""

    parts: str
    measured: str
    margin: str
    evidence: str


class Blocker(msgspec.Struct, frozen=True):
    """One item that keeps the car from moving. verdict: of the findings; or `duty not done`, or `against the move`.

    fault: what is wrong, in one line. layers: of the rules that say so: law binds every move, a circular its host's.
    clears: what must be done or measured. write: where the owner then writes it in his record. why: the reason (work
    that voided evidence, the cause of a duty, worked lines). leave: what relieves it for a repair move. test: the test
    that is asked for, if it is one. spare: the one that must ride along, if it is one.
    """

    title: str
    parts: str
    verdict: str
    fault: FaultLine
    layers: tuple[Layer, ...]
    measured: tuple[MeasuredOnParts, ...]
    required: str
    source: str
    stops: str
    clears: tuple[str, ...]
    why: tuple[str, ...]
    leave: tuple[str, ...]
    criterion: str
    test: str = ""
    spare: str = ""
    write: tuple[str, ...] = ()

    @property
    def binds(self) -> Binds:
        """The strictest of whose rules it breaks."""
        return "law" if "law" in self.layers else "host" if "host" in self.layers else "practice" if self.layers else ""


def blockers_of(refusals: Iterable[Refusal], index: JudgementIndex) -> tuple[Blocker, ...]:
    """The refusals as blockers: breached first, then lapsed or void, then duties not done, spares last. What
    several rules ask of a part in the same words is one."""
    refusals = tuple(refusals)
    asking: dict[tuple[object, ...], dict[str, None]] = {}
    for refusal in refusals:
        if refusal.finding is not None:
            asking.setdefault(_asked(refusal.finding, index), {})[refusal.finding.criterion.id] = None
    groups: dict[tuple[object, ...], list[Refusal]] = {}
    for refusal in refusals:
        groups.setdefault(_group_of(refusal, asking, index), []).append(refusal)
    found = []
    for own in together_by_test(groups.values(), index):
        told = _works_that_made_void((refusal for group in own for refusal in group), index)
        found.append(_together([_blocker(group, index, told) for group in own]))
    return tuple(
        sorted(_of_one_reading(found), key=lambda one: (_ORDER.get(one.verdict, len(_ORDER)), bool(one.spare)))
    )


def _of_one_reading(found: Iterable[Blocker]) -> Iterator[Blocker]:
    """What several rules say in the same words of the same parts, as one: a flange too high for the law and the host.
    What clears it clears it for all of them; a permission that only some of the rules allow clears nothing."""
    alike: dict[tuple[str, ...], list[Blocker]] = {}
    for number, one in enumerate(found):
        apart = () if one.verdict == "breached" and one.fault.must else (str(number),)
        alike.setdefault((one.fault.subject, one.fault.said, *apart), []).append(one)
    for own in alike.values():
        if len(own) == 1:
            yield own[0]
            continue
        first = own[0]
        every = tuple(one for one in first.clears if all(one in other.clears for other in own))
        measured = tuple(dict.fromkeys(replace(one, margin="") for blocker in own for one in blocker.measured))
        yield replace(
            first,
            title="; ".join(one.title for one in own),
            fault=replace(first.fault, must=_musts(own)),
            layers=tuple(dict.fromkeys(layer for one in own for layer in one.layers)),
            measured=measured,
            required="; ".join(dict.fromkeys(one.required for one in own)),
            source="; ".join(dict.fromkeys(one.source for one in own)),
            stops="; ".join(dict.fromkeys(one.stops for one in own)),
            clears=every or tuple(dict.fromkeys(text for one in own for text in one.clears if text[:3] != "or:")),
            why=tuple(dict.fromkeys(text for one in own for text in one.why)),
            leave=tuple(text for text in first.leave if all(text in other.leave for other in own)),
            criterion=", ".join(dict.fromkeys(one.criterion for one in own)),
        )


RefusalGroup = list[Refusal]


def together_by_test(groups: Iterable[RefusalGroup], index: JudgementIndex) -> list[list[RefusalGroup]]:
    """The groups of refusals; those that one test of the same part clears stand together."""
    together: list[list[RefusalGroup]] = []
    place: dict[tuple[str, str], list[RefusalGroup]] = {}
    for group in groups:
        own = [group]
        for key in (_cleared_by_test(refusal, index) for refusal in group):
            if key is None:
                continue
            other = place.get(key)
            if other is not None and other is not own:
                other.extend(own)
                together = [one for one in together if one is not own]
                place.update((known, other) for known, found in place.items() if found is own)
                own = other
            place[key] = own
        if not any(own is one for one in together):
            together.append(own)
    return together


def _cleared_by_test(refusal: Refusal, index: JudgementIndex) -> tuple[str, str] | None:
    """The test that clears a refusal, and the part that it is made on; None for what a test does not clear."""
    if refusal.duty is not None:
        return (refusal.duty.requirement.test, refusal.duty.part.key) if refusal.duty.requirement.test else None
    if refusal.finding is None:
        return None
    test = test_of_finding(refusal.finding, index)
    return (test, refusal.finding.part.key) if test else None


def _together(found: list[Blocker]) -> Blocker:
    """Items that one test clears as one: every figure, requirement and source of each. A duty that is open because the
    test is void or too old says nothing of its own."""
    if len(found) == 1:
        return found[0]
    found.sort(key=lambda one: _ORDER.get(one.verdict, len(_ORDER)))
    first = found[0]
    saying = [one for one in found if one.verdict != "duty not done"] or found

    def joined(texts: Iterable[str]) -> str:
        return "; ".join(dict.fromkeys(filter(None, texts)))

    def each(of: Callable[[Blocker], tuple[_T, ...]]) -> tuple[_T, ...]:
        return tuple(dict.fromkeys(one for blocker in found for one in of(blocker)))

    anew = any(one.verdict == "duty not done" for one in found)
    clears = [one for one in each(lambda one: one.clears) if not (anew and one == _made_again(first.test))]
    return replace(
        first,
        title=joined(one.title for one in found),
        parts=joined(one.parts for one in found),
        fault=replace(
            first.fault,
            said=joined(replace(one.fault, why="").words for one in saying),
            must="",
            why=", ".join(dict.fromkeys(filter(None, (one.fault.why for one in saying)))),
        ),
        layers=each(lambda one: one.layers),
        measured=each(lambda one: one.measured),
        required=joined(one.required for one in found if one.required != ON_FILE) or first.required,
        source=joined(one.source for one in found),
        stops=joined(one.stops for one in found),
        clears=tuple(sorted(clears, key=lambda one: one.startswith("or: "))),
        why=each(lambda one: one.why),
        leave=each(lambda one: one.leave),
        write=each(lambda one: one.write),
        criterion=", ".join(dict.fromkeys(one.criterion for one in found)),
    )


_T = TypeVar("_T")


def _made_again(test: str) -> str:
    """What clears a void test: `make the single-car brake test again, after that work`."""
    return f"{_anew(test)}, after that work"


def _anew(test: str) -> str:
    return f"{test} again" if test.startswith("look ") else f"make the {test} again"


def _asked(finding: Finding, index: JudgementIndex) -> tuple[object, ...]:
    """What is asked of one part, in words, of which attributes, and with which verdict."""
    explanation = index.explain(finding)
    attributes = tuple(str(path) for path in explanation.attributes)
    evidence = "" if finding.evidence is None else finding.evidence.id
    return finding.part.key, finding.verdict, required_words(explanation.required), attributes, evidence


def _group_of(
    refusal: Refusal, asking: Mapping[tuple[object, ...], Mapping[str, None]], index: JudgementIndex
) -> tuple[object, ...]:
    """asking: the criteria that ask the same of a part."""
    finding, duty = refusal.finding, refusal.duty
    if finding is not None:
        required = required_words(index.explain(finding).required)
        criteria = tuple(asking[_asked(finding, index)]) if index.explain(finding).attributes else ()
        return "finding", criteria or finding.criterion.id, finding.verdict, required
    if duty is not None:
        since = "" if duty.since is None else duty.since.isoformat()
        return "duty", duty.consequence.id, repr(duty.requirement), duty.note, since
    return "against", refusal.against


def _works_that_made_void(refusals: Iterable[Refusal], index: JudgementIndex) -> frozenset[str]:
    """The ids of the work that made the evidence of some findings void, which says so with them."""
    reasons = (reason for one in refusals if one.finding for reason in index.explain(one.finding).reasons)
    return frozenset(
        one.why.work.id for one in reasons if isinstance(one, MadeVoid) and isinstance(one.why, MadeVoidBy)
    )


def _blocker(group: list[Refusal], index: JudgementIndex, told: frozenset[str]) -> Blocker:
    """told: work that is named beside it as having made a test void."""
    if group[0].finding is not None:
        return _of_findings(group, [refusal.finding for refusal in group if refusal.finding is not None], index)
    if group[0].against is not None:
        return _against(group[0], group[0].against, index)
    return _of_duties(group, index, told)


def _of_findings(group: list[Refusal], findings: list[Finding], index: JudgementIndex) -> Blocker:
    first = findings[0]
    why: dict[str, None] = {}
    for finding in findings:
        explanation = index.explain(finding)
        reason = reason_words(explanation.reasons)
        if reason:
            why[reason] = None
        against = counts_against(finding, index)
        if against:
            why[against] = None
        for too_early in index.found_later.get((finding.criterion.id, finding.part.key), ()):
            why[found_later_words(too_early)] = None
        for line in explanation.worked:
            why[line if len(findings) == 1 else f"{label_of(finding.part)}: {line}"] = None
    return Blocker(
        title="; ".join(dict.fromkeys(one.criterion.title for one in findings)),
        parts=named({one.part.key: one.part for one in findings}.values(), index),
        verdict=first.verdict,
        fault=fault_of(group, index),
        layers=tuple(dict.fromkeys(one.criterion.layer for one in findings)),
        measured=measured_of({one.part.key: one for one in findings}.values(), index),
        required="; ".join(filter(None, (required_words(index.explain(first).required), _read_within(first)))),
        source="; ".join(dict.fromkeys(source_words(one.criterion.source) for one in findings)),
        stops=stops_words(group, index),
        clears=(*clears_of(findings, index), *_permitted(group, index)),
        why=tuple(why),
        leave=_leave_words(group, index),
        criterion=", ".join(dict.fromkeys(one.criterion.id for one in findings)),
        test=test_of_finding(first, index),
    )


_BY: Mapping[Binds, str] = {"law": " by law", "host": " by the host", "practice": " by practice", "": ""}


def _musts(found: Iterable[Blocker]) -> str:
    """What it must be, by each rule that asks for something else; whose each is, where that differs too."""
    by_must: dict[str, Blocker] = {one.fault.must: one for one in reversed(tuple(found))}
    told = tuple(reversed(by_must.items()))
    apart = len({one.binds for _, one in told}) == len(told) > 1
    return ", and ".join(f"{must}{_BY[one.binds]}" if apart else must for must, one in told)


def _read_within(finding: Finding) -> str:
    """How old a reading may be, where its age is what is wrong: the limit of the figure would not say it."""
    within = finding.criterion.read_within
    return f"read within {within}" if within is not None and finding.verdict in ("lapses", "not shown") else ""


def counts_against(finding: Finding, index: JudgementIndex) -> str:
    """Why the reading that a finding rests on counts only against the car; empty for any other."""
    if not finding.as_said or finding.evidence is None:
        return ""
    reason = set_aside_words(index.situation.excluded.get(finding.evidence.id))
    return f"the reading counts only against the car: {reason}" if reason else ""


def test_of_finding(finding: Finding, index: JudgementIndex) -> str:
    """The test that a finding is about; empty for one about something else."""
    paths = index.explain(finding).attributes
    return paths[0].attribute.label if paths and paths[0].attribute.type == "test" else ""


def measured_of(findings: Iterable[Finding], index: JudgementIndex) -> tuple[MeasuredOnParts, ...]:
    """The figures. Parts with the same figure and the same evidence are together."""
    alike: dict[tuple[str, str, str], list[Part]] = {}
    for finding in findings:
        explanation = index.explain(finding)
        on = None if finding.evidence is None else finding.evidence.on
        evidence = evidence_words(finding.evidence, with_day=on is None or not names_day(explanation.measured, on))
        key = (_measured(finding, index), margin_words(explanation.margin), evidence)
        alike.setdefault(key, []).append(finding.part)
    return tuple(
        MeasuredOnParts(named(parts, index), measured, margin, evidence)
        for (measured, margin, evidence), parts in alike.items()
    )


def _measured(finding: Finding, index: JudgementIndex) -> str:
    """What was measured; a bare yes or no with what it is about."""
    explanation = index.explain(finding)
    words = measured_words(explanation.measured)
    if words not in ("yes", "no") or finding.evidence is None:
        return words
    about = (path for path in explanation.attributes if path.attribute.name == finding.evidence.attribute)
    return next((f"{path_words(path)}: {words}" for path in about), words)


def _of_duties(group: list[Refusal], index: JudgementIndex, told: frozenset[str]) -> Blocker:
    duties = [refusal.duty for refusal in group if refusal.duty is not None]
    first = duties[0]
    requires = first.requirement
    parts = named((duty.part for duty in duties), index)
    write: tuple[str, ...]
    if requires.test:
        since = f", after {first.since.isoformat()}" if first.since is not None else ""
        clears, write = f"make the {requires.test}{since}", (entry_of_test(requires.test),)
    elif requires.spare:
        clears, write = f"put the {requires.spare} aboard", (entry_of_spare(requires.spare),)
    else:
        clears, write = f"{requires.words}; the program cannot see it done: settle it with the host", ()
    causes = [one.cause for one in duties if not (isinstance(one.cause, EntryFact) and one.cause.entry in told)]
    why = tuple(dict.fromkeys(fact_words(cause, index) for cause in causes))
    return Blocker(
        title=first.consequence.title,
        parts=parts,
        verdict="duty not done",
        fault=fault_of(group, index),
        layers=(first.consequence.layer,),
        measured=(MeasuredOnParts(parts, first.note, "", ""),) if causes else (),
        required=requirement_of_duty(requires, parts, first.since),
        source=source_words(first.consequence.source),
        stops=stops_words(group, index),
        clears=(clears, *_permitted(group, index)),
        why=why,
        leave=_leave_words(group, index),
        criterion=first.consequence.id,
        test=requires.test,
        spare=requires.spare,
        write=write,
    )


def _against(refusal: Refusal, against: AgainstMove, index: JudgementIndex) -> Blocker:
    saying = tuple(dict.fromkeys(one.said_by for one in refusal.reasons))
    sources = [
        source_words(found.source)
        for identifier in saying
        if (found := index.criteria.get(identifier) or index.consequences.get(identifier)) is not None
    ]
    why = tuple(dict.fromkeys(fact_words(fact, index) for one in refusal.reasons for fact in one.reasons))
    return Blocker(
        title="The move asks for more than the car may do",
        parts="the move",
        verdict="against the move",
        fault=fault_of((refusal,), index),
        layers=tuple(
            dict.fromkeys(
                found.layer
                for identifier in saying
                if (found := index.criteria.get(identifier) or index.consequences.get(identifier)) is not None
            )
        ),
        measured=(MeasuredOnParts("the move", stated_words(against), "", ""),),
        required=allowed_words(against) or "one plan that satisfies every restriction",
        source="; ".join(dict.fromkeys(sources)),
        stops=stops_words((refusal,), index),
        clears=("change the move, or clear what restricts it",),
        why=why,
        leave=_leave_words((refusal,), index),
        criterion=", ".join(saying),
    )


def _permitted(group: Iterable[Refusal], index: JudgementIndex) -> tuple[str, ...]:
    """The host's written permission, where the rules let him give one for each of these refusals."""
    found = {index.permissions.of(refusal) for refusal in group}
    return tuple(f"or: {permission_words(one)}" for one in found if one is not None) if len(found) == 1 else ()


def _leave_words(group: Iterable[Refusal], index: JudgementIndex) -> tuple[str, ...]:
    return tuple(
        dict.fromkeys(
            f"{relief.consequence.title}: {source_words(relief.consequence.source)}"
            for refusal in group
            for relief in refusal.repair
        )
    )
