"""One part as a clause looks at it, on one day of the move."""

from collections.abc import Callable, Mapping
from datetime import date

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import Situation, View
from carknocker.record.values import Value
from carknocker.rulebook.clauses import AttributePath, ByTable, Comparison, Fixed, FromPart


class PartView:
    """A part, the values that count for it, and the day.

    oldest: readings before that day are too old to be seen, None for no such limit. arriving: all the miles of the
    move are made. facts: of the work or event that a cause is about. unplaced: set when a clause asked for a container
    that the part, not being fitted, hasn't got.
    """

    __slots__ = ("arriving", "day", "facts", "key", "oldest", "shop", "situation", "unplaced", "view")

    def __init__(
        self,
        situation: Situation,
        key: str,
        view: View,
        day: date,
        shop: bool = False,
        oldest: date | None = None,
        facts: Mapping[str, Value] | None = None,
        arriving: bool = False,
    ) -> None:
        self.situation = situation
        self.key = key
        self.view = view
        self.day = day
        self.shop = shop
        self.oldest = oldest
        self.facts = facts
        self.arriving = arriving
        self.unplaced = False

    def at(self, key: str) -> "PartView":
        """The same look at another part."""
        situation = self.situation
        view = situation.view(key, shop=self.shop)
        return PartView(situation, key, view, self.day, self.shop, self.oldest, self.facts, self.arriving)

    def on_arrival(self) -> "PartView":
        """The same look on the day of the return, all the miles of the move made."""
        back = self.situation.move.back
        return PartView(self.situation, self.key, self.view, back, self.shop, self.oldest, self.facts, True)


Getter = Callable[[PartView], ObservedValue | None]
Test = Callable[[PartView], int]
"""One of the four degrees of `truth`, of what is seen."""


def plain_getter(path: AttributePath) -> Getter:
    """A function that finds the newest value of a path, None where nothing that counts shows it. Criteria look through
    `comparisons.getter`, which knows of papers that belong together."""
    attribute = path.attribute
    name = attribute.name
    if path.owner == "fact":
        return lambda sight: from_facts(sight.facts, name)
    seen: Getter
    if attribute.derived:
        seen = lambda sight: sight.situation.derived(sight.key, attribute, shop=sight.shop)  # noqa: E731
    else:
        seen = lambda sight: sight.view.get(name)  # noqa: E731

    def own(sight: PartView) -> ObservedValue | None:
        held = seen(sight)
        if held is None or sight.oldest is None or held.on is None or held.on >= sight.oldest:
            return held
        return None

    placed = own
    if path.owner:
        owner = path.owner

        def placed(sight: PartView) -> ObservedValue | None:
            key = sight.situation.owner(sight.key, owner)
            if key is None:
                sight.unplaced = True
                return None
            return own(sight.at(key))

    if path.fact is None:
        return placed
    fact = path.fact.name

    def from_fact(sight: PartView) -> ObservedValue | None:
        held = placed(sight)
        return None if held is None or held.evidence is None else from_facts(held.evidence.facts, fact)

    return from_fact


def from_facts(facts: Mapping[str, Value] | None, name: str) -> ObservedValue | None:
    """A fact of a work, an event, a test or a paper, as criteria hold it."""
    value = None if facts is None else facts.get(name)
    return None if value is None else ObservedValue(value, None)


def limit_getter(comparison: Comparison) -> Getter:
    """The limit as a function of what is seen; it finds None where the part does not tell its limit."""
    match comparison.limit:
        case Fixed(values):
            fixed = ObservedValue(values[0], None)
            return lambda sight: fixed
        case FromPart(path):
            return plain_getter(path)
        case ByTable(path, rows, otherwise):
            key = plain_getter(path)
            held_rows = {text.casefold(): ObservedValue(value, None) for text, value in rows.items()}
            rest = None if otherwise is None else ObservedValue(otherwise, None)

            def from_table(sight: PartView) -> ObservedValue | None:
                chosen = key(sight)
                text = None if chosen is None else chosen.text
                return None if text is None else held_rows.get(text, rest)

            return from_table
