"""What a finding hangs on: the readings, facts and days that a comparison looks at; each could be otherwise."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.judgement.comparisons import getter
from carknocker.judgement.part_view import PartView
from carknocker.judgement.situation import Situation
from carknocker.questions.counterfactual.aims import Aim
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Value
from carknocker.rulebook.clauses import AttributePath, FromPart
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.workings import Worked

Turns = Literal["value", "fact", "on", "until"]
_FIXED_BY_DATES = ("out", "back")


class Knob(msgspec.Struct, frozen=True):
    """One thing that could be otherwise. evidence: all that shows it (what anyone read, and what an accepted
    person read, may be two). turns: the value, a fact of a test or paper, the day of the evidence, or the last
    day of a paper. role: what the aim compares itself, its limit, or a reading that a figure is worked
    out from."""

    evidence: tuple[Evidence, ...]
    attribute: Attribute
    fact: Attribute | None
    turns: Turns
    role: Literal["own", "limit", "used"]

    @property
    def key(self) -> tuple[str, ...]:
        return self.evidence[0].part, self.attribute.name, "" if self.fact is None else self.fact.name, self.turns

    @property
    def type(self) -> str:
        """The type of what is turned."""
        if self.turns in ("on", "until"):
            return "date"
        return (self.fact or self.attribute).type

    @property
    def now(self) -> Value | None:
        """What stands there."""
        first = self.evidence[0]
        match self.turns:
            case "value":
                return first.value
            case "fact":
                return None if self.fact is None else first.facts.get(self.fact.name)
            case "on":
                return _day(first.on)
            case "until":
                return _day(first.until)

    def turned(self, value: Value) -> Mapping[str, Evidence]:
        """The evidence with that value, by id."""
        return {one.id: self._one(one, value) for one in self.evidence}

    def _one(self, evidence: Evidence, value: Value) -> Evidence:
        if self.turns == "on" and isinstance(value, Day):
            return replace(evidence, on=value.first)
        if self.turns == "until" and isinstance(value, Day):
            return replace(evidence, until=value.first)
        if self.turns == "fact" and self.fact is not None:
            return replace(evidence, facts={**evidence.facts, self.fact.name: value})
        return replace(evidence, value=value)


def _day(day: date | None) -> Day | None:
    return None if day is None else Day(day, day, day.isoformat())


def knobs_of(aim: Aim, sight: PartView) -> Iterator[Knob]:
    """What an aim hangs on: its own value first, then a limit that another attribute gives."""
    comparison = aim.comparison
    own = sight.at(aim.key)
    yield from _of_path(comparison.path, own, _turns(aim), "own")
    if isinstance(comparison.limit, FromPart):
        yield from _of_path(comparison.limit.path, own, "value", "limit")


def _turns(aim: Aim) -> Turns:
    path, word = aim.comparison.path, aim.comparison.word
    if word == "in_force":
        return "until"
    if path.fact is not None:
        return "fact"
    if word in ("within", "before", "after") and path.attribute.type != "date":
        return "on"
    return "value"


def _of_path(path: AttributePath, sight: PartView, turns: Turns, role: Literal["own", "limit"]) -> Iterator[Knob]:
    situation = sight.situation
    owner = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if owner is None or path.owner == "fact":
        return
    attribute = path.attribute
    evidence = _shown(owner, path, sight)
    if evidence:
        if situation.standing.parts[owner].kind == "move" and attribute.name in _FIXED_BY_DATES:
            return
        failed = attribute.type == "test" and any(_failed(one) for one in evidence)
        yield Knob(evidence, attribute, path.fact, "value" if failed else turns, role)
    elif attribute.derived:
        yield from _used(owner, attribute, sight)


def _failed(evidence: Evidence) -> bool:
    text = getattr(evidence.value, "text", "passed")
    return bool(text.casefold() != "passed")


def _shown(owner: str, path: AttributePath, sight: PartView) -> tuple[Evidence, ...]:
    """The evidence that counts, by anyone and by accepted persons; of several papers the one that is looked at."""
    situation = sight.situation
    found: dict[str, Evidence] = {}
    held = getter(replace(path, fact=None))(sight)
    if held is not None and held.evidence is not None:
        found[held.evidence.id] = held.evidence
    for shop in (sight.shop, False):
        newest = situation.values_of(owner, shop=shop).get(path.attribute.name)
        if newest is not None and newest.evidence is not None and not (path.beside and found):
            found[newest.evidence.id] = newest.evidence
    return tuple(found.values())


def _used(owner: str, attribute: Attribute, sight: PartView) -> Iterator[Knob]:
    """Every reading that a figure was worked out from."""
    situation: Situation = sight.situation
    worked = situation.work_out(owner, attribute, shop=sight.shop)
    if not isinstance(worked, Worked):
        return
    vocabulary = load_vocabulary()
    for evidence in dict.fromkeys(one.id for one in worked.used):
        entry = next(one for one in worked.used if one.id == evidence)
        part = situation.standing.parts.get(entry.part)
        named = None if part is None else vocabulary.attribute(part.kind, entry.attribute)
        if named is not None and named.type not in ("identity", "text"):
            yield Knob((entry,), named, None, "value", "used")
