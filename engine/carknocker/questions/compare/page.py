"""The answer to *compare* as a page: what is cleared, what is new, what is still due, and what did it."""

from collections.abc import Callable, Iterable, Mapping
from itertools import product

import msgspec

from carknocker.documents import Location
from carknocker.dossier.blockers import test_of_finding
from carknocker.dossier.restrictions import restricted_to
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.explanation import NothingSeen
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Duty, Finding
from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Rows, Section, Table, tone_of
from carknocker.record.model import Work
from carknocker.whatif.differences.model import (
    CompareAnswer,
    DutyChange,
    FindingChange,
    RecordChange,
    RestrictionChange,
)
from carknocker.wording.duties import DUTY_STATES, duty_words
from carknocker.wording.faults import fault_of_duties, fault_of_findings
from carknocker.wording.outcomes import READY, limits_sentence, outcome_words
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.phrases import counted
from carknocker.wording.sources import place_of, place_words
from carknocker.wording.verdicts import FindingWords

_MOST_REASONS = 3


class Legend(msgspec.Struct, frozen=True):
    """What the page says once. work: number → the whole of it; only numbers that mean one piece of work.
    exchanged: `wheel W-31 left → wheel W-51 left`."""

    work: Mapping[str, str]
    exchanged: tuple[str, ...]


def legend_of(answer: CompareAnswer) -> Legend:
    """The work and events that a reason of this answer names, and the parts that are others now."""
    findings = (
        *answer.cleared, *answer.new, *answer.still_open, *answer.changed_verdict, *answer.changed_margin,
        *answer.spares,
    )  # fmt: skip
    duties = (*answer.duties_cleared, *answer.duties_new, *answer.duties_open)
    restrictions = (*answer.restrictions_gone, *answer.restrictions_new)
    reasons = [change.because for change in findings]
    reasons += [change.because for change in duties]
    reasons += [change.because for change in restrictions]
    found: dict[str, dict[str, None]] = {}
    for because in reasons:
        for one in because[:_MOST_REASONS]:
            if isinstance(one.about, Work) and one.about.id:
                found.setdefault(one.about.id, {})[one.said] = None
    work = {number: next(iter(said)) for number, said in found.items() if len(said) == 1}
    return Legend(work, _exchanged(findings, answer))


def _exchanged(changes: Iterable[FindingChange], answer: CompareAnswer) -> tuple[str, ...]:
    """The parts that are others now; what is in one of them goes with it, and is not named."""
    told: dict[tuple[str, str], str] = {}
    for change in changes:
        if change.exchange and change.before is not None and change.after is not None:
            told.setdefault((change.before.part.key, change.after.part.key), change.exchange)
    first, second = (one.judgement.situation.standing.containers for one in (answer.before, answer.after))
    inside = {(was, now) for was, now in told if not told.keys().isdisjoint(product(first(was), second(now)))}
    return tuple(dict.fromkeys(words for pair, words in told.items() if pair not in inside))


def notes_of(changes: Iterable[FindingChange]) -> tuple[str, ...]:
    """What else is to be known of some changes, each said once; that a part is another, without which."""
    notes: dict[str, None] = {}
    for change in changes:
        if change.exchange:
            notes["another part now"] = None
        if change.also:
            notes[change.also] = None
    return tuple(notes)


def because_words(changes: Iterable[Iterable[RecordChange]], told: Legend) -> str:
    """What explains some changes, the nearest reasons of each."""
    nearest = [one for because in changes for one in tuple(because)[:_MOST_REASONS]]
    return "; ".join(words for words, _ in alike(nearest, told, placed=False)) or "no entry explains it"


def alike(
    record_changes: Iterable[RecordChange], told: Legend | None = None, *, placed: bool = True
) -> list[tuple[str, Location | None]]:
    """What is new, the same on several parts as one. placed: only what stands in one place of the record, with it.
    told: work that is named by its number."""
    groups: dict[tuple[str, Location | None], list[str]] = {}
    for one in record_changes:
        words = f": {one.words}" if one.label else one.words
        if told is not None and isinstance(one.about, Work) and told.work.get(one.about.id) == one.said:
            words = one.about.id
        groups.setdefault((words, one.where if placed else None), []).append(one.label)
    return [(f"{compact_labels(labels)}{words}", where) for (words, where), labels in groups.items()]


_EFFECTS = {"refuse": "refuses the car", "restrict": "restricts it", "advise": "is advice"}


_Fault = Callable[[list[FindingChange]], str]
"""What is wrong, of one criterion where it changed alike."""


def findings_section(
    heading: str, changes: tuple[FindingChange, ...], told: Legend, fault: _Fault | None = None, *, folded: bool = False
) -> Section | None:
    """The changes by what they mean for the car; None where there are none. fault: heads them instead of the title."""
    by_effect: dict[str, dict[tuple[str, str, str], list[FindingChange]]] = {}
    for change in changes:
        finding = change.after or change.before
        effect: str = "" if finding is None else finding.effect
        by_effect.setdefault(effect, {}).setdefault((change.title, *_states(change)), []).append(change)
    blocks: list[Block | Item] = []
    for effect in (*_EFFECTS, ""):
        grouped = by_effect.get(effect)
        if grouped:
            name = f"What {_EFFECTS[effect]}" if effect else "Other"
            blocks.extend(_blocks(name, list(grouped.values()), told, fault))
    return Section(heading, tuple(blocks), folded) if blocks else None


def _blocks(name: str, groups: list[list[FindingChange]], told: Legend, fault: _Fault | None) -> list[Block | Item]:
    changed = [group for group in groups if _changed(group[0])]
    same = [group for group in groups if not _changed(group[0])]
    blocks: list[Block | Item] = []
    if changed:
        rows = tuple(
            (_where(group, fault), *_states(group[0]), because_words((change.because for change in group), told))
            for group in changed
        )
        blocks.append(Table(name, ("Where and what", "First", "Second", "Because of"), rows))
    if same:
        said = (_where(group, fault) if fault else f"{_where(group)}: {_states(group[0])[1]}" for group in same)
        blocks.append(Item(f"{name}, as before" if changed else name, (Bullets(_papers_together(said)),)))
    return blocks


_NOT_ON_FILE = ": not on file"


def _papers_together(said: Iterable[str]) -> tuple[str, ...]:
    """The lines, those of papers that are not on file as one at the end: a circular asks for twenty."""
    lines = tuple(dict.fromkeys(said))
    papers = [line.removesuffix(_NOT_ON_FILE) for line in lines if line.endswith(_NOT_ON_FILE)]
    if len(papers) < 2:
        return lines
    named = (*papers[:1], *(one[:1].lower() + one[1:] for one in papers[1:]))
    return (*(line for line in lines if not line.endswith(_NOT_ON_FILE)), f"{'; '.join(named)}{_NOT_ON_FILE}")


def _where(group: list[FindingChange], fault: _Fault | None = None) -> str:
    """One criterion on the parts where it changed alike, with what else is to be known."""
    notes = notes_of(group)
    said = f" ({'; '.join(notes)})" if notes else ""
    if fault is not None:
        return f"{fault(group)}{said}"
    return f"{compact_labels(change.label for change in group)}: {group[0].title}{said}"


def _fault_before(index: JudgementIndex) -> _Fault:
    return lambda group: fault_of_findings([one.before for one in group if one.before is not None], index).text


def _fault_after(index: JudgementIndex) -> _Fault:
    return lambda group: fault_of_findings([one.after for one in group if one.after is not None], index).text


def _states(change: FindingChange) -> tuple[str, str]:
    return _state(change.before, change.before_said), _state(change.after, change.after_said)


def _changed(change: FindingChange) -> bool:
    before, after = _states(change)
    return before != after


def _state(finding: Finding | None, said: FindingWords | None) -> str:
    if finding is None or said is None:
        return "not there"
    measured = "" if isinstance(said.explanation.measured, NothingSeen) else f", {said.measured}"
    margin = f" ({said.margin})" if said.margin else ""
    return f"{finding.verdict}{measured}{margin}"


_MOST_LISTED = 40


def compare_page(answer: CompareAnswer) -> Page:
    """The page of an answer; a section that has nothing to say is left out."""
    car = answer.after.judgement.car
    before, after = answer.outcomes
    title = car_title(car)
    rest = ": nothing differs" if answer.empty else ""
    rulebook = answer.after.judgement.rulebook
    if after in READY and not rulebook.complete:
        rest += f". {limits_sentence(rulebook)}"
    first, second = JudgementIndex(answer.before.judgement), JudgementIndex(answer.after.judgement)
    was, now = (": ".join(filter(None, (outcome.upper(), restricted_to(index))))
                for outcome, index in ((before, first), (after, second)))  # fmt: skip
    verdict = Emphasized(now, f", before and after{rest}") if was == now else Emphasized(f"{was} → {now}", rest)
    told = legend_of(answer)
    sections = (
        _what_differs(answer),
        _texts("Work and events that the reasons name", told.work.values()),
        findings_section("Cleared", answer.cleared, told, _fault_before(first)),
        findings_section("New", answer.new, told, _fault_after(second)),
        _duties("Duties cleared", answer.duties_cleared, told, first, _tests_of(answer.cleared, first)),
        _duties("Duties that are new", answer.duties_new, told, second, _tests_of(answer.new, second)),
        _texts("No longer against the move", answer.against_gone),
        _texts("Now against the move", answer.against_new),
        _restrictions("Restrictions gone", answer.restrictions_gone, told, first),
        _restrictions("Restrictions that are new", answer.restrictions_new, told, second),
        findings_section("Still there", answer.still_open, told, _fault_after(second)),
        _duties("Duties still due", answer.duties_open, told, second, _tests_of(answer.still_open, second)),
        _texts("Still against the move", answer.against_open),
        _restrictions("Restrictions kept", answer.restrictions_kept, told, second),
        findings_section("Another verdict, open in neither", answer.changed_verdict, told, folded=True),
        findings_section("Another figure or margin", answer.changed_margin, told, folded=True),
        findings_section("Spares", answer.spares, told, folded=True),
        _texts("Other parts in the same places", told.exchanged, folded=True),
        _novelties("Only in the second", answer.added, answer.after),
        _novelties("Only in the first", answer.removed, answer.before),
    )
    return Page(
        title,
        verdict,
        tone_of(after, complete=answer.after.complete),
        tuple(section for section in sections if section is not None),
    )


def _what_differs(answer: CompareAnswer) -> Section:
    rows = [("compared", text) for text in answer.what_differs]
    for label, check in (("first", answer.before), ("second", answer.after)):
        judgement = check.judgement
        rulebook = ", ".join(f"{edition.ruleset} {edition.name}" for edition in judgement.rulebook.editions)
        rows.append(
            (label, f"{judgement.car.file}, as of {check.day.isoformat()}: {outcome_words(judgement)}; {rulebook}")
        )
    return Section("What is compared", (Rows(tuple(rows)),))


_Tests = frozenset[tuple[str, str]]
"""Tests, each with the part that it is made on."""


def _tests_of(changes: Iterable[FindingChange], index: JudgementIndex) -> _Tests:
    """The tests that findings are about: a duty to make one of them again says nothing of its own beside it."""
    here = (index.findings.get((change.criterion, one.part.key)) for change in changes
            for one in (change.before, change.after) if one is not None)  # fmt: skip
    return frozenset((test_of_finding(one, index), one.part.key) for one in here if one is not None)


def _duties(
    heading: str, changes: tuple[DutyChange, ...], told: Legend, index: JudgementIndex, tests: _Tests
) -> Section | None:
    """index: of the judgement whose duties are told as faults. tests: told already, as faults."""
    grouped: dict[tuple[str, str, str, str], list[DutyChange]] = {}
    for change in changes:
        duty = change.before or change.after
        if duty is not None and duty.requirement.test and (duty.requirement.test, duty.part.key) in tests:
            continue
        before, after = _duty(change.before), _duty(change.after)
        because = "" if before == after else because_words([change.because], told)
        asked = "" if duty is None else duty_words(duty.requirement)
        grouped.setdefault((f"{change.title}: {asked}", before, after, because), []).append(change)
    rows, lines = [], []
    for (_, before, after, because), same in grouped.items():
        if before == after:
            lines.append(f"{_duty_called(same, index)} ({before.removeprefix(_DUE)})")
        else:
            rows.append((_duty_called(same, index), before, after, because))
    blocks: list[Block | Item] = []
    if rows:
        blocks.append(Table(heading, ("What", "First", "Second", "Because of"), tuple(rows), headed=True))
    if lines:
        blocks.append(Bullets(tuple(lines)))
    return Section(heading, tuple(blocks)) if blocks else None


def _duty_called(changes: list[DutyChange], index: JudgementIndex) -> str:
    """Duties that are due as what is wrong; those that are to be done on the way by what is to be done."""
    duties = [duty for change in changes for duty in (change.before, change.after) if duty is not None]
    here = [one for one in duties if one.state == "open" and index.duty(one.fact) == one]
    if len(here) == len(changes):
        return fault_of_duties(here, index).text
    label = compact_labels(change.label for change in changes)
    return f"{label[:1].upper()}{label[1:]}: {duty_words(duties[0].requirement)}"


_DUE = f"{DUTY_STATES['open']}: "
"""What the fault of a duty that is due says by itself."""


def _duty(duty: Duty | None) -> str:
    if duty is None:
        return "not asked for"
    state = DUTY_STATES[duty.state]
    said = duty.note if duty.note != duty_words(duty.requirement) else ""
    return f"{state}: {said}" if said else state


def _restrictions(
    heading: str, changes: tuple[RestrictionChange, ...], told: Legend, index: JudgementIndex
) -> Section | None:
    """index: of the judgement in which they stand."""
    lines = []
    for change in changes:
        because = f"; because of {because_words([change.because], told)}" if change.because else ""
        rule = index.criteria.get(change.rule) or index.consequences.get(change.rule)
        place = change.rule if rule is None else place_words(rule.source)
        lines.append(f"{change.words}: {change.title} ({place}){because}")
    return _texts(heading, lines)


def _novelties(heading: str, record_changes: tuple[RecordChange, ...], check: CheckAnswer) -> Section | None:
    lines = [
        said + (f" ({place_of(where, check.judgement)})" if where is not None else "")
        for said, where in alike(record_changes)
    ]
    rest = len(lines) - _MOST_LISTED
    rows = [*lines[:_MOST_LISTED], *([f"and {counted(rest, 'more entry', 'more entries')}"] if rest > 0 else [])]
    return _texts(heading, rows, folded=True)


def _texts(heading: str, texts: Iterable[str], *, folded: bool = False) -> Section | None:
    listed = tuple(texts)
    return Section(heading, (Bullets(listed),), folded) if listed else None
