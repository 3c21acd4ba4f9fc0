"""Sheet 1: the outcome with what restricts the car, the faults, the move, the car, the papers that go with the request,
what the answer rests on, and places for the host's decision. It suffices for one."""

from collections.abc import Iterable, Iterator, Mapping

from carknocker.documents import listed
from carknocker.dossier.car_facts import CarFacts, Dated, car_facts_of
from carknocker.dossier.first_page import Statement
from carknocker.dossier.heading import items_keep, place_in_train
from carknocker.dossier.move_facts import MoveFacts, move_facts_of
from carknocker.dossier.papers_wanted import PaperWanted, papers_wanted
from carknocker.dossier.rests_on import RestsOn, rests_on
from carknocker.dossier.view import View
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import (
    NOT_ON_FILE,
    Bullets,
    Decisions,
    FaultRow,
    FaultRows,
    OutcomeBar,
    Rows,
    Section,
    Tick,
    Ticks,
    ToWrite,
)
from carknocker.page.paper import text_parts
from carknocker.questions.check.sheets.fault_numbers import NumberedFault, fault_of_rule, number_of_the_missing
from carknocker.questions.check.sheets.fault_sheet import faults_heading, no_faults
from carknocker.record.model import Move
from carknocker.wording.facts import UNLESS_SHOWN
from carknocker.wording.last_good_days import LastGoodDay, first_lapses, last_good_days
from carknocker.wording.legs import legs_without_day
from carknocker.wording.phrases import counted
from carknocker.wording.sources import cite

_LONGEST_CITE = 50
"""Letters of where the rules of a fault stand: two lines beside it; the sheet of the faults has all."""
_MOST_FAULTS, _FEWEST_SHOWN, _LETTERS_OF_A_ROW = 8, 4, 110
"""Faults in full; of more, at least so many; how much of what must be known before all else takes the room of one."""
_LONGEST_WORD, _LONGEST_LIMIT = 44, 60


def bar_of(view: View) -> OutcomeBar:
    """The outcome: its word, with what restricts the car in the same line where there is room; why; what restricts it
    in full."""
    word, rest = text_parts(view.outcome_line)
    if view.outcome == "not ready":
        looked_at = word == "NOT READY"
        why = f"{items_keep(view.blocker_count)}." if looked_at else rest.lstrip(": ")
        told = (
            ("When they are cleared" if looked_at else "When all is measured and cleared",
             [group.decided for group in view.restrictions if group.decided]),
            (f"{UNLESS_SHOWN[:1].upper()}{UNLESS_SHOWN[1:]}",
             [group.in_all for group in view.restrictions if group.in_all != group.decided]),
        )  # fmt: skip
        lines = (f"{lead}: {_limits(limits, view)}." for lead, limits in told if limits)
        return OutcomeBar(view.outcome, word, why, " ".join(lines))
    limits = _limits([group.in_all for group in view.restrictions], view)
    with_limit = f"{word}: {view.restricted}" if view.restricted else word
    shown = with_limit if len(with_limit) <= _LONGEST_WORD else word
    limits = limits or (view.restricted if shown == word else "")  # a duty that is a condition of the move
    why = rest.removeprefix(f": {view.restricted}").lstrip(":;,. ")
    return OutcomeBar(view.outcome, shown, why[:1].upper() + why[1:], f"Restricted: {limits}." if limits else "")


def _limits(told: list[str], view: View) -> str:
    """What restricts the car; what does not fit in the bar stands with the faults, or below."""
    shown = [words for words in told if len(words) <= _LONGEST_LIMIT]
    where = "under Faults" if view.blocker_count and faults_heading(view) == "Faults" else "below"
    more = [] if len(shown) == len(told) else [f"{'more' if shown else 'restrictions'} {where}"]
    return "; ".join((*shown, *more))


def at_once(view: View) -> tuple[str, ...]:
    """What must be known before all else."""
    return tuple(f"{one.words}." for one in view.first_page if one.at_once)


def first_sheet(
    answer: CheckAnswer, view: View, faults: tuple[NumberedFault, ...], index: JudgementIndex
) -> Iterator[Section]:
    """The sections of sheet 1, below the outcome."""
    host = answer.judgement.move.host
    rows = fault_rows(view, faults, host)
    if rows:
        above = sum(1 + len(line) // _LETTERS_OF_A_ROW for line in at_once(view)[1:])
        yield Section("What keeps the car from moving", (_shown(rows, faults_heading(view), above),))
    lapses = () if rows else first_lapses(last_good_days(index))
    move = Rows(tuple(_move(move_facts_of(answer, index), answer.judgement.move, lapses)), facts=True)
    planned = answer.judgement.move
    days = f"{host}, {planned.out.isoformat()} to {planned.back.isoformat()}"
    yield Section("The move", (move,), folded=True, half=True, counted=days)
    car = Rows(tuple(_car(car_facts_of(index))), facts=True)
    yield Section("The car", (car,), folded=True, half=True)
    yield from _papers(papers_wanted(index), fault_of_rule(faults))
    rests = Bullets(tuple(_rests(rests_on(index), view.first_page)))
    yield Section("What the answer rests on, and what is said to be none", (rests,), folded=True)
    if not rows:
        yield from no_faults(view, index.judgement.car.file)
    decisions = Decisions(
        ("Received", "Accepted", "Declined"),
        ("name and title", "date"),
        "For the owner",
        ("name", "signature and date"),
    )
    yield Section("Signed by hand: by the owner, then by the host", (decisions,), folded=True, foot=True)


def fault_rows(view: View, faults: tuple[NumberedFault, ...], host: str) -> list[FaultRow]:
    """A row for each fault, and one for all that nobody measured."""
    rows = [
        FaultRow(one.number, one.part, one.blocker.fault.short_words, one.blocker.binds, _cited(one, host))
        for one in faults
    ]
    if view.items.missing is not None:
        number = number_of_the_missing(view)
        rows.insert(number - 1, FaultRow(number, "Not measured", f"{view.items.missing.counted}; see the worksheet"))
    return rows


def _cited(one: NumberedFault, host: str) -> str:
    """Where its rules stand; of many places, the first."""
    text = cite(one.sources, host)
    end = text.rfind(", ", 0, _LONGEST_CITE)
    return text if len(text) <= _LONGEST_CITE or end < 0 else f"{text[:end]} and more"


def _shown(rows: list[FaultRow], sheet: str, above: int) -> FaultRows:
    """above: for how many rows the sheet has no room, for what stands above them."""
    most = max(_FEWEST_SHOWN + 1, _MOST_FAULTS - above)
    if len(rows) <= most:
        return FaultRows(tuple(rows))
    return FaultRows(tuple(rows[: most - 1]), f"{len(rows) - most + 1} more under {sheet}")


def _or_blank(text: str | None) -> str:
    return text or ToWrite(NOT_ON_FILE)


def _joined(words: Iterable[str | None], between: str = ", ") -> str:
    return between.join(word for word in words if word)


def _move(move: MoveFacts, planned: Move, lapses: tuple[LastGoodDay, ...]) -> Iterator[tuple[str, str]]:
    yield "Host", move.host if move.circular else f"{move.host} (no circular: law and practice alone)"
    dates = f"{planned.out.isoformat()} out, {planned.back.isoformat()} back"
    yield "Dates", _joined((dates, legs_without_day(planned)), "; ")
    if lapses:
        yield "Good through", _lapses(lapses)
    if move.places:
        yield "Route", _joined((", ".join(move.places), move.miles), "; ")
    train = _joined((move.train, move.place and place_in_train(move.place), move.speed and f"up to {move.speed}"))
    air = _joined((move.brake_pipe_pressure and f"brake pipe {move.brake_pipe_pressure}",
                   move.release_mode and f"{move.release_mode} release"))  # fmt: skip
    yield "Train", _joined((train, air), "; ")
    yield "Occupied", {"nobody": "empty", "crew": "crew"}.get(move.rides, "passengers")
    curve = None if move.sharpest_curve is None else f"curves to {move.sharpest_curve}"
    classes = f"class {' and '.join(move.track_classes)}" if move.track_classes else None
    yield "Track", _or_blank(_joined((classes, curve, _joined(move.clearances)), "; "))
    yield "Requested", _requested(move)
    yield "Reply by", _or_blank(None if move.reply_by is None else move.reply_by.isoformat())


def _lapses(lapses: tuple[LastGoodDay, ...]) -> str:
    """The first day after which something on file no longer holds, and what."""
    return f"{lapses[0].last.isoformat()}: {listed(tuple(dict.fromkeys(one.what for one in lapses)))}"


def _requested(move: MoveFacts) -> str:
    if move.requested_on is None:
        return ToWrite(NOT_ON_FILE)
    notice = move.notice
    told = move.requested_on.isoformat()
    if notice is None or notice.given is None:
        return told
    return f"{told}, {notice.given} days ahead; {notice.period} asked for"


def _car(car: CarFacts) -> Iterator[tuple[str, str]]:
    yield "Owner", _or_blank(car.owner)
    calls = [_joined((one.name, one.telephone, one.hours)) for one in car.call]
    yield "Call", _or_blank("; ".join(calls))
    yield "Kind", _joined((car.kind, car.built and f"built {car.built}", car.rebuilt and f"rebuilt {car.rebuilt}",
                           f"builder {car.builder}" if car.builder else "builder not on file"))  # fmt: skip
    size = _joined((car.length_over_couplers and f"{car.length_over_couplers} over couplers",
                    car.extreme_width and f"{car.extreme_width} wide",
                    car.height_over_rail and f"{car.height_over_rail} over rail"))  # fmt: skip
    yield "Size", _or_blank(size)
    weight = car.weight
    yield "Weight", _or_blank(None if weight is None else _weight(weight))
    trucks = [_joined((one.kind or f"{one.axles} axles", one.frame)) for one in car.trucks]
    alike = f"{len(trucks)}, {trucks[0]}" if len(set(trucks)) == 1 else "; ".join(trucks)
    yield (
        "Trucks",
        _or_blank(_joined((alike if trucks else None, car.truck_centers and f"{car.truck_centers} centers"))),
    )
    yield "Bearings", _or_blank(_bearings(car))
    cylinders = f"{car.brake_cylinders} cylinders" if car.brake_cylinders else None
    shoes = f"{' and '.join(car.shoe_materials)} shoes" if car.shoe_materials else None
    yield "Brake", _or_blank(_joined((car.control_valve and f"{car.control_valve} valve", cylinders, shoes)))
    types = dict.fromkeys(one.type for one in car.couplers if one.type)
    yield "Couplers", _or_blank(" and ".join(types))


def _bearings(car: CarFacts) -> str:
    """By truck; told once where every truck has the same."""
    found = [(" and ".join(one.bearings), one.truck) for one in car.trucks if one.bearings]
    if len(found) == len(car.trucks) and len({words for words, _ in found}) == 1:
        return found[0][0]
    return "; ".join(f"{words}, truck {truck}" for words, truck in found)


def _weight(weight: Dated) -> str:
    """With the paper that it stands on; with its day where the paper does not say it."""
    said = weight.on is None or weight.on in (weight.paper or "")
    return _joined((weight.value, weight.paper, None if said else weight.on))


def _papers(papers: tuple[PaperWanted, ...], rules: Mapping[str, int]) -> Iterator[Section]:
    if not papers:
        return
    on_file = sum(one.state != NOT_ON_FILE for one in papers)
    ticks = tuple(Tick(_paper(one, rules), one.state in ("on file", "runs out")) for one in papers)
    block = Ticks(ticks, ("on file", "not on file, or not in force: mark it when it is enclosed"))
    heading = f"Papers the circular wants with the request: {on_file} of {len(papers)} on file"
    held = sum(one.holds_up for one in papers)
    if held:
        heading += f"; {held} of them keep{'s' if held == 1 else ''} the car from moving"
    elif on_file < len(papers):
        heading += "; none of the others keeps the car from moving"
    yield Section(heading, (block,), folded=True, counted=" ")


def _paper(paper: PaperWanted, rules: Mapping[str, int]) -> str:
    name = f"form {paper.form}: {paper.paper}" if paper.form else paper.paper
    told = name[:1].upper() + name[1:]
    if paper.until and paper.until != "no end" and paper.state in ("on file", "runs out"):
        told += f", to {paper.until}"
    if paper.state in ("void", "not in order"):
        told += f": {paper.state}"
    if paper.criterion in rules:
        return f"{told}: fault {rules[paper.criterion]}"
    return f"{told}: must be on file" if paper.holds_up else told


def _rests(rests: RestsOn, statements: tuple[Statement, ...]) -> Iterator[str]:
    words = []
    if rests.oldest is not None:
        old = rests.oldest
        days = f"{old.days_before_departure:,} days before departure"
        words.append(f"Oldest reading used: {old.what} ({old.part}), {old.on.isoformat()}, {days}.")
    keeping = f"{rests.keeping:,} of them keep" if rests.keeping else "none of them keeps"
    unjudged = counted(rests.not_measured, "requirement")
    words.append(
        f"Not judged for want of a reading or a paper, part by part: {unjudged}; {keeping} the car from moving."
    )
    yield " ".join(words)
    yield from (f"{one.words}." for one in statements if not one.at_once and one.sort != "none fitted")
    yield f"Said to be none: {_none(rests) or 'nothing'}."


def _none(rests: RestsOn) -> str:
    """What is said to be none, by who says so; what nobody signed last."""
    by_person: dict[str, list[str]] = {}
    for one in sorted(rests.said_none, key=lambda one: not one.by):
        by_person.setdefault(one.by, []).append(f"{one.what} ({one.parts})" if one.parts else one.what)
    return "; ".join(f"{', '.join(what)}: {by or 'signed by nobody'}" for by, what in by_person.items())
