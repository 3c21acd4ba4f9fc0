"""An answer of a form as a value of an attribute, as YAML, and where a description of a part stands in a record."""

from typing import Any

import msgspec

from carknocker.documents import InputRefused, ProblemList, read_document
from carknocker.questions.enter.filled_form import FurtherAnswer
from carknocker.record.files import RecordReporter
from carknocker.record.insertion import plain_text
from carknocker.record.model import Part
from carknocker.record.part_keys import serial_of, side_of
from carknocker.record.value_reader import read_value
from carknocker.record.values import Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import AXLE, BEARING, WHEEL, WHEELSET


def value_said(said: FurtherAnswer, attribute: Attribute) -> Value:
    """What an answer says, read as a record is read."""
    problems = ProblemList()
    node = read_document(f"value: {flow_text(said.value)}\n", "the form", problems)
    held = None if node is None else node.get("value")
    reporter = RecordReporter(problems, load_vocabulary())
    read = read_value(held, attribute, reporter) if held is not None else None
    if read is None or len(problems):
        raise InputRefused(tuple(
            msgspec.structs.replace(one, where=said.where, found=f"{said.words}{one.found}", line_text="")
            for one in problems.problems
        ))  # fmt: skip
    return read.value


def flow_text(value: Any) -> str:
    """An answer as YAML in one line."""
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(one) for one in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow_text(one)}" for key, one in value.items()) + "}"
    return plain_text(str(value))


def place_of(part: Part) -> tuple[str, ...]:
    """Where the descriptions of a part stand in a record."""
    kind, serial = load_vocabulary().kinds[part.kind], serial_of(part.key) or ""
    if kind.name == WHEELSET:
        return kind.section, serial
    if kind.name == AXLE:
        return "wheelsets", serial, AXLE
    if kind.name in (WHEEL, BEARING):
        return "wheelsets", serial, f"{side_of(part.key)}_{kind.name}"
    return (kind.section,) if kind.positions == "single" else (kind.section, part.position)
