"""Values, limits, clauses and margins in plain words; in tables with signs. Either says whether exactly the limit
passes."""

from collections.abc import Mapping

from carknocker.documents import listed
from carknocker.judgement.explanation import Margin
from carknocker.judgement.finer_gauge import SettlingReading, SettlingReadings
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Count, Figure, Value, Word
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    AttributePath,
    ByTable,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    FromPart,
    Limit,
    Unanswered,
)  # fmt: skip
from carknocker.wording.parts import attribute_words, part_words

_SIDES = {"over": "over", "at_least": "at least", "under": "under", "at_most": "at most"}
_SIGNS = {"over": ">", "at_least": "≥", "under": "<", "at_most": "≤"}
SIGNS_MEAN = "In the tables > is over, ≥ at least, < under, ≤ at most: the figure itself passes with ≥ and ≤ only."
"""The footnote of tables with signs."""
_NO_MORE = "not larger"
"""At most 0 of a difference, which may well be less."""
_ITS_OWN = frozenset({"", "fact", "train"})
"""Owners that a limit need not name: the part itself, and the train of the move."""
_FILED = frozenset({"test", "paper"})
NO_FIGURES = frozenset({"yes or no", "one of", "text", "identity", "several of", "date"})
"""Types of an attribute that nobody measures."""
ON_FILE = "on file"
"""What is asked of a test or a paper that only has to be there."""
_VALUES = frozenset({"is", "is_not", "one_of", "none_of", "holds_all"})
_COUNTS = {"over": "more than", "at_least": "at least", "under": "fewer than", "at_most": "at most", "is": "exactly"}


def path_words(path: AttributePath) -> str:
    """An attribute in words: `truck: kind`, `device of the single-car test`; the owner is left out where the words
    name it themselves, as in `release mode of the train`."""
    label = path.attribute.label
    if path.fact is not None:
        label = f"{path.fact.label} of the {label}"
    named = path.owner in ("", "fact") or label.endswith(f" the {path.owner}")
    return label if named else f"{path.owner}: {label}"


def limit_words(limit: Limit) -> str:
    """A limit in words."""
    match limit:
        case Fixed(values):
            return " and ".join(value_words(value) for value in values)
        case FromPart(path):
            return f"the {path.attribute.label}" if path.owner in _ITS_OWN else f"the {path_words(path)}"
        case ByTable(path, rows, otherwise):
            words = [f"{value_words(value)} for {name}" for name, value in rows.items()]
            if otherwise is not None:
                words.append(f"{value_words(otherwise)} otherwise")
            return f"{', '.join(words)} (by {path_words(path)})"


def requirement_words(comparison: Comparison, *, signs: bool = False) -> str:
    """What one comparison requires, without the attribute: `over 7/8 in`; with signs `> 7/8 in`."""
    limit = comparison.limit
    word = comparison.word
    if word in _SIDES:
        if word == "at_most" and _is_nought(comparison):
            return _NO_MORE if comparison.path.attribute.signed else "none"
        if word == "at_least" and _is_count(comparison) and isinstance(limit, FromPart) and not signs:
            return f"as many as {limit_words(limit)}"
        return f"{(_SIGNS if signs else _SIDES)[word]} {limit_words(limit)}"
    match word:
        case "is":
            return limit_words(limit)
        case "is_not":
            text = limit_words(limit)
            return "fitted" if text == "none" else f"not {text}"
        case "one_of" | "none_of" | "holds_all":
            values = [value_words(value) for value in limit.values] if isinstance(limit, Fixed) else []
            if word == "none_of":
                return f"neither {' nor '.join(values)}" if len(values) > 1 else f"not {''.join(values)}"
            return listed(values, "or" if word == "one_of" else "and") if values else ""
        case "shown":
            sort = comparison.path.attribute.type
            return ON_FILE if sort in _FILED else "on record" if sort in NO_FIGURES else "measured"
        case "failed":
            return "not failed"
        case "within":
            since = "old" if comparison.path.attribute.type in _FILED and comparison.path.fact is None else "ago"
            words = f"not over {limit_words(limit)}"
            return words if isinstance(limit, ByTable) else f"{words} {since}"
        case "in_force":
            return "in force from departure to return"
        case _:
            return f"{word} {limit_words(limit)}"


def _is_count(comparison: Comparison) -> bool:
    """Whether it compares a number of things, whose name ends in no noun that a limit could stand behind."""
    return comparison.path.attribute.type == "count" and comparison.path.fact is None


def _is_nought(comparison: Comparison) -> bool:
    """Whether the limit is 0; of a temperature 0 is a degree like any other."""
    limit, attribute = comparison.limit, comparison.path.attribute
    return (
        isinstance(limit, Fixed) and attribute.type != "temperature" and all(_is_zero(value) for value in limit.values)
    )


def _is_zero(value: Value) -> bool:
    match value:
        case Figure(quantity):
            return quantity.amount == 0
        case Count(number):
            return number == 0
        case _:
            return False


def clause_words(clause: Clause, *, signs: bool = False) -> str:
    """A whole clause in words: `flange thickness over 7/8 in`, with signs `flange thickness > 7/8 in`;
    `plate shape: curved`."""

    def words(member: Clause) -> str:
        return clause_words(member, signs=signs)

    match clause:
        case Comparison():
            asked = requirement_words(clause, signs=signs)
            own = clause.word in _VALUES or asked in ("none", _NO_MORE) or (_is_count(clause) and not signs)
            return f"{path_words(clause.path)}{':' if own else ''} {asked}"  # if it is a value, not a sentence
        case AllOf(clauses):
            return "; ".join(_group_words(group, signs) for group in _by_attribute(clauses))
        case AnyOf(clauses):
            if all(isinstance(member, Comparison) for member in clauses):
                return ", or ".join(words(member) for member in clauses)
            return " or ".join(f"({words(member)})" for member in clauses)
        case CountOf(kind, when, word, number):
            which = f" with {_which_words(when, signs)}" if when is not None else ""
            return f"{_number_words(word, number, kind)}{which}"
        case EachOf(kind, when, must):
            which = f" with {_which_words(when, signs)}" if when is not None else ""
            return f"each {kind}{which}: {words(must)}"
        case Unanswered(what):
            return f"no rule at hand says {what}"


def _which_words(when: Clause, signs: bool) -> str:
    """Which parts a count looks at: `brake cut out`, where it is asked to be `yes`."""
    match when:
        case Comparison(path=path, word="is", limit=Fixed((Word("yes"),))):
            return path_words(path)
        case _:
            return _inner_words(when, signs)


def _inner_words(clause: Clause, signs: bool) -> str:
    """A clause within another: one of alternatives in brackets, so that nobody reads past them."""
    words = clause_words(clause, signs=signs)
    return f"({words})" if isinstance(clause, AnyOf) else words


def _number_words(word: str, number: int, kind: str) -> str:
    """`at least 2 hand brakes`; `a hand brake` for at least one, `no hand brake` for none."""
    if (word, number) == ("at_least", 1):
        return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
    if number == 0 and word in ("at_most", "is"):
        return f"no {kind}"
    return f"{_COUNTS[word]} {number} {kind}{'s' if number != 1 else ''}"


def _by_attribute(clauses: tuple[Clause, ...]) -> list[list[Clause]]:
    """The clauses in order, grouped where neighbors look at the same attribute."""
    groups: list[list[Clause]] = []
    for clause in clauses:
        if groups and _same_attribute(groups[-1][0], clause):
            groups[-1].append(clause)
        else:
            groups.append([clause])
    return groups


def _same_attribute(one: Clause, other: Clause) -> bool:
    return (
        isinstance(one, Comparison)
        and isinstance(other, Comparison)
        and (one.path.owner, one.path.attribute) == (other.path.owner, other.path.attribute)
    )


def _group_words(group: list[Clause], signs: bool) -> str:
    """`annual inspection: on file, not over 1 year old, form: M-12`, with the attribute named once."""
    comparisons = [clause for clause in group if isinstance(clause, Comparison)]
    if len(comparisons) < 2:
        return _inner_words(group[0], signs)
    path = comparisons[0].path
    label = path.attribute.label
    asked = [
        requirement_words(one, signs=signs)
        if one.path.fact is None
        else f"{one.path.fact.label}{':' if one.word in _VALUES else ''} {requirement_words(one, signs=signs)}"
        for one in comparisons
    ]
    owner = f"{path.owner}: " if path.owner and path.owner != "fact" else ""
    figures = not signs and all(one.word in _SIDES and one.path.fact is None for one in comparisons)
    return f"{owner}{label}: {listed(asked, 'and') if figures else ', '.join(asked)}"


def margin_words(margin: Margin | None) -> str:
    """`1/16 in to spare`, `1/16 in past the limit`; empty where there is no exact figure."""
    if margin is None or (margin.dimension == "count" and margin.side == "at the limit" and margin.limit_passes):
        return ""  # of a count that is just allowed the figure says it: 0 of none
    if margin.side == "at the limit":
        return (
            "nothing to spare: exactly at the limit"
            if margin.limit_passes
            else "exactly at the limit, which does not pass"
        )
    return f"{_size(margin)} to spare" if margin.side == "within it" else f"{_size(margin)} past the limit"


def _size(margin: Margin) -> str:
    if margin.dimension == "count":
        return str(margin.amount)
    dimension = "temperature difference" if margin.dimension == "temperature" else margin.dimension
    return write_quantity(Quantity.of(dimension, margin.amount, "in" if dimension == "length" else "%"))


def settling_words(settled: SettlingReadings, parts: Mapping[str, Part]) -> tuple[str, ...]:
    """A line for each reading that would settle it by itself."""
    if settled.readings:
        return tuple(read_again_words(one, _place_of(one.evidence, parts), parts) for one in settled.readings)
    if settled.together:
        names = ", ".join(_named(one, parts) for one in settled.together)
        return (f"no single reading settles it; these together do, read again with a finer gauge: {names}",)
    return ("exactly at the limit: no finer gauge settles it, only another figure",)


def read_again_words(one: SettlingReading, place: str, parts: Mapping[str, Part]) -> str:
    """How fine to read again what would settle a finding by itself. place: the part, or all parts that are alike."""
    gauge = "" if one.gauge is None else f" (gauge {one.gauge.name} reads to that)"
    return f"to settle it, read again: {_attribute_of(one.evidence, parts)} of {place}, {_how_fine(one)}{gauge}"


def _how_fine(one: SettlingReading) -> str:
    own = one.evidence.gauge_uncertainty
    if own is None:
        return f"to {write_quantity(one.needed)} or finer"
    return f"with a gauge whose step and own uncertainty add up to {write_quantity(one.needed)} or less"


def _attribute_of(evidence: Evidence, parts: Mapping[str, Part]) -> str:
    part = parts.get(evidence.part)
    return evidence.attribute.replace("_", " ") if part is None else attribute_words(part.kind, evidence.attribute)


def _place_of(evidence: Evidence, parts: Mapping[str, Part]) -> str:
    part = parts.get(evidence.part)
    return evidence.part if part is None else part_words(part)


def _named(evidence: Evidence, parts: Mapping[str, Part]) -> str:
    return f"{_attribute_of(evidence, parts)} of {_place_of(evidence, parts)}"
