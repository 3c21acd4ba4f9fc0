"""`order`: the sheet for the wheel shop, for a wheelset that the car needs."""

from collections.abc import Iterator

from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.wording import clause_words
from carknocker.questions.check import CheckAnswer
from carknocker.questions.fit import THINGS
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.looks import Looks
from carknocker.questions.sheets.sheet_model import SheetAnswer, SheetSection
from carknocker.questions.sheets.tape_window import tape_window
from carknocker.questions.sheets.tape_window_model import window_line
from carknocker.questions.told import Told, held_of, told
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import load_vocabulary

_RENEWED = "wheelset renewed"
_WHEEL = ("nominal_diameter", "wear_kind", "wheel_material", "plate_shape", "wheel_class")


def order(answer: CheckAnswer, axle: int | None = None) -> SheetAnswer:
    """The sheet for a wheelset for one axle, or for each axle whose wheelset is breached in a way that another wheelset
    clears. Raises InputRefused for an axle that the car has not got."""
    judgement = answer.judgement
    car = judgement.car
    fitted = fitted_now(car)
    if axle is not None and axle not in fitted:
        found = f"axle {axle}, which the car has not got"
        expected = f"an axle from 1 to {max(fitted)}" if fitted else "a car with wheelsets on record"
        raise InputRefused((Problem(Location(car.file, 1, 1), found, expected),))
    needed = needed_at(judgement)
    axles = [axle] if axle is not None else sorted(needed)
    sections = [section for one in axles for section in _for_axle(judgement, one, needed.get(one, ()))]
    if not axles:
        note = (
            "Nothing on record is breached on a fitted wheelset that a renewal would clear. "
            "Name an axle to see its sheet."
        )
        sections.append(SheetSection("No wheelset is needed", (), (note,)))
    else:
        sections.append(_papers(judgement))
    move = judgement.move
    return SheetAnswer(
        title=f"{' '.join(word for word in (car.mark, car.name) if word)}: order for the wheel shop",
        for_whom=f"For a move with {move.host} from {move.out.isoformat()}; as on record on {answer.day.isoformat()}",
        as_of=answer.day,
        sections=tuple(sections),
    )


def needed_at(judgement: Judgement) -> dict[int, tuple[Finding, ...]]:
    """Axle → the refusing breaches on its wheelset that list a renewal of the wheelset among their remedies."""
    at = {serial: axle for axle, serial in fitted_now(judgement.car).items()}
    found: dict[int, list[Finding]] = {}
    for refusal in judgement.refusals:
        finding = refusal.finding
        if finding is None or finding.verdict != "breached":
            continue
        axle = at.get(thing_key_of_wheelset(finding.part.key) or "")
        if axle is not None and any(remedy.work == _RENEWED for remedy in finding.criterion.remedies):
            found.setdefault(axle, []).append(finding)
    return {axle: tuple(findings) for axle, findings in sorted(found.items())}


def _for_axle(judgement: Judgement, axle: int, why: tuple[Finding, ...]) -> Iterator[SheetSection]:
    serial, own = fitted_now(judgement.car)[axle], f"truck {judgement.car.axle_trucks[axle]}"
    key, wheel, bearing = f"wheelset {serial}", f"wheel {serial} left", f"bearing {serial} left"
    looks = Looks(judgement)
    lines = [Told("for", f"axle {axle}, {own}; {serial} is there now")]
    for finding in why:
        said = looks.explain(finding)
        words = f"{finding.part.label}: {finding.criterion.title}: {said.measured}, required {said.required}"
        lines.append(Told("why", words))
    lines.extend((
        told(judgement, own, "takes_axle_class", "axle class wanted: the truck takes"),
        told(judgement, key, "axle_class", f"axle class of {serial}"),
        told(judgement, own, "takes_journal_centers", "journal centers wanted: the truck takes"),
        told(judgement, key, "journal_centers", f"journal centers of {serial}"),
        told(judgement, key, "modified_from_standard", f"{serial} modified from the standard"),
        *_modification(judgement, key),
        told(judgement, key, "axle_length", f"axle length of {serial}"),
        told(judgement, key, "flange_kind", f"flange of {serial}"),
        *(told(judgement, wheel, name) for name in _WHEEL),
    ))  # fmt: skip
    note = (
        "The record holds no standard journal centers: how far these differ from the shop's standard is for the shop "
        "to say, in figures."
    )
    yield SheetSection(f"Axle {axle}: the wheelset", tuple(lines), (note,))
    bearings = [told(judgement, bearing, name) for name in ("class", "rollers", "lubricant")]
    rules = tuple(_accepted(judgement))
    none = "No rule of this move names the classes of bearing that are accepted."
    yield SheetSection(f"Axle {axle}: bearings", tuple(bearings), rules or (none,))
    window = tape_window(judgement, axle)
    sizes = [
        told(judgement, judgement.parts[f"wheel {other} {side}"].key, "tape_size",
             f"{judgement.parts[f'wheel {other} {side}'].label} has")
        for number, other in sorted(fitted_now(judgement.car).items())
        if number != axle and judgement.car.axle_trucks[number] == judgement.car.axle_trucks[axle]
        for side in ("left", "right")
    ]  # fmt: skip
    yield SheetSection(f"Axle {axle}: sizes", (window_line(window), *sizes), (*window.because, *window.mates))


def _modification(judgement: Judgement, key: str) -> tuple[Told, ...]:
    """Drawing and approver of a modified axle; nothing where the record says that it is not modified."""
    held = held_of(judgement, key, "modified_from_standard")
    if held is not None and held.text == "no":
        return ()
    return tuple(told(judgement, key, name) for name in ("modification_drawing", "modification_approved_by"))


def _accepted(judgement: Judgement) -> Iterator[str]:
    """What the rules of the move ask of the class of a bearing."""
    for criterion in judgement.rulebook.criteria:
        paths = [one.path for one in comparisons_in(criterion.must)]
        if criterion.of == "bearing" and any(path.attribute.name == "class" and not path.owner for path in paths):
            yield _rule_words(criterion)


def _rule_words(criterion: Criterion) -> str:
    when = f", where {clause_words(criterion.when)}" if criterion.when is not None else ""
    place = f"{criterion.source.document} {criterion.source.section}".strip()
    return f"{criterion.title}: {clause_words(criterion.must)}{when} ({place})"


def _papers(judgement: Judgement) -> SheetSection:
    """What must come back with the wheelset: what rules want shown by a shop, and what the record has room for."""
    kinds = load_vocabulary().kinds
    rules = tuple(
        _rule_words(criterion)
        for criterion in judgement.rulebook.criteria
        if criterion.of in THINGS and (criterion.shown_by == "accepted shop" or _asks_for_paper(criterion))
        and any(f.criterion.id == criterion.id and f.verdict != "not applicable" for f in judgement.findings)
    )  # fmt: skip
    asked = [
        Told(f"{kinds[kind].label}: {attribute.label}", "[  ]")
        for kind in THINGS
        for attribute in kinds[kind].attributes.values()
        if attribute.description and "shop" in attribute.read_by
    ]
    return SheetSection("What must come back with the wheelset", tuple(asked), rules)


def _asks_for_paper(criterion: Criterion) -> bool:
    return any(one.path.attribute.type in ("test", "paper") for one in comparisons_in(criterion.must))
