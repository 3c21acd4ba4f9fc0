"""One part as a criterion sees it on one day of the move, and how the value of a path and a limit are found there."""

from collections.abc import Callable, Mapping
from datetime import date

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import PartValues, Situation
from carknocker.quantities import Period
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Value
from carknocker.rulebook.clauses import FACT, AttributePath, ByTable, Comparison, Fixed, FromPart


class _Terms:
    """On what terms parts are looked at together, and the views made on them so far; fields as in `PartView`."""

    __slots__ = ("arriving", "facts", "oldest", "shop", "views")

    def __init__(self, shop: bool, oldest: date | None, facts: Mapping[str, Value] | None, arriving: bool) -> None:
        self.shop = shop
        self.oldest = oldest
        self.facts = facts
        self.arriving = arriving
        self.views: dict[str, PartView] = {}


class PartView:
    """A part, the values that count for it, and the day.

    values: of its attributes, without readings from before `oldest` (None: no reading is too old). shop: only what an
    accepted person showed counts. arriving: all the miles of the move are made. facts: of the work or event that a
    cause is about. unplaced: set when a clause asks for a container that the part, not being fitted, hasn't got.
    """

    __slots__ = ("_containers", "_papers", "_terms", "day", "key", "situation", "unplaced", "values")

    def __init__(
        self,
        situation: Situation,
        key: str,
        values: PartValues,
        day: date,
        shop: bool = False,
        oldest: date | None = None,
        facts: Mapping[str, Value] | None = None,
        arriving: bool = False,
        *,
        terms: _Terms | None = None,
    ) -> None:
        """terms: of another part that is looked at together with this one, in the place of those given one by one."""
        if terms is None:
            terms = _Terms(shop, oldest, facts, arriving)
        self.situation = situation
        self.key = key
        self.values = values if terms.oldest is None else situation.not_older(key, values, terms.oldest)
        self.day = day
        self.unplaced = False
        self._terms = terms
        self._containers: dict[str, PartView | None] | None = None
        self._papers: dict[tuple[str, ...], list[Evidence]] | None = None

    @property
    def shop(self) -> bool:
        return self._terms.shop

    @property
    def oldest(self) -> date | None:
        return self._terms.oldest

    @property
    def facts(self) -> Mapping[str, Value] | None:
        return self._terms.facts

    @property
    def arriving(self) -> bool:
        return self._terms.arriving

    @property
    def papers(self) -> dict[tuple[str, ...], list[Evidence]]:
        """Papers and tests that several comparisons of a clause mean, by what tells them."""
        if self._papers is None:
            self._papers = {}
        return self._papers

    def at(self, key: str) -> "PartView":
        """Another part on the same day and terms."""
        terms = self._terms
        found = terms.views.get(key)
        if found is None:
            situation = self.situation
            values = situation.values_of(key, shop=True) if terms.shop else situation.values[key]
            found = terms.views[key] = PartView(situation, key, values, self.day, terms=terms)
        return found

    def of(self, kind: str) -> "PartView | None":
        """The part of that kind that this one is in, or the one car, move or train; None where it has none."""
        if self._containers is None:
            self._containers = {}
        if kind in self._containers:
            found = self._containers[kind]
        else:
            key = self.situation.owner(self.key, kind)
            found = self._containers[kind] = None if key is None else self.at(key)
        if found is None:
            self.unplaced = True
        return found

    def on_arrival(self) -> "PartView":
        """The same part on the day of the return, all the miles of the move made."""
        back = self.situation.move.back
        return PartView(self.situation, self.key, self.values, back, self.shop, self.oldest, self.facts, True)


Terms = tuple[str, bool, Period | None]
"""How a criterion looks: at parts of which kind, as accepted persons showed them or as anyone did, and at readings of
which age at most."""


class PartViews:
    """The parts of one situation as criteria see them, each made once for all criteria that look on the same terms."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self._departing: dict[Terms, list[PartView]] = {}
        self._first: dict[tuple[date, bool, Period | None, bool], PartView] = {}

    def of(
        self, key: str, day: date, *, shop: bool = False, read_within: Period | None = None, arriving: bool = False
    ) -> PartView:
        """A part on a day; read_within: the age of the oldest reading that is accepted."""
        terms = (day, shop, read_within, arriving)
        first = self._first.get(terms)
        if first is None:
            first = self._first[terms] = view_of(
                self.situation, key, day, shop=shop, read_within=read_within, arriving=arriving
            )
        return first.at(key)

    def departing(self, parts: tuple[Part, ...], terms: Terms) -> list[PartView]:
        """All parts of one kind (at least one) on the day of departure."""
        found = self._departing.get(terms)
        if found is None:
            _, shop, within = terms
            first = self.of(parts[0].key, self.situation.move.out, shop=shop, read_within=within)
            found = self._departing[terms] = [first.at(part.key) for part in parts]
        return found


def view_of(
    situation: Situation, key: str, day: date, *, shop: bool = False, read_within: Period | None = None,
    arriving: bool = False,
) -> PartView:  # fmt: skip
    """One part on a day, on terms that no other asks for."""
    oldest = None if read_within is None else read_within.before(day)
    return PartView(situation, key, situation.values_of(key, shop=shop), day, shop, oldest, arriving=arriving)


Getter = Callable[[PartView], ObservedValue | None]
Test = Callable[[PartView], int]
"""One of the four degrees of `truth`, of what is seen."""
Decide = Callable[[ObservedValue | None, PartView], int]
"""One of the four degrees of `truth`, of a value and of where it was found."""


def plain_name(path: AttributePath) -> str:
    """The name of the attribute, of a path that leads to what is known of the part itself; else empty."""
    plain = not path.owner and path.fact is None and not path.beside and not path.attribute.derived
    return path.attribute.name if plain else ""


def plain_getter(path: AttributePath) -> Getter:
    """A function that finds the newest value of a path, None where nothing that counts shows it. Criteria look through
    `comparisons.getter`, which knows of papers that belong together."""
    attribute = path.attribute
    name = attribute.name
    if path.owner == FACT:
        return lambda view: from_facts(view.facts, name)
    own: Getter
    if attribute.derived:

        def own(view: PartView) -> ObservedValue | None:
            value = view.situation.derived(view.key, attribute, shop=view.shop)
            if value is None or view.oldest is None or value.on is None or value.on >= view.oldest:
                return value
            return None

    else:
        own = lambda view: view.values.get(name)  # noqa: E731

    placed = own
    if path.owner:
        owner = path.owner

        def placed(view: PartView) -> ObservedValue | None:
            there = view.of(owner)
            return None if there is None else own(there)

    if path.fact is None:
        return placed
    fact = path.fact.name

    def from_fact(view: PartView) -> ObservedValue | None:
        value = placed(view)
        return None if value is None or value.evidence is None else from_facts(value.evidence.facts, fact)

    return from_fact


def from_facts(facts: Mapping[str, Value] | None, name: str) -> ObservedValue | None:
    """A fact of a work, an event, a test or a paper, as criteria compare it."""
    value = None if facts is None else facts.get(name)
    return None if value is None else ObservedValue(value, None)


def _unless_left_open(path: AttributePath) -> Getter:
    """A value that decides a limit. A word that leaves the choice open decides none."""
    get, left_open = plain_getter(path), frozenset(word.casefold() for word in path.value_attribute.left_open)
    if not left_open:
        return get

    def decided(view: PartView) -> ObservedValue | None:
        value = get(view)
        return None if value is None or value.text in left_open else value

    return decided


def limit_getter(comparison: Comparison) -> Getter:
    """The limit of a comparison as a function of what is seen; it finds None where the part does not tell its limit."""
    match comparison.limit:
        case Fixed(values):
            fixed = ObservedValue(values[0], None)
            return lambda view: fixed
        case FromPart(path):
            return _unless_left_open(path)
        case ByTable(path, rows, otherwise):
            key = _unless_left_open(path)
            limits = {text.casefold(): ObservedValue(value, None) for text, value in rows.items()}
            rest = None if otherwise is None else ObservedValue(otherwise, None)

            def from_table(view: PartView) -> ObservedValue | None:
                chosen = key(view)
                text = None if chosen is None else chosen.text
                return None if text is None else limits.get(text, rest)

            return from_table
