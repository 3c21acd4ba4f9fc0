"""`due`: how long the car stays ready for a move like this one, what runs out when, and what wears out when.

The first day that is not ready is found by judging the same move, of the same length, on each later day of departure,
on the record as it stands. What lapses is listed over the next 400 days.
"""

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused
from carknocker.dossier.blockers import RefusalGroup, blockers_of, together_by_test
from carknocker.dossier.items import fault_text, items_of
from carknocker.dossier.looked_at import outcome_word
from carknocker.dossier.missing import may_be_shown, missing_now
from carknocker.dossier.restrictions import restricted_to
from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.due.model import AHEAD, Against, DueAnswer, Lapse, LapseSort
from carknocker.questions.due.wear import miles_limits, rims
from carknocker.record.model import Move
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Source
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import REQUESTED_ON
from carknocker.whatif.day_watch import DayWatch, EditionWatch
from carknocker.whatif.move_days import shifted
from carknocker.whatif.notice import strictest_notice
from carknocker.wording.duties import during_the_move
from carknocker.wording.faults import fault_of
from carknocker.wording.lapses import lapse_lines
from carknocker.wording.outcomes import limits_sentence
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.phrases import run_out
from carknocker.wording.refusals import against_words, label_of_refusal
from carknocker.wording.verdicts import finding_words

READY = ("ready", "ready with restrictions")


class FirstBad(msgspec.Struct, frozen=True):
    """out, back: of the first departure that is not ready, None: there is none up to `last_tried`. restricted: to what
    the car is restricted on the departures before it, each once."""

    out: date | None
    back: date | None
    last_tried: date
    because: tuple[Against, ...]
    restricted: tuple[str, ...] = ()


def first_bad_day(answer: CheckAnswer, library: Library, until: date) -> FirstBad:
    """Judges the same move, put off to each later day on which something can change, until it is not ready or leaves
    after `until`.

    The record is taken as it stands on the day of the judgement: nothing new is read, done or renewed.
    """
    move = answer.judgement.move
    if answer.outcome not in READY:
        return FirstBad(move.out, move.back, move.out, _against(answer.judgement, None))
    days = max((until - move.out).days, 0)
    last = answer
    later = 0
    restricted = {_restricted_to(answer): None}
    while (changed := next_change(last, library, move, later, days)) is not None:
        later = changed
        planned = shifted(move, later)
        try:
            library.rulebooks(planned)
        except InputRefused as refused:
            because = _no_rulebook(refused)
        else:
            tried = check(answer.judgement.car, planned, library, answer.day)
            if tried.outcome in READY:
                restricted[_restricted_to(tried)] = None
                last = tried
                continue
            because = _against(tried.judgement, last.judgement)
        return FirstBad(planned.out, planned.back, planned.out, because, tuple(filter(None, restricted)))
    return FirstBad(None, None, move.out + timedelta(days=days), (), tuple(filter(None, restricted)))


def _restricted_to(answer: CheckAnswer) -> str:
    return restricted_to(JudgementIndex(answer.judgement))


def next_change(last: CheckAnswer, library: Library, move: Move, later: int, days: int) -> int | None:
    """The next day after `later`, and not after `days`, on which the judgement may come out otherwise than the last
    one."""

    def move_on(day: int) -> Move:
        return shifted(move, day)

    end = EditionWatch(library, move, move_on).next_change(later, days)
    for one in (last.judgement, last.other):
        if one is not None:
            changed = DayWatch(one, move, move_on, later, days if end is None else end - 1).next_change()
            end = end if changed is None else changed
    return end


_NO_RULEBOOK = "No rulebook binds the move"


def _no_rulebook(refused: InputRefused) -> tuple[Against, ...]:
    return tuple(
        Against(
            _NO_RULEBOOK,
            _NO_RULEBOOK,
            "",
            (),
            problem.found,
            problem.expected,
            problem.remedy,
            None,
        )
        for problem in refused.problems
    )


def _against(judgement: Judgement, before: Judgement | None) -> tuple[Against, ...]:
    """What is against the car, where a judgement from before is given only what was not against it then. Of a car that
    is not ready as planned all that nobody measured is one item. They have the order, and so the numbers, of the
    dossier."""
    known = set() if before is None else {refusal.identity for refusal in before.refusals}
    index = JudgementIndex(judgement)
    missing = missing_now(index) if before is None else None
    groups: dict[tuple[_Words, object], list[tuple[Refusal, str]]] = {}
    for refusal in judgement.refusals:
        if refusal.identity not in known and not (missing is not None and may_be_shown(refusal, index)):
            words, measured = _words(refusal, index)
            duty = refusal.duty
            sort = (repr(duty.requirement), duty.since) if duty is not None else refusal.against
            groups.setdefault((words, sort), []).append((refusal, measured))
    own = [[refusal for refusal, _ in found] for found in groups.values()]
    said = {
        id(group): _item(words, group, [measured for _, measured in found], index)
        for group, ((words, _), found) in zip(own, groups.items(), strict=True)
    }
    told = [_one_item(item, [said[id(one)] for one in item], index) for item in _as_items(own, index)]
    if missing is not None:
        fault = f"{fault_text(missing)}; see the worksheet"
        told.append(Against("Not measured", fault, "not shown", (), "", "", "", None))
    place = {fault_text(item): number for number, item in enumerate(items_of(index).in_order)}
    order = (place.get(one.fault.removesuffix("; see the worksheet"), len(place)) for one in told)
    return tuple(one for _, one in sorted(zip(order, told, strict=True), key=lambda pair: pair[0]))


def _as_items(groups: list[RefusalGroup], index: JudgementIndex) -> list[list[RefusalGroup]]:
    """The groups that the dossier has as one item: cleared by one test, or said of one reading by several rules."""
    items: dict[tuple[str, str, int], list[RefusalGroup]] = {}
    for number, together in enumerate(together_by_test(groups, index), start=1):
        finding, fault = together[0][0].finding, fault_of(together[0], index)
        of_reading = len(together) == 1 and finding is not None and finding.verdict == "breached" and fault.must
        items.setdefault((fault.subject, fault.said, 0 if of_reading else number), []).extend(together)
    return list(items.values())


def _item(words: "_Words", refusals: list[Refusal], measured: list[str], index: JudgementIndex) -> Against:
    return Against(
        words.title,
        fault_of(refusals, index).text,
        words.verdict,
        tuple(dict.fromkeys(label for refusal in refusals if (label := label_of_refusal(refusal)))),
        "; ".join(dict.fromkeys(filter(None, measured))),
        words.required,
        words.reason,
        words.source,
    )


def _one_item(together: list[RefusalGroup], said: list[Against], index: JudgementIndex) -> Against:
    """What the dossier has as one item, with the source of each."""
    if len(said) == 1:
        return said[0]
    blocker, *_ = blockers_of((refusal for group in together for refusal in group), index)
    first = next(one for one in said if one.verdict == blocker.verdict)
    sources = tuple(dict.fromkeys(one.source for one in said if one.source not in (None, first.source)))
    return replace(
        first,
        title=blocker.title,
        fault=blocker.fault.text,
        labels=tuple(dict.fromkeys(label for one in said for label in one.labels)),
        measured="; ".join(dict.fromkeys(one.measured for one in said if one.measured)),
        required=blocker.required,
        also=tuple(one for one in sources if one is not None),
    )


class _Words(msgspec.Struct, frozen=True):
    """What refusals have in common that are told as one."""

    title: str
    verdict: str
    required: str
    reason: str
    source: Source | None


def _words(refusal: Refusal, index: JudgementIndex) -> tuple[_Words, str]:
    """A refusal in words, and what was measured."""
    finding, duty = refusal.finding, refusal.duty
    if finding is not None:
        said = finding_words(index.explain(finding))
        return _Words(
            finding.criterion.title, finding.verdict, said.required, said.reason, finding.criterion.source
        ), said.measured
    if duty is not None:
        return _Words(duty.consequence.title, "duty not done", "", duty.note, duty.consequence.source), ""
    against = "" if refusal.against is None else against_words(refusal.against)
    return _Words("Against the move", "against the move", "", against, None), ""


def lapses_between(judgement: Judgement, library: Library, first: date, until: date) -> tuple[Lapse, ...]:
    """What holds on a day from `first` on for the last time before `until`: oldest day first, then as the rulebook
    and the record have it."""
    shown: set[tuple[str, date]] = set()
    found = [
        *_of_criteria(judgement, first, until, shown),
        *_of_the_record(judgement, first, until, shown),
        *_of_editions(judgement, library, first, until),
        *_of_the_request(judgement, first, until),
    ]
    return tuple(sorted(found, key=lambda lapse: lapse.day))


def _of_criteria(judgement: Judgement, first: date, until: date, shown: set[tuple[str, date]]) -> Iterator[Lapse]:
    """What criteria ask for. shown: takes in the evidence that decides each, with its last day."""
    index = JudgementIndex(judgement)
    lapsing: list[tuple[Finding, date]] = []
    for finding in judgement.findings:
        day = index.last_day(finding)
        if day is None and finding.verdict != "lapses":  # further ahead; or not yet in force on the return
            day = index.last_good_day(finding, judgement.move.back, until)
        if finding.verdict != "lapses" and index.compiled(finding.criterion).may_begin:
            day = index.last_good_day(finding, first, until) or day
        if day is not None and first <= day < until:
            lapsing.append((finding, day))
            if finding.evidence is not None:
                shown.add((finding.evidence.id, day))
    for day, line in lapse_lines(lapsing, index):
        labels = tuple(part.label for part in line.parts)
        yield Lapse(day, "criterion", line.what, line.text(index), labels, line.sources)


def _of_the_record(judgement: Judgement, first: date, until: date, shown: set[tuple[str, date]]) -> Iterator[Lapse]:
    """What runs out by itself. shown: papers told already, by the criterion that asks for them."""
    car, host = judgement.car, judgement.move.host
    papers = {kind.attribute: kind.name for kind in load_vocabulary().papers.values()}
    for entry in car.evidence:
        if entry.sort != "paper" or entry.until is None or (entry.id, entry.until) in shown:
            continue
        if first <= entry.until < until:
            name = papers[entry.attribute]
            yield _lapse(entry.until, "paper", name, f" on file {run_out((name,))}")
    for gauge in car.gauges.values():
        if gauge.due is not None and first <= gauge.due < until:
            yield _lapse(gauge.due, "gauge", f"gauge {gauge.name} ({gauge.kind})", ": due for its check")
    for person in car.people.values():
        if person.is_named_by(host) and person.until is not None and first <= person.until < until:
            yield _lapse(
                person.until,
                "person",
                f"{person.full_name or person.name}, accepted by {host}",
                ": the acceptance runs out",
            )
    for leave in car.leaves:
        if first <= leave.last < until:
            title = f"permission {leave.id} of {leave.host} for {leave.criterion}"
            of = f": {compact_labels(leave.at)}" if leave.at else ""
            yield Lapse(leave.last, "leave", title, f"P{title[1:]}{of} runs out", leave.at)


def _lapse(day: date, sort: LapseSort, title: str, ends: str) -> Lapse:
    return Lapse(day, sort, title, f"{title[:1].upper()}{title[1:]}{ends}")


def _of_editions(judgement: Judgement, library: Library, first: date, until: date) -> Iterator[Lapse]:
    """The last day of an edition that binds the move: it ends, or a later one of its ruleset comes into force."""
    for edition in judgement.rulebook.editions:
        heads = library.heads.get(edition.ruleset, ())
        next_one = min((head.in_force for head in heads if head.in_force > edition.in_force), default=None)
        ends = [day for day in (edition.until, None if next_one is None else next_one - timedelta(days=1)) if day]
        if ends and first <= min(ends) < until:
            yield _lapse(
                min(ends), "edition", f"edition {edition.name} of {edition.ruleset} is in force", " for the last time"
            )


def _of_the_request(judgement: Judgement, first: date, until: date) -> Iterator[Lapse]:
    """The last day on which the request to the host may be sent, while the move does not say that it was."""
    move = judgement.move
    notice = None if REQUESTED_ON in move.facts else strictest_notice((judgement.rulebook,), move.out)
    if notice is not None and first <= notice.last_day(move.out) < until:
        title = f"request to {move.host}"
        said = f"Last day for the {title}"
        yield Lapse(notice.last_day(move.out), "request", title, said, sources=(notice.criterion.source,))


def due(answer: CheckAnswer, library: Library, miles_a_year: Quantity | None = None) -> DueAnswer:
    """The horizon of a checked car. miles_a_year: how many miles are planned; without it no day is said for wear.

    Raises CannotJudge where a later day has no provable answer.
    """
    judgement = answer.judgement
    until = answer.day + timedelta(days=AHEAD)
    bad = first_bad_day(answer, library, until)
    wears, no_rate = rims(judgement, miles_a_year)
    return DueAnswer(
        car=car_title(judgement.car),
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        outcome=answer.outcome,
        said=outcome_word(JudgementIndex(judgement)),
        restricted=bad.restricted,
        complete=answer.complete,
        limits=limits_sentence(judgement.rulebook),
        first_bad=bad.out,
        first_bad_back=bad.back,
        last_tried=bad.last_tried,
        because=bad.because,
        until=until,
        lapses=lapses_between(judgement, library, answer.day, until),
        during=during_the_move(judgement),
        miles_a_year="" if miles_a_year is None else write_quantity(miles_a_year),
        wears=wears,
        no_rate=no_rate,
        miles_limits=miles_limits(judgement, miles_a_year),
        notes=tuple(dict.fromkeys(answer.notes)),
        head=head_with_outcome(answer),
    )
