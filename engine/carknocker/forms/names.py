"""How a form names a part, and how that name is read back."""

from carknocker.record.model import Part
from carknocker.record.part_keys import serial_of
from carknocker.record.standing import Standing
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import AXLE, AXLE_POSITION


def name_on_a_form(part: Part, standing: Standing) -> str:
    """The kind and the position by which a sheet finds the part: `wheel L3`, `axle 3`, `wheelset W-31`, `body`."""
    if part.kind == AXLE and part.fitted:
        containers = (standing.parts[key] for key in standing.containers(part.key))
        numbers = [one.position for one in containers if one.kind == AXLE_POSITION]
        return f"{AXLE} {numbers[0] if numbers else ''}"
    if part.kind == AXLE:
        return f"{AXLE} {serial_of(part.key)}"
    return f"{part.kind} {part.position}".strip()


def kind_and_position(part: str) -> tuple[Kind, str] | None:
    """What a form means by `wheel L3` or `brake system`: the kind of part, the longest name first, and the position."""
    kinds = load_vocabulary().kinds
    for name in sorted(kinds, key=len, reverse=True):
        if part == name or part.startswith(f"{name} "):
            return kinds[name], part[len(name) :].strip()
    return None
