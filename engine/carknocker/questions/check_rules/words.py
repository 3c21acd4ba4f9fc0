"""Examples and remedies of a criterion in words."""

from collections.abc import Mapping

from carknocker.judgement.wording import clause_words, value_words
from carknocker.quantities import write_quantity
from carknocker.record.values import Value
from carknocker.rulebook.model import Example, Remedy


def example_words(example: Example) -> str:
    """What an example gives: `flange_thickness: 7/8 in`; nothing given says so."""
    words = [f"{name}: {value_words(value)}" for name, value in example.given.items()]
    words.extend(f"{name} aged {period}" for name, period in example.ages.items())
    words.extend(f"{name} with {period} left" for name, period in example.left.items())
    words.extend(f"{name} {write_quantity(miles)} ago" for name, miles in example.miles_ago.items())
    words.extend(f"a {kind} inside ({_given(given)})" for kind, given in example.parts)
    if example.move_lasts.days or example.move_lasts.months:
        words.append(f"the move lasts {example.move_lasts}")
    return "; ".join(words) if words else "nothing given"


def _given(given: Mapping[str, Value]) -> str:
    return ", ".join(f"{name}: {value_words(value)}" for name, value in given.items()) or "nothing given"


def remedy_words(remedy: Remedy) -> str:
    """A remedy with its condition."""
    condition = f", if {clause_words(remedy.condition)}" if remedy.condition is not None else ""
    return f"{remedy.work}{condition}" + (f" ({remedy.note})" if remedy.note else "")
