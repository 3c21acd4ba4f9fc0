"""Values that would meet a criterion: on the good side of its limits, and of those that suit the most others.

A plan assumes these values and says so; nobody has read them."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import pairwise

import msgspec
from msgspec.structs import replace

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, Test, limit_getter
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Count, Day, Figure, Interval, Value, Word, Words
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    FromPart,
    Unanswered,
    WordName,
)
from carknocker.rulebook.model import Criterion, Requires, Restricts, Rulebook
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS

_STEP = Fraction(1, 16)
_AHEAD = 400  # days; a paper or a device is taken to be good for about a year


class Limits:
    """Every comparison of a rulebook by the attribute that it looks at: a value is to suit all of them at once."""

    def __init__(self, rulebook: Rulebook) -> None:
        self._found: dict[tuple[str, str], list[tuple[Comparison, str]]] = {}
        self._against: dict[tuple[str, str], list[tuple[Comparison, str, str]]] = {}
        self._burdens: dict[tuple[str, str], list[Comparison]] = {}
        for criterion in rulebook.criteria:
            for clause, kind in _leaves(criterion.must, criterion.of):
                attribute = clause.path.attribute
                self._found.setdefault((clause.path.owner or kind, attribute.name), []).append((clause, criterion.id))
                if isinstance(clause.limit, FromPart) and not clause.path.owner:
                    limit = clause.limit.path
                    told = (clause, criterion.id, kind)
                    self._against.setdefault((limit.owner or kind, limit.attribute.name), []).append(told)

        for consequence in rulebook.consequences:
            if any(isinstance(one, Requires | Restricts) for one in consequence.yields):
                for cause in consequence.causes:
                    if cause.sort == "state" and isinstance(cause.when, Comparison):
                        path = cause.when.path
                        self._burdens.setdefault((path.owner or cause.of, path.attribute.name), []).append(cause.when)

    def burdens(self, kind: str, attribute: Attribute) -> tuple[Comparison, ...]:
        """What of an attribute calls for a test or a spare, or restricts the car, where it holds."""
        return tuple(self._burdens.get((kind, attribute.name), ()))

    def of(self, kind: str, attribute: Attribute) -> tuple[tuple[Comparison, str], ...]:
        """The comparisons with an attribute of a kind of part, each with the criterion that makes it."""
        return tuple(self._found.get((kind, attribute.name), ()))

    def against(self, kind: str, attribute: Attribute) -> tuple[tuple[Comparison, str, str], ...]:
        """The comparisons of other figures with this attribute, with the criterion and the kind that they are of."""
        return tuple(self._against.get((kind, attribute.name), ()))


def _leaves(clause: Clause, kind: str) -> Iterator[tuple[Comparison, str]]:
    match clause:
        case Comparison():
            yield clause, kind
        case AllOf(clauses) | AnyOf(clauses):
            for member in clauses:
                yield from _leaves(member, kind)
        case EachOf():
            yield from _leaves(clause.must, clause.kind)
        case CountOf(word="at_least" | "over"):
            if clause.when is not None:
                yield from _leaves(clause.when, clause.kind)
        case CountOf() | Unanswered():
            return


def candidates(attribute: Attribute, held: Value | None, limits: Sequence[Value], day: date) -> Iterator[Value]:
    """Values of an attribute that are worth trying against limits, the plainest first. held: what is on record."""
    if held is not None:
        yield held
    if attribute.type == "date":
        yield Day(day, day, day.isoformat())
        later = date.fromordinal(min(day.toordinal() + _AHEAD, date.max.toordinal()))
        yield Day(later, later, later.isoformat())
    figures = sorted({limit.quantity for limit in limits if isinstance(limit, Figure)}, key=lambda one: one.amount)
    yield from _figures(figures, attribute)
    for limit in limits:
        if isinstance(limit, Count):
            yield from (Count(limit.number), Count(limit.number + 1), Count(max(limit.number - 1, 0)))
        elif isinstance(limit, (Word, Day, Interval)):
            yield limit
        elif isinstance(limit, Words):
            yield limit
            yield from (Word(text) for text in limit.texts)
    yield from _by_type(attribute, bool(figures))


def _by_type(attribute: Attribute, figures: bool) -> Iterator[Value]:
    """What any attribute of the type may be."""
    if attribute.type == "list of":
        yield Words(attribute.one_of)
    yield from (Word(text) for text in attribute.one_of)
    if attribute.type == "yes or no":
        yield from (Word("yes"), Word("no"))
    elif attribute.type == "count":
        yield Count(0)
    elif attribute.type in ("text", "identity"):
        yield Word("to be entered")
    elif not figures and attribute.type not in ("date", "one of", "list of", "period"):
        yield Figure(Quantity.of(attribute.type, _well_inside(attribute)))


def _well_inside(attribute: Attribute) -> Fraction:
    """An amount, in the base unit, a quarter of the way up the range in which such a thing usually is."""
    usual = None if attribute.ranges is None else attribute.ranges.usual
    if usual is None or usual.least is None or usual.most is None:
        return Fraction(1)
    least, most = (Fraction(end.n, end.d) for end in (usual.least, usual.most))
    return least + (most - least) / 4


def _usual(attribute: Attribute, value: Value) -> bool:
    """Whether a value lies where such a thing usually is: any other would be doubtful."""
    usual = None if attribute.ranges is None else attribute.ranges.usual
    if usual is None or usual.anchors:
        return True
    if isinstance(value, Figure):
        return usual.holds(value.quantity)
    return not isinstance(value, Count) or usual.holds(value.number)


def _figures(limits: list[Quantity], attribute: Attribute) -> Iterator[Value]:
    """Figures between the limits, then a step beyond them, then the limits themselves."""
    if not limits:
        return
    step = attribute.reads_to.amount if attribute.reads_to is not None else _STEP
    amounts = [limit.amount for limit in limits]
    between = [(low + high) / 2 for low, high in pairwise(amounts)]
    beyond = [amounts[-1] + step, *([amounts[0] - step] if attribute.signed or amounts[0] >= step else [])]
    floor = [] if attribute.signed else [Fraction(0)]
    for amount in (*between, *beyond, *amounts, *floor):
        yield Figure(Quantity.of(limits[0].dimension, amount, limits[0].unit))


_OTHER_WAY: dict[WordName, WordName] = {
    "at_least": "at_most", "at_most": "at_least", "over": "under", "under": "over", "is": "is", "is_not": "is_not",
    "before": "after", "after": "before",
}  # fmt: skip


def turned_round(clause: Comparison, own: Value) -> Comparison | None:
    """What a comparison with an attribute of another part asks of that attribute, where its own side is known. None
    where the limit is no attribute, or the word has no other side."""
    word = _OTHER_WAY.get(clause.word)
    if word is None or not isinstance(clause.limit, FromPart):
        return None
    path = replace(clause.limit.path, owner="")
    return replace(clause, path=path, word=word, limit=Fixed((own,)))


class Suiting:
    """Finds values on parts of one situation, dated one day. applies: the criteria, by id and part, that apply there;
    others need not be suited."""

    def __init__(self, situation: Situation, limits: Limits, day: date, applies: frozenset[tuple[str, str]]) -> None:
        self._situation = situation
        self._limits = limits
        self._day = day
        self._applies = applies
        self._tests: dict[int, tuple[Comparison, Test]] = {}  # by identity; what is kept here stays alive

    def _sight(self, key: str) -> PartView:
        situation = self._situation
        return PartView(situation, key, situation.values_of(key), situation.move.out)

    def _kind(self, key: str) -> str:
        return self._situation.standing.parts[key].kind

    def facts_of(self, attribute: Attribute, owner: str) -> tuple[tuple[str, Value], ...]:
        """The facts of a test or paper that criteria ask for, on their good side."""
        kind = self._situation.standing.parts[owner].kind
        facts: dict[str, Value] = {}
        for clause, criterion in self._limits.of(kind, attribute):
            fact = clause.path.fact
            if fact is not None and fact.name not in facts and (criterion, owner) in self._applies:
                value = next(iter(self._candidates(fact, (clause,), owner)), None)
                if value is not None:
                    facts[fact.name] = value
        return tuple(sorted(facts.items()))

    def _value(self, attribute: Attribute, clause: Comparison, key: str, holds: bool) -> Value | None:
        """The value that suits this comparison, and of those the one that suits the most others. Where nothing shows
        yet what it is compared with, that is found to suit it later."""
        situation = self._situation
        kind = situation.standing.parts[key].kind
        asked = (key, *situation.standing.containers(key))
        others = tuple(
            one
            for one, criterion in self._limits.of(clause.path.owner or kind, attribute)
            if one.path.fact is None and any((criterion, part) in self._applies for part in asked)
        ) + tuple(self._seen_from(key, kind, attribute))
        burdens = self._limits.burdens(kind, attribute)
        best: Value | None = None
        most = (False, -1)
        open_ = holds and isinstance(clause.limit, FromPart) and not self._limits_of(clause, key)
        for value in self._candidates(attribute, (clause, *others, *burdens), key):
            good = self._suits(clause, value, key) if holds else self._clashes(clause, value, key)
            if good or open_:
                suited = sum(self._suits(one, value, key) for one in others)
                suited += sum(self._clashes(one, value, key) for one in burdens)
                if (_usual(attribute, value), suited) > most:
                    best, most = value, (_usual(attribute, value), suited)
        return best

    def _seen_from(self, key: str, kind: str, attribute: Attribute) -> Iterator[Comparison]:
        """What figures of other parts that are compared with this one ask of it."""
        for clause, criterion, of in self._limits.against(kind, attribute):
            for other in self._situation.standing.reach(key, of):
                own = self._situation.values_of(other).get(clause.path.attribute.name)
                asked = None if own is None else turned_round(clause, own.value)
                if asked is not None and (criterion, other) in self._applies:
                    yield asked

    def _suits(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) >= NEAR

    def _clashes(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) == FAILS

    def _truth(self, clause: Comparison, value: Value, key: str) -> int:
        """The comparison with the value in the place of what is on record."""
        name = clause.path.attribute.name
        sight = self._sight(key)
        reading = Evidence(
            "assumed", name, key, key, value, "reading", self._day,
            next(iter(self._situation.standing.parts.values())).where,
        )  # fmt: skip
        view = {**sight.values, name: ObservedValue(value, reading)}
        return self._test(clause)(PartView(self._situation, key, view, sight.day))

    def _test(self, clause: Comparison) -> Test:
        """The test of a comparison, as if its figure were read on the part itself. Made once for each comparison: it is
        asked about many values."""
        known = self._tests.get(id(clause))
        if known is None:
            attribute = replace(clause.path.attribute, derived="")
            plain = replace(clause, path=replace(clause.path, owner="", attribute=attribute))
            known = self._tests[id(clause)] = (clause, comparison_test(plain))
        return known[1]

    def _candidates(self, attribute: Attribute, clauses: tuple[Comparison, ...], key: str) -> Iterator[Value]:
        held = self._situation.values[key].get(attribute.name)
        limits = [value for clause in clauses for value in self._limits_of(clause, key)]
        return candidates(attribute, None if held is None else held.value, limits, self._day)

    def _limits_of(self, clause: Comparison, key: str) -> tuple[Value, ...]:
        if clause.word in ("shown", "failed"):
            return ()
        if isinstance(clause.limit, Fixed):
            return clause.limit.values
        held = limit_getter(clause)(self._sight(key))
        return () if held is None else (held.value,)


"""What the move states is not read on the car."""


class Wanted(msgspec.Struct, frozen=True):
    """An attribute of a part that has to be shown, with the value that is assumed. facts: of a test or paper."""

    part: str
    attribute: Attribute
    value: Value
    facts: tuple[tuple[str, Value], ...] = ()


class Assumer(Suiting):
    """Finds what would meet a criterion on a part of one situation."""

    def meeting(self, criterion: Criterion, part: str) -> tuple[Wanted, ...] | None:
        """What would meet the criterion on the part; None where nothing that is read or tested can. One that no rule
        answers (`unanswered`) is met by what shows that it does not apply, where nothing shows that yet."""
        if isinstance(criterion.must, Unanswered):
            return None if criterion.when is None else self.ruling_out(criterion.when, part)
        return self._holding(criterion.must, part)

    def ruling_out(self, clause: Clause, key: str) -> tuple[Wanted, ...] | None:
        """What would make a clause fail that is undecided; nothing on record is taken to be otherwise."""
        match clause:
            case Comparison():
                return self._comparing(clause, key, holds=False) if self._undecided(clause, key) else None
            case AllOf(clauses):
                return next((found for one in clauses if (found := self.ruling_out(one, key)) is not None), None)
            case AnyOf(clauses):
                return _together(self.ruling_out(one, key) for one in clauses if self._undecided(one, key))
            case _:
                return None

    def _undecided(self, clause: Clause, key: str) -> bool:
        return clause_test(clause)(self._sight(key)) == UNKNOWN

    def _holding(self, clause: Clause, key: str) -> tuple[Wanted, ...] | None:
        match clause:
            case Comparison():
                return self._comparing(clause, key)
            case AllOf(clauses):
                return _together(self._holding(member, key) for member in clauses)
            case AnyOf(clauses):
                # what is nearest to hold already is what the car is built to
                order = sorted(clauses, key=lambda member: -clause_test(member)(self._sight(key)))
                return next((found for member in order if (found := self._holding(member, key)) is not None), None)
            case EachOf(kind, when, must):
                inside = self._situation.standing.reach(key, kind)
                asked = [
                    one for one in inside if when is None or clause_test(when)(self._sight(one)) != FAILS
                ]  # fmt: skip
                return _together(self._holding(must, one) for one in asked)
            case CountOf():
                return self._counting(clause, key)
            case Unanswered():
                return None

    def _counting(self, clause: CountOf, key: str) -> tuple[Wanted, ...] | None:
        """Where at most some may be so: that none is. Where some must be: that every one is."""
        if clause.when is None:
            return None
        inside = self._situation.standing.reach(key, clause.kind)
        if clause.word in ("at_most", "under"):
            return _together(self._failing(clause.when, one) for one in inside)
        if clause.word in ("at_least", "over") and len(inside) >= clause.number + (clause.word == "over"):
            return _together(self._holding(clause.when, one) for one in inside)
        return None

    def _failing(self, clause: Clause, key: str) -> tuple[Wanted, ...] | None:
        test = clause_test(clause)
        if test(self._sight(key)) == FAILS:
            return ()
        match clause:
            case Comparison():
                return self._comparing(clause, key, holds=False)
            case AllOf(clauses) | AnyOf(clauses):
                found = [self._failing(member, key) for member in clauses]
                if isinstance(clause, AnyOf):
                    return _together(found)
                return next((one for one in found if one is not None), None)
            case _:
                return None

    def _comparing(self, clause: Comparison, key: str, holds: bool = True) -> tuple[Wanted, ...] | None:
        path = clause.path
        owner = self._situation.owner(key, path.owner) if path.owner else key
        if owner is None or self._kind(owner) in MOVE_KINDS or self._waits_for_its_limit(clause, owner):
            return self._limit_itself(clause, key, owner) if holds else None
        attribute = path.attribute
        if holds and attribute.description and comparison_test(clause)(self._sight(key)) >= NEAR:
            return ()
        if attribute.type in ("test", "paper"):
            word = "passed" if attribute.type == "test" else "yes"
            return (Wanted(owner, attribute, Word(word), self.facts_of(attribute, owner)),)
        value = self._value(attribute, clause, key, holds)
        return None if value is None else (Wanted(owner, attribute, value),)

    def _waits_for_its_limit(self, clause: Comparison, owner: str) -> bool:
        """Whether the figure is on record, and what it is compared with is not."""
        view = self._situation.values_of
        if not isinstance(clause.limit, FromPart) or view(owner).get(clause.path.attribute.name) is None:
            return False
        path = clause.limit.path
        limit = self._situation.owner(owner, path.owner) if path.owner else owner
        return limit is not None and view(limit).get(path.attribute.name) is None

    def _limit_itself(self, clause: Comparison, key: str, owner: str | None) -> tuple[Wanted, ...] | None:
        """What would suit a figure that stands fast, where it is compared with one that is not on record yet."""
        own = None if owner is None else self._situation.values_of(owner).get(clause.path.attribute.name)
        asked = None if own is None else turned_round(clause, own.value)
        if asked is None or owner is None or not isinstance(clause.limit, FromPart):
            return None
        path = clause.limit.path
        other = self._situation.owner(key, path.owner) if path.owner else key
        if (
            other is None
            or self._kind(other) in MOVE_KINDS
            or self._situation.values_of(other).get(path.attribute.name)
        ):
            return None
        value = self._value(path.attribute, asked, other, True)
        return None if value is None else (Wanted(other, path.attribute, value),)


def _together(found: Iterable[tuple[Wanted, ...] | None]) -> tuple[Wanted, ...] | None:
    """All of them, or None where one can't be had."""
    together: dict[tuple[str, str], Wanted] = {}
    for one in found:
        if one is None:
            return None
        together.update({(wanted.part, wanted.attribute.name): wanted for wanted in one})
    return tuple(together.values())
