"""The limit of a comparison as a function of what is seen."""

from carknocker.judgement.held import Held
from carknocker.judgement.sight import Getter, Sight, plain_getter
from carknocker.rulebook.clauses import ByTable, Comparison, Fixed, FromPart


def limit_getter(comparison: Comparison) -> Getter:
    """The limit as a function of what is seen; it finds None where the part does not tell its limit."""
    match comparison.limit:
        case Fixed(values):
            fixed = Held(values[0], None)
            return lambda sight: fixed
        case FromPart(path):
            return plain_getter(path)
        case ByTable(path, rows, otherwise):
            key = plain_getter(path)
            held_rows = {text.casefold(): Held(value, None) for text, value in rows.items()}
            rest = None if otherwise is None else Held(otherwise, None)

            def from_table(sight: Sight) -> Held | None:
                chosen = key(sight)
                text = None if chosen is None else chosen.text
                return None if text is None else held_rows.get(text, rest)

            return from_table
