"""The wheelsets under the car, axle by axle, with the serials of what travels with them."""

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Part
from carknocker.record.part_keys import serial_of
from carknocker.record.value_words import value_words
from carknocker.record.values import Word
from carknocker.vocabulary.program_names import AXLE, BEARING, MOUNTED_ON, MOUNTING_CHECK, WHEEL

_SERIAL = "serial"


class WheelsetAtAxle(msgspec.Struct, frozen=True):
    """One axle of the car. Everything is None where it is not on file; serial: of the wheelset, or the owner's mark.
    The serials are those on the parts themselves."""

    axle: str
    truck: str
    serial: str | None
    axle_class: str | None
    mounted_on: str | None
    certificate: str | None
    bearing_left: str | None
    bearing_right: str | None
    axle_serial: str | None
    wheel_left_serial: str | None
    wheel_right_serial: str | None
    bearing_left_serial: str | None
    bearing_right_serial: str | None


def wheelsets_by_axle(index: JudgementIndex) -> tuple[WheelsetAtAxle, ...]:
    """One row for each axle, from the B end on."""
    return tuple(_row(axle, truck, index) for truck in index.trucks() for axle in index.axles(truck))


def _row(axle: Part, truck: Part, index: JudgementIndex) -> WheelsetAtAxle:
    wheelset = index.wheelset_at(axle)

    def on(side: str, kind: str, attribute: str) -> str | None:
        return None if wheelset is None else _said(index.on_side(wheelset, kind, side), attribute, index)

    steel = None if wheelset is None else next(iter(index.of_kind(wheelset.key, AXLE)), None)
    own_mark = None if wheelset is None else serial_of(wheelset.key)
    return WheelsetAtAxle(
        axle=axle.position,
        truck=truck.position,
        serial=_said(wheelset, "serial_or_own_mark", index) or own_mark or None,
        axle_class=_said(wheelset, "axle_class", index),
        mounted_on=_said(wheelset, MOUNTED_ON, index),
        certificate=None if wheelset is None else _certificate(wheelset, index),
        bearing_left=on("L", BEARING, "class"),
        bearing_right=on("R", BEARING, "class"),
        axle_serial=_said(steel, _SERIAL, index),
        wheel_left_serial=on("L", WHEEL, _SERIAL),
        wheel_right_serial=on("R", WHEEL, _SERIAL),
        bearing_left_serial=on("L", BEARING, _SERIAL),
        bearing_right_serial=on("R", BEARING, _SERIAL),
    )


def _said(part: Part | None, attribute: str, index: JudgementIndex) -> str | None:
    value = None if part is None else index.value(part.key, attribute)
    return None if value is None else value_words(value)


def _certificate(wheelset: Part, index: JudgementIndex) -> str | None:
    """The certificate of the newest mounting check that counts."""
    held = index.observed(wheelset.key, MOUNTING_CHECK)
    said = None if held is None or held.evidence is None else held.evidence.facts.get("certificate")
    return said.text if isinstance(said, Word) else None
