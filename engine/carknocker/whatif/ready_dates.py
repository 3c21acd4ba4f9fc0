"""When the car would be ready as it stands: another departure, an earlier return. Each day is judged, or proven alike.

The departures that are tried run from the day of the judgement up to 400 days after it; the move keeps its length.
"""

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec
from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.judgement.threshold import first_holding, last_holding
from carknocker.record.model import Move
from carknocker.rulebook.library import Library
from carknocker.whatif.day_watch import DayWatch, EditionWatch, MoveOn, decided_by_dates, only_ages, verdict_changes
from carknocker.whatif.hypothetical_finding import verdict_on
from carknocker.whatif.model import Dates, Stands, Window
from carknocker.whatif.move_days import MoveDays, back_on, shifted
from carknocker.whatif.refusal_groups import on_any_day, stands

AHEAD = 400
_READY = ("ready", "ready with restrictions")


class _Span(msgspec.Struct, frozen=True):
    """Days, by number, that are judged alike. stands: what refuses on all of them, of this judgement (of the first days
    alone)."""

    first: int
    last: int
    ready: bool
    stands: tuple[Refusal, ...]
    judgement: Judgement | None = None


def dates_of(answer: CheckAnswer, library: Library, ahead: int = AHEAD) -> Dates:
    """The dates that would make a car ready that is not. ahead: how many days of departure are tried.

    Raises CannotJudge where a day has no provable answer.
    """
    move = answer.judgement.move
    first = (answer.day - move.out).days
    last = first + ahead
    tried = _Days(answer, library, lambda days: shifted(move, days))
    spans = list(tried.spans(first, last))
    returns = _Days(answer, library, lambda days: back_on(move, move.out + timedelta(days=days)))
    back_by = None if move.out < answer.day else _back_by(returns, move)
    runs = _runs(spans)
    earlier = next((run for run in reversed(runs) if run[1] < 0), None)
    later = next((run for run in runs if run[0] > 0), None)
    dates = Dates(
        back_by,
        None if earlier is None else _window(earlier, move, last),
        None if later is None else _window(later, move, last),
        move.out + timedelta(days=first),
        move.out + timedelta(days=last),
        tried.judged + returns.judged,
        (),
    )
    return dates if dates.helps else replace(dates, whatever=_on_all(spans))


def _back_by(returns: "_Days", move: Move) -> date | None:
    """The last day before the planned return such that every return up to it is ready."""
    found: int | None = None
    for span in returns.spans(0, (move.back - move.out).days - 1):
        if not span.ready:
            break
        found = span.last
    return None if found is None else move.out + timedelta(days=found)


def _runs(spans: list[_Span]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for span in spans:
        if span.ready and runs and runs[-1][1] == span.first - 1:
            runs[-1] = (runs[-1][0], span.last)
        elif span.ready:
            runs.append((span.first, span.last))
    return runs


def _window(run: tuple[int, int], move: Move, end: int) -> Window:
    first, last = (timedelta(days=one) for one in run)
    return Window(move.out + first, move.out + last, move.back + first, move.back + last, run[1] == end)


def _on_all(spans: list[_Span]) -> tuple[Stands, ...]:
    """What refuses in every span."""
    if not spans or spans[0].judgement is None:
        return ()
    common = set.intersection(*({one.identity for one in span.stands} for span in spans))
    return stands((one for one in spans[0].stands if one.identity in common), spans[0].judgement)


class _Days:
    """The days of a kind of move, numbered; judged only where something can have changed."""

    def __init__(self, answer: CheckAnswer, library: Library, move_on: MoveOn) -> None:
        self._answer, self._library, self._move_on = answer, library, move_on
        self._planned = answer.judgement.move
        self._editions = EditionWatch(library, self._planned, move_on)
        self.judged = 0

    def spans(self, first: int, last: int) -> Iterator[_Span]:
        """The days from first to last in spans that are judged alike."""
        day = first
        while day <= last:
            other = self._editions.next_change(day, last)
            after = last + 1 if other is None else other
            if self._editions.rulebooks(day) is None:
                yield _Span(day, after - 1, False, ())
                day = after
                continue
            self.judged += 1
            judged = check(self._answer.judgement.car, self._move_on(day), self._library, self._answer.day)
            ready = judged.outcome in _READY
            lasting = [] if ready else on_any_day(judged.judgement)
            if not lasting:
                both = [one for one in (judged.judgement, judged.other) if one is not None]
                watches = [DayWatch(one, self._planned, self._move_on, day, after - 1) for one in both]
                after = min((change for one in watches if (change := one.next_change()) is not None), default=after)
            kept = judged.judgement if day == first else None
            yield _Span(day, after - 1, ready, tuple(lasting or judged.judgement.refusals), kept)
            day = after


"""Days after the day of the judgement up to which a departure is tried."""

_GOOD = ("met", "borderline")


def met_if_back_by(finding: Finding, index: JudgementIndex) -> date | None:
    """The last return, leaving as planned, with which a finding that lapses would last. None where it does not lapse,
    or where asking it again does not bear that out."""
    last, move = finding.lapses_on, index.judgement.move
    if finding.verdict != "lapses" or last is None or last < move.out:
        return None
    for day in (last, last - timedelta(days=1)):  # a limit of miles may already bind on the last good day
        if day >= move.out and verdict_on(index, finding, back_on(move, day)) in _GOOD:
            return day
    return None


def met_if_leaving(finding: Finding, index: JudgementIndex) -> tuple[date | None, date | None]:
    """The nearest earlier and the nearest later departure, from the day of the judgement to 400 days after it, with
    which a finding that is breached or lapses would be met under the same rulebook, the move as long as it is. None for
    each that there is not; a criterion that no date decides is not asked."""
    judgement = index.judgement
    one = index.compiled(finding.criterion)
    if finding.verdict not in ("breached", "lapses") or not decided_by_dates(one):
        return None, None
    move, first = judgement.move, (judgement.as_of - judgement.move.out).days
    last = first + AHEAD
    days = MoveDays(move, 0, min(first, -1), max(last, 1))
    changes = set(verdict_changes(one, finding.part, index.situation, days))

    def good(number: int) -> bool:
        return verdict_on(index, finding, shifted(move, number)) in _GOOD

    earlier = last_holding(good, first, -1, changes)
    later = None
    if not only_ages(one, papers_begin_later=True):  # what only grows old never comes back on a later day
        later = first_holding(good, max(1, first), last, changes)
    return (
        None if earlier is None else move.out + timedelta(days=earlier),
        None if later is None else move.out + timedelta(days=later),
    )
