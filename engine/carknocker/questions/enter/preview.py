"""What a form brings, sheet by sheet in the words of the form: what is alike on several parts stands once."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from carknocker.documents.visible_text import one_line
from carknocker.forms.entries import EntryName, entry_named
from carknocker.forms.names import kind_and_position
from carknocker.questions.enter.filled_form import NOT_ACCESSIBLE, FilledSheet, FurtherAnswer
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.parts import attribute_words, compact_labels

_BESIDE = ("gauge", "sure")


def preview_of(sheets: Iterable[FilledSheet]) -> tuple[str, ...]:
    """The lines that are shown before anything is written."""
    return tuple(line for sheet in sheets for line in _lines(sheet))


def _lines(sheet: FilledSheet) -> Iterator[str]:
    head = sheet.head if sheet.is_signed else {}
    after = head.get("after")
    told = (
        sheet.title,
        f"{head['on']}" if "on" in head else "",
        f"read by {head['by']}" if "by" in head else "",
        f"with {head['gauge']}" if "gauge" in head else "",
        f"after {', '.join(after)}" if isinstance(after, list) else "",
        str(head.get("taken", "")),
    )
    yield f"{one_line(', '.join(filter(None, told)))}:"
    alike: dict[tuple[str, str], list[str]] = {}
    for part, attribute, value in (*_readings(sheet), *_descriptions(sheet.further)):
        alike.setdefault((_label(part, attribute), _words(value)), []).append(part)
    for (label, words), parts in alike.items():
        yield f"  {label} {words}: {one_line(compact_labels(parts))}"
    entries: dict[str, list[FurtherAnswer]] = {}
    for one in sheet.further:
        if entry_named(one.part) is not None:
            entries.setdefault(one.part, []).append(one)
    for part, said in entries.items():
        yield f"  {one_line(part)}: {'; '.join(_said(part, said))}"


def _readings(sheet: FilledSheet) -> Iterator[tuple[str, str, Any]]:
    kinds = {kind.section: kind for kind in load_vocabulary().kinds.values()}
    for section, parts in sheet.readings.items():
        kind = kinds[section]
        for position, values in {"": parts}.items() if kind.positions == "single" else parts.items():
            for attribute, value in values.items():
                yield f"{kind.name} {position}".strip(), attribute, value


def _descriptions(further: Sequence[FurtherAnswer]) -> Iterator[tuple[str, str, Any]]:
    yield from ((one.part, one.attribute, one.value) for one in further if entry_named(one.part) is None)


def _label(part: str, attribute: str) -> str:
    kind = kind_and_position(part.removeprefix("new "))
    return attribute.replace("_", " ") if kind is None else attribute_words(kind[0].name, attribute)


def _said(part: str, said: Sequence[FurtherAnswer]) -> Iterator[str]:
    """What an entry says, each key as the form calls it."""
    named: EntryName | None = entry_named(part)
    labels = {} if named is None else {field.key: field.label for field in named.sort.fields}
    for one in said:
        label = labels.get(one.attribute, one.attribute.replace("_", " "))
        yield f"{label}: {_words(one.value)}"


def _words(value: Any) -> str:
    """A value of a form as one says it."""
    if isinstance(value, list):
        return ", ".join(_words(one) for one in value)
    if not isinstance(value, dict):
        text = one_line(str(value))
        return NOT_ACCESSIBLE if text.startswith(NOT_ACCESSIBLE) else text
    own = {key: one for key, one in value.items() if key not in _BESIDE}
    words = str(own["reads"]) if "reads" in own else " ".join(
        f"{key.replace('_', ' ')} {_words(one)}" for key, one in own.items()
    )  # fmt: skip
    beside = (f"with {value['gauge']}" if "gauge" in value else "", f"sure: {value['sure']}" if "sure" in value else "")
    told = "; ".join(filter(None, beside))
    return one_line(f"{words} ({told})" if told else words)
