"""`setout`: the sheet to carry aboard, for strangers who may have to change a wheelset at night."""

from collections.abc import Iterator

from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.dossier.whom_to_call import whom_to_call
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.chain.rules import rules_of
from carknocker.judgement.model import Judgement
from carknocker.judgement.part_view import PartView
from carknocker.page.sheet import SheetAnswer, SheetSection
from carknocker.record.model import Part
from carknocker.record.part_keys import axle_position_key, truck_key, wheelset_key
from carknocker.vocabulary import sheet_lines, work_to
from carknocker.vocabulary.program_names import TRUCK
from carknocker.whatif.hypothetical_car import fitted_now
from carknocker.whatif.spare_cover import spare_wheelsets, table
from carknocker.whatif.tape_window import TapeWindow, tape_window, window_line
from carknocker.wording.alike_lines import alike_lines, axles_words
from carknocker.wording.parts import car_title
from carknocker.wording.record_lines import RecordLine, connections_of, listed_lines, missing_line, stowage_of
from carknocker.wording.sources import place_words

CAUTIONS = (
    "A coupler and its draft gear is no rated lifting point unless a competent person says so for this lift (common "
    "practice, no source).",
    "A locked center pin carries the truck with the body: release it before the lift, or add the truck's weight "
    "(common practice, no source).",
    "Set brakes leak off: hold the standing end by chocks on both sides of a wheel, and by a hand brake only where one "
    "acts on its truck, never by air (common practice, no source).",
    "Crib or block the load as soon as it is up (29 CFR 1910.244(a)(2)(iii)).",
    "Positions are counted from the B end, the end with the hand brake shaft: left and right as seen from there, "
    "looking toward the A end.",
)


_YIELDS = {"requires": "asks for"}


def the_car(judgement: Judgement) -> SheetSection:
    return SheetSection("The car", tuple(listed_lines(judgement, sheet_lines("set-out", "car"), "car")))


def weights(judgement: Judgement) -> SheetSection:
    return SheetSection("Weights", tuple(listed_lines(judgement, sheet_lines("set-out", "weights"), "car")))


def lifting(judgement: Judgement) -> SheetSection:
    return SheetSection("Lifting", tuple(listed_lines(judgement, sheet_lines("set-out", "lifting"), "car")))


def truck(judgement: Judgement, part: Part) -> SheetSection:
    """How a truck is held and let go, and what to disconnect before it rolls out."""
    lines = list(listed_lines(judgement, sheet_lines("set-out", "truck"), part.key))
    connections = connections_of(judgement, part.key)
    if connections is None:
        lines.append(missing_line("what to disconnect"))
    else:
        lines.extend(RecordLine("disconnect", text, box=True) for text in connections)
        if not connections:
            lines.append(RecordLine("disconnect", "nothing, by the record"))
    return SheetSection(part.label, tuple(lines))


def axle_lines(judgement: Judgement, number: int, window: TapeWindow) -> tuple[RecordLine, ...]:
    """What stands at an axle and what may go there; the wheelset's own serial aside."""
    keys = wheelset_key(fitted_now(judgement.car)[number]), axle_position_key(number)
    return (
        *listed_lines(judgement, sheet_lines("set-out", "axle"), *keys),
        window_line(window),
        *listed_lines(judgement, sheet_lines("set-out", "wheels of the axle"), *keys),
    )


def axles(judgement: Judgement) -> Iterator[SheetSection]:
    """What all axles have alike, then axles that are alike together, then the rules behind the sizes."""
    fitted = fitted_now(judgement.car)
    windows = {number: tape_window(judgement, number) for number in sorted(fitted)}
    told = alike_lines({number: axle_lines(judgement, number, window) for number, window in windows.items()})
    if told.common:
        yield SheetSection("Every axle", told.common)
    for numbers, lines in told.groups:
        there = ", ".join(f"{fitted[number]} at axle {number}" if len(numbers) > 1 else fitted[number]
                          for number in numbers)  # fmt: skip
        trucks = dict.fromkeys(truck_key(judgement.car.axle_trucks[number]) for number in numbers)
        heading = f"{axles_words(numbers)} ({', '.join(trucks)})"
        yield SheetSection(heading, (RecordLine("wheelset there", there), *lines))
    rules = dict.fromkeys(rule for window in windows.values() for rule in (*window.because, *window.mates))
    if rules:
        yield SheetSection("Rules behind the tape sizes", (), tuple(rules))


def carried(judgement: Judgement) -> SheetSection:
    """The spare wheelsets aboard, and where each would serve."""
    lines: list[RecordLine] = []
    cells = table(judgement, carried_only=True)
    for spare in spare_wheelsets(judgement):
        if not spare.carried:
            continue
        lines.append(RecordLine("spare wheelset", spare.serial))
        lines.extend(stowage_of(judgement, spare.serial))
        serves = [str(cell.axle) for cell in cells if cell.spare == spare.serial and cell.serves]
        lines.append(
            RecordLine("serves at", f"axles {', '.join(serves)}" if serves else "no axle: see `carknocker spares`")
        )
    if not lines:
        lines.append(RecordLine("spare wheelset", "none is aboard, by the record"))
    return SheetSection("Spare wheelsets aboard", tuple(lines))


def after_a_change(judgement: Judgement) -> SheetSection:
    """What the rules of this move make of a wheelset renewed: what it voids, what it asks for, what it restricts. Rules
    of a chapter that does not bind this move or its train are left out."""
    situation, renewed = judgement.situation, work_to("renew a wheelset")
    sight = PartView(situation, "car", situation.values_of("car"), judgement.move.out)
    sorts: dict[str, dict[str, None]] = {}
    said: dict[str, str] = {}
    for rule in rules_of(judgement.rulebook.consequences):
        if rule.cause.sort != "work" or rule.subject != renewed:
            continue
        if rule.chapter_when is None or rule.chapter_when(sight) >= rule.least_truth:
            one = rule.consequence
            said[one.id] = f"{one.title} ({place_words(one.source)})"
            sorts.setdefault(one.id, {})[_YIELDS.get(rule.kind, rule.kind)] = None
    lines = tuple(RecordLine(" and ".join(sorts[rule]), words) for rule, words in said.items())
    notes = () if lines else ("No rule of this move follows from a wheelset renewed.",)
    return SheetSection("After a wheelset is renewed", lines, notes)


def cautions() -> SheetSection:
    return SheetSection("Cautions", (), CAUTIONS)


def setout(answer: CheckAnswer) -> SheetAnswer:
    """The sheet of a checked car. What the record does not show stands on it as missing.

    Raises CannotJudge where the car with a carried spare fitted can't be judged.
    """
    judgement = answer.judgement
    trucks = [part for part in judgement.situation.standing.by_kind.get(TRUCK, ()) if part.fitted]
    car, move = judgement.car, judgement.move
    return SheetAnswer(
        title=f"{car_title(car)}: renewing a wheelset on the way",
        for_whom=f"For {move.host}, {move.out.isoformat()} to {move.back.isoformat()}; as on record on "
        f"{answer.day.isoformat()}",
        as_of=answer.day,
        head=head_with_outcome(answer),
        sections=(
            whom_to_call(judgement),
            the_car(judgement),
            weights(judgement),
            lifting(judgement),
            *(truck(judgement, part) for part in trucks),
            carried(judgement),
            *axles(judgement),
            after_a_change(judgement),
            cautions(),
        ),
        word="SET-OUT SHEET",
    )
