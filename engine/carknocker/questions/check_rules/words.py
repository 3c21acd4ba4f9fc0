"""Examples of criteria and consequences, and remedies, in words."""

from collections.abc import Mapping

from carknocker.judgement.wording import clause_words, value_words
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.values import Value
from carknocker.rulebook.model import ConsequenceExample, Example, Remedy


def example_words(example: Example | ConsequenceExample) -> str:
    """An example with what comes of it: `flange_thickness: 7/8 in: breached`."""
    if isinstance(example, Example):
        said: list[str] = [example.verdict]
        if example.clears is not None:
            said.append(f"cleared by {', '.join(example.clears) or 'nothing'}")
    else:
        said = [example.following]
        if example.due_after is not None:
            said.append(f"due {example.due_after} after departure")
    if example.capped_at is not None:
        said.append(capped_words(example.capped_at))
    if example.times is not None:
        said.append(times_words(example.times))
    return f"{given_words(example)}: {'; '.join(said)}"


def given_words(example: Example | ConsequenceExample) -> str:
    """What an example gives: `flange_thickness: 7/8 in`; nothing given says so."""
    words = [f"{name}: {value_words(value)}" for name, value in example.given.items()]
    words.extend(f"{name} aged {period}" for name, period in example.ages.items())
    words.extend(f"{name} with {period} left" for name, period in example.left.items())
    words.extend(f"{name} {write_quantity(miles)} ago" for name, miles in example.miles_ago.items())
    words.extend(f"a {kind} inside ({_given(given)})" for kind, given in example.parts)
    if isinstance(example, ConsequenceExample):
        words[:0] = [example.happened] if example.happened else []
        if example.answered_by is not None:
            words.append(f"the test made {example.answered_by} ago")
        if example.move_runs is not None:
            words.append(f"the move runs {write_quantity(example.move_runs)}")
    if example.move_lasts.days or example.move_lasts.months:
        words.append(f"the move lasts {example.move_lasts}")
    return "; ".join(words) if words else "nothing given"


def _given(given: Mapping[str, Value]) -> str:
    return ", ".join(f"{name}: {value_words(value)}" for name, value in given.items()) or "nothing given"


def capped_words(speed: Quantity | None) -> str:
    """The speed that is left: `at most 50 mph`."""
    return "no speed" if speed is None else f"at most {write_quantity(speed)}"


def times_words(number: int) -> str:
    """How often something is due on the way."""
    return f"due {number} time{'' if number == 1 else 's'} on the way"


def remedy_words(remedy: Remedy) -> str:
    """A remedy with its condition."""
    condition = f", if {clause_words(remedy.condition)}" if remedy.condition is not None else ""
    return f"{remedy.work}{condition}" + (f" ({remedy.note})" if remedy.note else "")
