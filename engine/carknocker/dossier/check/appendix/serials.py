"""Serials, axle by axle: wheelset, steel axle, wheels and bearings, as the record writes them."""

from collections.abc import Iterator

import msgspec

from carknocker.dossier.context import Context
from carknocker.record.model import Part
from carknocker.wording.limits import value_words
from carknocker.wording.parts import label_of


class _Sort(msgspec.Struct, frozen=True):
    """Which attributes of a kind say what. classes: how each reads. dates: what was done to it."""

    serial: str
    classes: tuple[tuple[str, str], ...] = ()
    maker: str = ""
    made: str = ""
    dates: tuple[str, ...] = ()


_SORTS = {
    "wheelset": _Sort(
        "serial_or_own_mark",
        (("axle_class", "axle class {}"),),
        dates=("mounted_on", "last_turned_on", "bearing_applied_on"),
    ),
    "axle": _Sort("serial", made="made_on"),
    "wheel": _Sort(
        "serial",
        (("wheel_class", "class {}"), ("wear_kind", "{}"), ("wheel_material", "{}"), ("plate_shape", "{} plate")),
        maker="maker",
        made="made_on",
    ),
    "bearing": _Sort(
        "serial",
        (("class", "{}"), ("rollers", "{} rollers")),
        maker="maker",
        dates=("applied_on", "reconditioned_on", "last_opened_on"),
    ),
}
_ORDER = tuple(_SORTS)


class SerialRow(msgspec.Struct, frozen=True):
    """One part of a wheelset. What the record does not say is empty; a wheelset without a
    serial is known by the mark that the record gives it. dates: what was done to it when."""

    axle: str
    part: str
    serial: str
    sort: str
    maker: str
    made: str
    dates: str


def serials_of(context: Context) -> tuple[SerialRow, ...]:
    """Every wheelset with what is in it: those that are fitted in the order of the axles, then the others."""
    wheelsets = [part for part in context.judgement.parts.values() if part.kind == "wheelset"]
    fitted = context.in_order(part for part in wheelsets if part.fitted)
    others = context.in_order(part for part in wheelsets if not part.fitted)
    return tuple(row for wheelset in (*fitted, *others) for row in _rows(wheelset, context))


def _rows(wheelset: Part, context: Context) -> Iterator[SerialRow]:
    parts = context.judgement.parts
    inside = context.judgement.situation.standing.inside.get(wheelset.key, ())
    own = [parts[key] for key in inside if key in parts and parts[key].kind in _SORTS]
    place = parts.get(wheelset.container or "")
    for part in (wheelset, *sorted(own, key=lambda one: _ORDER.index(one.kind))):
        sort = _SORTS[part.kind]
        said = ((_said(part, name, context), form) for name, form in sort.classes)
        yield SerialRow(
            axle=place.label if place is not None else "not fitted",
            part=label_of(part),
            serial=_said(part, sort.serial, context)
            or (part.key.removeprefix("wheelset ") if part is wheelset else ""),
            sort=", ".join(form.format(word) for word, form in said if word and word != "none"),
            maker=_said(part, sort.maker, context),
            made=_said(part, sort.made, context),
            dates="; ".join(filter(None, (_dated(part, name, context) for name in sort.dates))),
        )


def _said(part: Part, attribute: str, context: Context) -> str:
    """The newest value on record; empty where there is none."""
    found = context.judgement.situation.standing.evidence.get(part.key, {}).get(attribute, ())
    return value_words(found[-1].value) if found else ""


def _dated(part: Part, name: str, context: Context) -> str:
    said, attribute = _said(part, name, context), context.vocabulary.attribute(part.kind, name)
    return f"{attribute.label} {said}" if said and attribute is not None else ""
