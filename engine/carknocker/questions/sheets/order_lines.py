"""What the wheel shop is told of one axle: what the truck takes, what is there now, the bearings, the tape size."""

from collections.abc import Iterator

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Finding, Judgement
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.looks import Looks
from carknocker.questions.sheets.order_instead import instead_of_a_new_one
from carknocker.questions.sheets.sheet_model import SheetSection
from carknocker.questions.sheets.tape_window import tape_window
from carknocker.questions.sheets.tape_window_model import window_line
from carknocker.questions.told import Told, held_of, told
from carknocker.record.values import Figure
from carknocker.rulebook.model import Criterion
from carknocker.wording.limits import requirement_words, value_words
from carknocker.wording.parts import attribute_words
from carknocker.wording.rules import rule_words
from carknocker.wording.verdicts import finding_words

_WHEEL = ("nominal_diameter", "wear_kind", "wheel_material", "plate_shape", "wheel_class")


def for_axle(judgement: Judgement, axle: int, why: tuple[Finding, ...]) -> Iterator[SheetSection]:
    """The sections of one axle: the wheelset, its bearings, its sizes. why: the breaches that call for it."""
    serial, own = fitted_now(judgement.car)[axle], f"truck {judgement.car.axle_trucks[axle]}"
    yield SheetSection(f"Axle {axle}: the wheelset wanted", tuple(_wanted(judgement, axle, serial, own, why)))
    yield SheetSection(f"Axle {axle}: {serial}, which is there now", tuple(_now(judgement, serial)))
    yield _bearings(judgement, axle, serial)
    yield _sizes(judgement, axle)


def _wanted(judgement: Judgement, axle: int, serial: str, own: str, why: tuple[Finding, ...]) -> Iterator[Told]:
    looks = Looks(judgement)
    yield Told("for", f"axle {axle}, {own}; {serial} is there now")
    for finding in why:
        said = finding_words(looks.explain(finding))
        words = f"{finding.part.label}: {finding.criterion.title}: {said.measured}, required {said.required}"
        if finding.lapses_on is not None:
            words += f"; good until {finding.lapses_on.isoformat()}, before the return"
        yield Told("why", words)
    yield from instead_of_a_new_one(judgement, axle, why)
    yield told(judgement, own, "takes_axle_class", "axle class: the truck takes")
    yield told(judgement, own, "takes_journal_centers", "journal centers: the truck takes")
    if held_of(judgement, own, "standard_journal_centers") is not None:
        yield told(judgement, own, "standard_journal_centers", "journal centers of a standard axle of that class")
        yield told(judgement, own, "standard_journal_centers_by", "stated by")
    yield _difference(judgement, own)


def _difference(judgement: Judgement, truck: str) -> Told:
    """How far the journal centers that the truck takes are from those of a standard axle. No figure is taken from
    elsewhere: the record has it from the shop or the maker, or it is missing."""
    label = "difference from the standard"
    takes, standard = (
        held_of(judgement, truck, name) for name in ("takes_journal_centers", "standard_journal_centers")
    )
    if takes is None or standard is None:
        lacking = "journal centers that the truck takes" if takes is None else "standard journal centers"
        return Told(label, f"can't be told: the {lacking} are not on record", False)
    if not isinstance(takes.value, Figure) or not isinstance(standard.value, Figure):
        return Told(label, "can't be told: it takes two figures", False)
    apart = takes.value.quantity.amount - standard.value.quantity.amount
    if apart == 0:
        return Told(label, "none: as the standard")
    words = write_quantity(Quantity.of("length", abs(apart), "in"))
    than = f"than the standard {write_quantity(standard.value.quantity)}: not interchangeable"
    return Told(label, f"{words} {'more' if apart > 0 else 'less'} {than}")


def _now(judgement: Judgement, serial: str) -> Iterator[Told]:
    """What the wheelset is that comes off: to be matched, but for what is refused of it."""
    key, wheel = f"wheelset {serial}", f"wheel {serial} left"
    for name in ("axle_class", "journal_centers", "axle_length", "flange_kind", "modified_from_standard"):
        yield told(judgement, key, name)
    held = held_of(judgement, key, "modified_from_standard")
    if held is None or held.text != "no":
        yield told(judgement, key, "modification_drawing")
        yield told(judgement, key, "modification_approved_by")
    for name in _WHEEL:
        words = attribute_words("wheel", name)
        yield told(judgement, wheel, name, words if "wheel" in words else f"wheels: {words}")


def _bearings(judgement: Judgement, axle: int, serial: str) -> SheetSection:
    bearing = f"bearing {serial} left"
    rules = _class_rules(judgement)
    wanted = [
        requirement_words(one)
        for criterion in rules
        for one in comparisons_in(criterion.must)
        if one.path.attribute.name == "class"
    ]
    if wanted:
        lines = [Told("class of bearing wanted", "; and ".join(dict.fromkeys(wanted)))]
    else:
        lines = [Told("class of bearing wanted", "no rule of this move names the classes that are accepted", False)]
    held = held_of(judgement, bearing, "class")
    refused = any(
        finding.verdict == "breached" and finding.part.key == bearing and finding.criterion in rules
        for finding in judgement.findings
    )
    if held is None:
        lines.append(told(judgement, bearing, "class", f"{serial} has"))
    else:
        lines.append(Told(f"{serial} has", value_words(held.value) + (", which is not accepted" if refused else "")))
    if not refused:
        lines.extend(told(judgement, bearing, name, f"{serial}: {attribute_words('bearing', name)}")
                     for name in ("rollers", "lubricant"))  # fmt: skip
    return SheetSection(f"Axle {axle}: bearings", tuple(lines), tuple(rule_words(one) for one in rules))


def _class_rules(judgement: Judgement) -> tuple[Criterion, ...]:
    """The rules of the move about the class of a bearing."""
    return tuple(
        criterion
        for criterion in judgement.rulebook.criteria
        if criterion.of == "bearing"
        and any(
            one.path.attribute.name == "class" and not one.path.owner for one in comparisons_in(criterion.must)
        )
    )  # fmt: skip


def _sizes(judgement: Judgement, axle: int) -> SheetSection:
    window = tape_window(judgement, axle)
    truck = judgement.car.axle_trucks[axle]
    sizes = [
        told(judgement, key, "tape_size", f"{judgement.parts[key].label} has")
        for number, other in sorted(fitted_now(judgement.car).items())
        if number != axle and judgement.car.axle_trucks[number] == truck
        for key in (f"wheel {other} left", f"wheel {other} right")
    ]
    return SheetSection(f"Axle {axle}: sizes", (window_line(window), *sizes), (*window.because, *window.mates))
