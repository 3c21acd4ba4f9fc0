"""The first departure for which the car is not ready, and what is against it that was not the day before."""

from datetime import date, timedelta

import msgspec

from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import Judgement, Refusal
from carknocker.questions.horizon.model import Against
from carknocker.questions.looks import Looks
from carknocker.record.model import Move
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Source
from carknocker.whatif.day_watch import DayWatch, EditionWatch
from carknocker.whatif.move_days import shifted
from carknocker.wording.refusals import refusal_name
from carknocker.wording.verdicts import finding_words

READY = ("ready", "ready with restrictions")


class FirstBad(msgspec.Struct, frozen=True):
    """out, back: of the first departure that is not ready, None: there is none up to `last_tried`."""

    out: date | None
    back: date | None
    last_tried: date
    because: tuple[Against, ...]


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
    while (changed := next_change(last, library, move, later, days)) is not None:
        later = changed
        planned = shifted(move, later)
        try:
            library.rulebooks(planned)
        except InputRefused as refused:
            return FirstBad(planned.out, planned.back, planned.out, _no_rulebook(refused))
        tried = check(answer.judgement.car, planned, library, answer.day)
        if tried.outcome not in READY:
            return FirstBad(planned.out, planned.back, planned.out, _against(tried.judgement, last.judgement))
        last = tried
    return FirstBad(None, None, move.out + timedelta(days=days), ())


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


def _no_rulebook(refused: InputRefused) -> tuple[Against, ...]:
    return tuple(
        Against("No rulebook binds the move", (), problem.found, problem.expected, problem.remedy, None)
        for problem in refused.problems
    )


def _against(judgement: Judgement, before: Judgement | None) -> tuple[Against, ...]:
    """What is against the car, where a judgement from before is given only what was not against it then."""
    known = set() if before is None else {refusal.identity for refusal in before.refusals}
    looks = Looks(judgement)
    groups: dict[tuple[str, str, str], list[tuple[str, str]]] = {}
    sources: dict[tuple[str, str, str], Source | None] = {}
    for refusal in judgement.refusals:
        if refusal.identity not in known:
            words, label, measured, source = _words(refusal, looks)
            groups.setdefault(words, []).append((label, measured))
            sources[words] = source
    return tuple(
        Against(
            title,
            tuple(dict.fromkeys(label for label, _ in found if label)),
            "; ".join(dict.fromkeys(measured for _, measured in found if measured)),
            required,
            reason,
            sources[title, required, reason],
        )
        for (title, required, reason), found in groups.items()
    )


def _words(refusal: Refusal, looks: Looks) -> tuple[tuple[str, str, str], str, str, Source | None]:
    """Title, requirement and reason; the part; what was measured; the source."""
    finding, duty, name = refusal.finding, refusal.duty, refusal_name(refusal)
    if finding is not None:
        said = finding_words(looks.explain(finding))
        return (name.title, said.required, said.reason), name.label, said.measured, finding.criterion.source
    if duty is not None:
        return (name.title, "", duty.note), name.label, "", duty.consequence.source
    return ("Against the move", "", name.title), "", "", None
