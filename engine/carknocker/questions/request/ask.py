"""`request`: what a host is asked and told before a move, from record, move and rulebook. It signs nothing."""

from carknocker.dossier.evidence import PaperOnRecord, papers_of
from carknocker.dossier.heading import items_keep, move_rows, riders_words
from carknocker.dossier.items import fault_text, items_of
from carknocker.dossier.looked_at import not_yet_looked_at, outcome_word
from carknocker.dossier.papers_wanted import PaperWanted, papers_wanted
from carknocker.dossier.restrictions import restricted_to
from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.dossier.whom_to_call import whom_to_call
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.page.model import NOT_ON_FILE
from carknocker.page.sheet import SheetAnswer, SheetSection
from carknocker.quantities import write_quantity
from carknocker.record.model import Leg
from carknocker.record.value_words import value_words
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary, sheet_lines
from carknocker.vocabulary.program_names import REQUESTED_ON
from carknocker.whatif.notice import Notice, strictest_notice
from carknocker.wording.outcomes import READY, as_far_as
from carknocker.wording.parts import car_title
from carknocker.wording.record_lines import RecordLine, listed_lines, missing_line
from carknocker.wording.sources import source_words

_MOST_ITEMS = 8


def request(answer: CheckAnswer) -> SheetAnswer:
    """The request of a checked car to the host of its move. What the record does not say stands as missing."""
    judgement = answer.judgement
    car, move, index = judgement.car, judgement.move, JudgementIndex(judgement)
    return SheetAnswer(
        title=f"Request to {move.host}: move of {car_title(car)}",
        for_whom=f"Departure {move.out.isoformat()}, return {move.back.isoformat()}; as on record on "
        f"{answer.day.isoformat()}",
        as_of=answer.day,
        head=head_with_outcome(answer),
        sections=(
            when_to_send(answer),
            state_of_the_car(answer, index),
            SheetSection("The car", tuple(listed_lines(judgement, sheet_lines("request", "car"), "car"))),
            the_move(judgement),
            riders(judgement),
            papers_enclosed(index),
            whom_to_call(judgement),
            SheetSection("To be completed by the owner", (), blanks=("name", "signature", "day of sending", "sent by")),
        ),
        word="REQUEST",
    )


def when_to_send(answer: CheckAnswer) -> SheetSection:
    """The last day on which the request may be sent, and what the record says of a request."""
    judgement = answer.judgement
    books = [one.rulebook for one in (judgement, answer.other) if one is not None]
    notice = strictest_notice(books, judgement.move.out)
    if notice is None:
        note = "No rule at hand says how long before departure the request has to be in: ask the host."
        return SheetSection("When to send it", _sent(answer, None), (note,))
    last = notice.last_day(judgement.move.out)
    lines = (RecordLine("last day to send it", f"{last.isoformat()} ({_how_long(notice)} before departure)"),)
    late = (
        (f"That day is past on {answer.day.isoformat()}: the host need not take the request.",)
        if last < answer.day and not _sent_by(answer, notice)
        else ()
    )
    return SheetSection(
        "When to send it", (*lines, *_sent(answer, notice)), (*late, source_words(notice.criterion.source))
    )


def _how_long(notice: Notice) -> str:
    return f"{'more than ' if notice.longer else ''}{notice.period}"


def _requested(answer: CheckAnswer) -> Day | None:
    """The day of the request by the move file; None where it says none, or one after the day of the judgement."""
    value = answer.judgement.move.facts.get(REQUESTED_ON)
    return value if isinstance(value, Day) and value.last <= answer.day else None


def _sent_by(answer: CheckAnswer, notice: Notice) -> bool:
    """Whether the move says that the request was made by the last day."""
    day = _requested(answer)
    return day is not None and day.last <= notice.last_day(answer.judgement.move.out)


def _sent(answer: CheckAnswer, notice: Notice | None) -> tuple[RecordLine, ...]:
    day = _requested(answer)
    if day is None:
        return (RecordLine("sent on", "not sent yet, by the move file", known=False),)
    in_time = "" if notice is None else ", in time" if _sent_by(answer, notice) else ", too late"
    return (RecordLine("sent on", f"{value_words(day)}{in_time}"),)


def the_move(judgement: Judgement) -> SheetSection:
    """Host, days, route, train, each leg, and what is wanted on the way."""
    move = judgement.move
    rows = [RecordLine(label, text.partition("; judged as of")[0]) for label, text in move_rows(judgement, move.out)
            if label != "riders"]  # fmt: skip
    rows.extend(RecordLine(f"leg {leg.number}", _leg(leg)) for leg in move.legs)
    known = load_vocabulary().kinds["move"].attributes
    for line in sheet_lines("request", "wanted"):
        value = move.facts.get(line.attribute)
        label = line.label or known[line.attribute].label
        rows.append(missing_line(label) if value is None else RecordLine(label, value_words(value)))
    return SheetSection("The move", tuple(rows))


def _leg(leg: Leg) -> str:
    days = " to ".join(dict.fromkeys(day.isoformat() for day in (leg.on, leg.until) if day is not None))
    return f"{leg.start} to {leg.end}, {write_quantity(leg.miles)}, {days or 'day not on record'}"


def riders(judgement: Judgement) -> SheetSection:
    """Who rides; their number and names are not on record here: a list goes with the request."""
    move = judgement.move
    lines = [RecordLine("who rides", riders_words(move))]
    if move.rides != "nobody":
        lines.append(missing_line("number of riders"))
    return SheetSection("Riders", tuple(lines))


def papers_enclosed(index: JudgementIndex) -> SheetSection:
    """The papers that the circular wants with the request, those that cover the whole move to be enclosed; what is not
    on file by its name, and other papers on record."""
    wanted = papers_wanted(index)
    lines = [RecordLine(_called(one), _how_it_stands(one, index)) for one in wanted if one.state != NOT_ON_FILE]
    told = {one.paper for one in wanted}
    lines.extend(RecordLine(one.paper, _on_record(one, index)) for one in papers_of(index) if one.paper not in told)
    lacking = [_called(one) for one in wanted if one.state == NOT_ON_FILE]
    if lacking:
        lines.append(RecordLine("not on file", "; ".join(lacking), known=False, owner_supplies=False))
    count = f": {len(wanted) - len(lacking)} of {len(wanted)} that the circular wants" if wanted else ""
    return SheetSection(f"Papers on file{count}", tuple(lines), () if lines else ("No paper is on record.",))


def _called(paper: PaperWanted) -> str:
    return f"form {paper.form}: {paper.paper}" if paper.form else paper.paper


def _how_it_stands(paper: PaperWanted, index: JudgementIndex) -> str:
    if paper.state in ("void", "not in order"):
        return f"{paper.state}, not enclosed"
    if paper.state == "runs out":
        return f"runs out {paper.until}, before the return, not enclosed"
    own = next((one.more for one in papers_of(index) if one.paper == paper.paper), "")
    return "; ".join(filter(None, ("enclosed", f"until {paper.until}" if paper.until else "", own)))


def _on_record(paper: PaperOnRecord, index: JudgementIndex) -> str:
    """A paper that the circular does not ask for."""
    until = paper.until if paper.until not in ("", "no end") else ""
    words = "; ".join(word for word in (f"until {paper.until}" if paper.until else "", paper.more) if word)
    if until and until < index.judgement.move.back.isoformat():
        return f"{words}: runs out before the return, not enclosed"
    return f"{words or 'on record'}{'' if paper.until else ': no last day on record'}"


def state_of_the_car(answer: CheckAnswer, index: JudgementIndex) -> SheetSection:
    """What the car is as the request is written, and what still keeps it from moving: a request is no clearance."""
    items = items_of(index).in_order
    restricted, looked_at = restricted_to(index), not_yet_looked_at(index)
    word = f"{outcome_word(index)}: {restricted}" if restricted else outcome_word(index)
    limits = as_far_as(answer.judgement.rulebook).removeprefix(", ") if answer.outcome in READY else ""
    told = "; ".join(filter(None, (word, limits)))
    why = items_keep(len(items)) if looked_at is None else looked_at.words
    lines = [RecordLine(f"on {answer.day.isoformat()}", f"{told}: {why}" if items else told)]
    lines.extend(RecordLine(f"{number}.", fault_text(one)) for number, one in enumerate(items[:_MOST_ITEMS], start=1))
    if len(items) > _MOST_ITEMS:
        lines.append(RecordLine("more", f"{len(items) - _MOST_ITEMS} more, in the dossier"))
    return SheetSection("The car as on record", tuple(lines))
