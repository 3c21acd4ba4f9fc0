"""One car in one line: its outcome, what stands in the way, what lapses first."""

from datetime import date

import msgspec

from carknocker.dossier.check.blockers import Blocker, blockers_of
from carknocker.dossier.check.clears import AGAINST_THE_MOVE
from carknocker.dossier.check.missing import missing_of
from carknocker.dossier.context import Context
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Judgement, Outcome, Refusal
from carknocker.questions.lapsing import last_day
from carknocker.wording.car_title import car_title
from carknocker.wording.parts import named


class Lapse(msgspec.Struct, frozen=True):
    """What holds for the last time on `day`, and on which parts."""

    day: date
    title: str
    parts: str


class CarLine(msgspec.Struct, frozen=True):
    """car: mark and name. blockers: in words, in the order of the car's own page, as many as its page counts.
    first_lapse: None where nothing that is met runs out up to a year after the return."""

    car: str
    outcome: Outcome
    blockers: tuple[str, ...]
    first_lapse: Lapse | None
    restrictions: int


def line_of(answer: CheckAnswer) -> CarLine:
    """The line of a car that was judged. A pure function of the answer."""
    judgement = answer.judgement
    context = Context(judgement, answer.day)
    return CarLine(
        car_title(judgement.car),
        judgement.outcome,
        _blockers(judgement, context),
        _first_lapse(judgement, context),
        len(judgement.restrictions),
    )


def _blockers(judgement: Judgement, context: Context) -> tuple[str, ...]:
    """What was found first, then all that is not shown as one, then what is about the move, as the page has it."""
    missing = [one.finding for one in judgement.refusals if one.finding is not None and _not_shown(one)]
    others = [one for one in judgement.refusals if not _not_shown(one)]
    of_car = [one for one in others if not _of_move(one)]
    of_move = [one for one in others if _of_move(one)]
    found = missing_of(missing, context)
    return (
        *map(_words, blockers_of(of_car, context)),
        *(() if found is None else (found.title,)),
        *map(_words, blockers_of(of_move, context)),
    )


def _not_shown(refusal: Refusal) -> bool:
    return refusal.finding is not None and refusal.finding.verdict == "not shown"


def _of_move(refusal: Refusal) -> bool:
    finding = refusal.finding
    return refusal.against is not None or (finding is not None and finding.part.kind in AGAINST_THE_MOVE)


def _words(blocker: Blocker) -> str:
    return f"{blocker.parts}: {blocker.title}"


def _first_lapse(judgement: Judgement, context: Context) -> Lapse | None:
    days = [(day, finding) for finding in judgement.findings if (day := last_day(finding, context)) is not None]
    if not days:
        return None
    first = min(day for day, _ in days)
    title = next(finding.criterion.title for day, finding in days if day == first)
    parts = [finding.part for day, finding in days if day == first and finding.criterion.title == title]
    return Lapse(first, title, named(parts, context))
