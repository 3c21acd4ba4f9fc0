"""What long standing does to a spare wheelset: rust, marks in the bearings, labels, when it was last turned over."""

from collections.abc import Iterator
from datetime import timedelta

from carknocker.judgement.model import Judgement
from carknocker.questions.spares.model import Consumable
from carknocker.record.model import Work
from carknocker.record.part_keys import SIDES, bearing_key, serial_of, wheel_key, wheelset_key
from carknocker.record.value_words import value_words
from carknocker.record.values import Day, Word
from carknocker.vocabulary import does_of, load_vocabulary, sheet_lines
from carknocker.vocabulary.program_names import BEARING, LUBRICANT, LUBRICANT_AMOUNT, LUBRICANT_APPROVAL
from carknocker.wording.evidence import until_words
from carknocker.wording.phrases import counted
from carknocker.wording.record_lines import RecordLine, missing_line, observed, record_line


def ageing_of(judgement: Judgement, serial: str) -> tuple[RecordLine, ...]:
    """What the record shows of a wheelset's age in store: what is of the wheelset, then side by side."""
    lines = sheet_lines("spares", "age of a wheelset")
    return tuple(
        _since(judgement, key, line.attribute, line.label.format(side=side, part=key, value=""))
        for key, side in _parts(serial)
        for line in lines
        if judgement.parts[key].kind == line.kind
    )


def signs_of_standing(judgement: Judgement, serial: str) -> tuple[str, ...]:
    """The signs of long standing that are on record: each with the part, the value, its day and who read it."""
    signs = []
    for sign in sheet_lines("spares", "what speaks against a wheelset"):
        for key, _ in _parts(serial):
            held = observed(judgement, key, sign.attribute) if judgement.parts[key].kind == sign.kind else None
            if held is not None and value_words(held.value) == sign.label:
                line = record_line(judgement, key, sign.attribute)
                signs.append(f"{judgement.parts[key].label}: {line.label}: {line.text}")
    return tuple(signs)


def _parts(serial: str) -> Iterator[tuple[str, str]]:
    """The wheelset, then its wheels and bearings with their sides."""
    yield wheelset_key(serial), ""
    for side in SIDES:
        yield wheel_key(serial, side), side
        yield bearing_key(serial, side), side


def _since(judgement: Judgement, key: str, attribute: str, label: str = "") -> RecordLine:
    """A day, with how long ago it is on departure."""
    line = record_line(judgement, key, attribute, label)
    held = observed(judgement, key, attribute)
    if held is None or not isinstance(held.value, Day):
        return line
    days = (judgement.move.out - held.value.last).days
    return RecordLine(line.label, f"{line.text}, {counted(days, 'day')} before departure", line.known)


_YEAR = timedelta(days=365)


def consumables(judgement: Judgement) -> tuple[Consumable, ...]:
    """The lubricants of the bearings under the car and of those aboard, each with its stock against its use.
    Bearings whose lubricant is not on record come last, as such."""
    carried = {spare.serial for spare in judgement.car.spares if spare.carried}
    by_product: dict[str, list[str]] = {}
    for part in judgement.situation.standing.by_kind.get(BEARING, ()):
        if part.fitted or serial_of(part.key) in carried:
            held = observed(judgement, part.key, LUBRICANT)
            product = held.value.text if held is not None and isinstance(held.value, Word) else ""
            by_product.setdefault(product, []).append(part.key)
    return tuple(
        _consumable(product, keys, judgement)
        for product, keys in sorted(by_product.items(), key=lambda one: not one[0])
    )


def _consumable(product: str, keys: list[str], judgement: Judgement) -> Consumable:
    labels = tuple(judgement.parts[key].label for key in keys)
    if not product:
        return Consumable("", labels, (missing_line("lubricant"),), ())
    lines = [
        _alike(judgement, keys, line.attribute)
        for line in sheet_lines("spares", "lubricant of a bearing")
        if line.kind == BEARING
    ]
    lines.append(_approval(product, judgement))
    kinds = load_vocabulary().spares
    lubricant = load_vocabulary().attribute(BEARING, LUBRICANT)
    aboard = [spare for spare in judgement.car.spares if lubricant in kinds[spare.name].fits.values()]
    words = "; ".join(
        f"{spare.carried} carried, {spare.shelf} on the shelf"
        + "".join(f", {name} {value_words(value)}" for name, value in spare.facts.items())
        for spare in aboard
    )
    lines.append(RecordLine("among the spares", words) if words else missing_line("among the spares"))
    return Consumable(product, labels, tuple(lines), _used(product, keys, judgement))


def _alike(judgement: Judgement, keys: list[str], attribute: str) -> RecordLine:
    """What the bearings that show it show; several different values one beside the other."""
    lines = [record_line(judgement, key, attribute) for key in keys]
    known = list(dict.fromkeys(line.text for line in lines if line.known))
    return RecordLine(lines[0].label, "; ".join(known)) if known else lines[0]


def _approval(product: str, judgement: Judgement) -> RecordLine:
    """A paper by which someone approves the product."""
    label = "approval on paper"
    for entry in judgement.situation.counted("car", LUBRICANT_APPROVAL):
        named = entry.facts.get("product")
        if isinstance(named, Word) and named.text.casefold() == product.casefold():
            approver = entry.facts.get("approver")
            by = value_words(approver) if approver is not None else "an approver who is not named"
            until = until_words(entry.until)
            return RecordLine(label, f"by {by}{until}")
    return missing_line(label)


def _used(product: str, keys: list[str], judgement: Judgement) -> tuple[str, ...]:
    """What was put in during the year before the day: the log of work, and amounts on sheets. Weights and volumes are
    not turned into each other, since no density is on record."""
    first = judgement.as_of - _YEAR
    standing = judgement.situation.standing
    lines = [
        f"{entry.on.isoformat()} {entry.name}, {_amount(entry)}"
        for entry in standing.work
        if does_of(entry.name) == "put lubricant in" and entry.on > first and not set(keys).isdisjoint(entry.at)
        and _is_of(product, entry)
    ]  # fmt: skip
    for key in keys:
        lines.extend(
            f"{evidence.on.isoformat()} {judgement.parts[key].label}, {value_words(evidence.value)}"
            for evidence in judgement.situation.counted(key, LUBRICANT_AMOUNT)
            if evidence.on is not None and evidence.on > first
        )
    return tuple(sorted(lines))


def _is_of(product: str, entry: Work) -> bool:
    named = entry.facts.get("product")
    return not isinstance(named, Word) or named.text.casefold() == product.casefold()


def _amount(entry: Work) -> str:
    amount = entry.facts.get("amount")
    return "amount not on record" if amount is None else value_words(amount)
