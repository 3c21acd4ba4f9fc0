"""Finds rules that can do nothing: a condition that nothing meets, a limit that nothing meets, or one that everything
meets.

Only clauses that must all hold are looked at (`any`, `count` and `each` say nothing certain of one attribute), and only
limits written in the edition. If that is not enough to tell, no problem is claimed.
"""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

import msgspec

from carknocker.documents import Location, Problem
from carknocker.record.values import Count, Figure, Value, Word
from carknocker.rulebook.clauses import AllOf, Clause, Comparison, Fixed
from carknocker.rulebook.model import Consequence, Criterion
from carknocker.vocabulary.model import Attribute


class Span(msgspec.Struct, frozen=True):
    """Figures from `low` to `high`. None: no bound on that side. An open side excludes the bound itself."""

    low: Fraction | None = None
    low_open: bool = False
    high: Fraction | None = None
    high_open: bool = False

    @property
    def empty(self) -> bool:
        if self.low is None or self.high is None:
            return False
        return self.low > self.high or (self.low == self.high and (self.low_open or self.high_open))

    def meet(self, other: "Span") -> "Span":
        """The figures in both."""
        low, low_open = self.low, self.low_open
        if other.low is not None and (low is None or (other.low, other.low_open) > (low, low_open)):
            low, low_open = other.low, other.low_open
        high, high_open = self.high, self.high_open
        if other.high is not None and (high is None or (other.high, not other.high_open) < (high, not high_open)):
            high, high_open = other.high, other.high_open
        return Span(low, low_open, high, high_open)

    def within(self, other: "Span") -> bool:
        """Whether every figure of this span is in the other."""
        return self.meet(other) == self


class Choice(msgspec.Struct, frozen=True):
    """The words that pass (`out` False), or all words except these."""

    words: frozenset[str]
    out: bool = False

    @property
    def empty(self) -> bool:
        return not self.out and not self.words

    def meet(self, other: "Choice") -> "Choice":
        """The words that pass both."""
        if self.out and other.out:
            return Choice(self.words | other.words, True)
        if self.out or other.out:
            chosen, without = (other, self) if self.out else (self, other)
            return Choice(chosen.words - without.words)
        return Choice(self.words & other.words)

    def within(self, other: "Choice") -> bool:
        """Whether every word of this choice passes the other."""
        return self.meet(other) == self


Allowed = Mapping[str, Span | Choice]
"""Attribute path, as written → the values that are left to it."""


def allowed(clauses: Iterable[Clause | None]) -> Allowed:
    """The values that some clauses, all of which must hold, leave to each attribute."""
    found: dict[str, Span | Choice] = {}
    for clause in clauses:
        for comparison in certain(clause):
            one = open_to(comparison)
            if one is not None:
                path = str(comparison.path)
                before = found.get(path)
                found[path] = one if before is None else left_by_both(before, one)
    return found


def certain(clause: Clause | None) -> Iterator[Comparison]:
    """The comparisons that hold whenever the clause holds."""
    match clause:
        case Comparison():
            yield clause
        case AllOf(clauses):
            for each in clauses:
                yield from certain(each)


def left_by_both(one: Span | Choice, two: Span | Choice) -> Span | Choice:
    """The values that two limits on one attribute leave together."""
    if isinstance(one, Span) and isinstance(two, Span):
        return one.meet(two)
    if isinstance(one, Choice) and isinstance(two, Choice):
        return one.meet(two)
    return one


def implied(one: Span | Choice, two: Span | Choice) -> bool:
    """Whether everything that the first leaves also passes the second."""
    if isinstance(one, Span) and isinstance(two, Span):
        return one.within(two)
    return isinstance(one, Choice) and isinstance(two, Choice) and one.within(two)


def open_to(comparison: Comparison) -> Span | Choice | None:
    """The values that one comparison leaves; None if its limit is not a figure or word written in the edition."""
    if not isinstance(comparison.limit, Fixed):
        return None
    values = comparison.limit.values
    amounts = [amount for value in values if (amount := _amount(value)) is not None]
    if len(amounts) == len(values) == 1:
        return _span(comparison.word, amounts[0])
    words = [value.text for value in values if isinstance(value, Word)]
    if len(words) != len(values):
        return None
    match comparison.word:
        case "is" | "one_of":
            return Choice(frozenset(words))
        case "is_not" | "none_of":
            known = _known(comparison.path.value_attribute)
            return Choice(known - frozenset(words)) if known else Choice(frozenset(words), True)
        case _:
            return None


def _span(word: str, amount: Fraction) -> Span | None:
    match word:
        case "over":
            return Span(low=amount, low_open=True)
        case "at_least":
            return Span(low=amount)
        case "under":
            return Span(high=amount, high_open=True)
        case "at_most":
            return Span(high=amount)
        case "is":
            return Span(amount, False, amount, False)
        case _:
            return None


def _amount(value: Value) -> Fraction | None:
    if isinstance(value, Figure):
        return value.quantity.amount
    return Fraction(value.number) if isinstance(value, Count) else None


def _known(attribute: Attribute) -> frozenset[str]:
    return frozenset(attribute.words)


def check_criterion(criterion: Criterion) -> Iterator[Problem]:
    """A criterion that never applies, that no part can meet, or that every part meets to which it applies."""
    where = criterion.where
    applies = allowed([criterion.when])
    path = _impossible(applies)
    if path:
        yield Problem(where, f"{criterion.id} can never apply: its `when` leaves nothing open to `{path}`",
                      "a condition that some part fulfils",
                      remedy="the `when` of the chapter counts too: take one of the two out")  # fmt: skip
        return
    if criterion.unless is not None and _all_implied(applies, criterion.unless):
        yield Problem(where, f"{criterion.id} can never apply: wherever its `when` holds, its `unless` holds too",
                      "an `unless` that takes out a part of what `when` lets in")  # fmt: skip
        return
    path = _impossible(allowed([criterion.must]))
    if path:
        yield Problem(where, f"{criterion.id} can never be met: its `must` leaves nothing open to `{path}`",
                      "a lower limit below the upper one",
                      remedy="`over` and `at_least` are lower limits, `under` and `at_most` upper ones")  # fmt: skip
        return
    path = _impossible(allowed([criterion.when, criterion.must]))
    if path:
        yield Problem(where, f"{criterion.id} can never be met where it applies: `when` and `must` leave nothing open "
                      f"to `{path}`", "a `must` that a part can meet to which `when` applies")  # fmt: skip
    elif _all_implied(applies, criterion.must):
        yield Problem(where, f"{criterion.id} can never be breached: wherever its `when` holds, its `must` holds too",
                      "a `must` that asks more than `when`",
                      remedy="a limit on the wrong side, or one that stands in both")  # fmt: skip


def check_consequence(consequence: Consequence) -> Iterator[Problem]:
    """A consequence whose condition, or one of whose causes, nothing can meet."""
    yield from _never(consequence, consequence.when, consequence.where, "its `when`")
    for cause in consequence.causes:
        said = "a state" if cause.sort == "state" else f"the `when` of a cause on `{cause.sort}`"
        yield from _never(consequence, cause.when, cause.where, said)


def _never(consequence: Consequence, clause: Clause | None, where: Location, said: str) -> Iterator[Problem]:
    path = _impossible(allowed([clause]))
    if path:
        yield Problem(where, f"{consequence.id} can never follow: {said} leaves nothing open to `{path}`",
                      "a condition that some part fulfils")  # fmt: skip


def _impossible(left: Allowed) -> str:
    """The first attribute with no value left, "" if there is none."""
    return next((path for path, one in left.items() if one.empty), "")


def _all_implied(applies: Allowed, clause: Clause) -> bool:
    """Whether every comparison of a clause holds whenever `applies` does; False if that can't be told."""
    if not isinstance(clause, Comparison | AllOf):
        return False
    comparisons = list(certain(clause))
    whole = isinstance(clause, Comparison) or len(comparisons) == len(clause.clauses)
    for comparison in comparisons:
        left, asked = applies.get(str(comparison.path)), open_to(comparison)
        if left is None or asked is None or not implied(left, asked):
            return False
    return whole and bool(comparisons)
