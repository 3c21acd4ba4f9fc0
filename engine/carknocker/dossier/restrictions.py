"""Restrictions for the whole car: each with its source, and what they come to together."""

from collections.abc import Iterator

import msgspec
from msgspec.structs import replace

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import DutyOnTheWay, RestrictionInForce
from carknocker.judgement.reliefs import used_for_the_move
from carknocker.judgement.restrictions import restriction_words, speed_limits
from carknocker.quantities import write_quantity
from carknocker.wording.causes import fact_words
from carknocker.wording.facts import UNLESS_SHOWN, only_undecided
from carknocker.wording.sources import place_words, source_words

_HEADINGS = {
    "speed": "Speed", "place": "Place in the train", "destination": "Where it may go", "riders": "Riders", "tag": "Tag",
    "handling": "Handling",
}  # fmt: skip
_RIDERS = ("nobody", "crew", "passengers")
_MOST_REASONS = 4
_MOST_IN_BRIEF = 4


class RestrictionLines(msgspec.Struct, frozen=True):
    """One restriction. rule: what it comes from and where that stands. lines: label and text, such as the rule with its
    words."""

    words: str
    rule: str
    lines: tuple[tuple[str, str], ...]


class RestrictionGroup(msgspec.Struct, frozen=True):
    """All restrictions of one sort. in_all: what they come to together. decided: what those of them come to that the
    record decides, empty where all come from what is not on record."""

    sort: str
    heading: str
    in_all: str
    decided: str
    restrictions: tuple[RestrictionLines, ...]

    @property
    def headline(self) -> str:
        """`Speed: at most 70 mph`; where only the want of a word on record restricts more, that it does."""
        words = f"{self.heading}: {self.in_all}"
        return words if self.in_all == self.decided else f"{words}, {UNLESS_SHOWN}"


def restrictions_of(index: JudgementIndex) -> tuple[RestrictionGroup, ...]:
    """The restrictions of a judgement, by sort."""
    in_force = index.judgement.restrictions
    groups = []
    for sort, heading in _HEADINGS.items():
        own = [one for one in in_force if one.restriction.sort == sort]
        if own:
            entries = tuple(_speeds(own, index) if sort == "speed" else (_entry(one, index) for one in own))
            decided = [one for one in own if not only_undecided(one.reasons, index)]
            told = _in_all(sort, decided, index) if decided else ""
            groups.append(RestrictionGroup(sort, heading, _in_all(sort, own, index), told, entries))
    return tuple(groups)


def restricted_to(index: JudgementIndex) -> str:
    """What a car that may move is restricted to, in few words, beside the word of its outcome: `70 mph, rear of train`;
    where it is restricted in nothing, the duties that are a condition of the move, or the host's permissions. Empty for
    a car that is ready without, or not ready."""
    judgement = index.judgement
    if judgement.outcome in ("ready", "not ready"):
        return ""
    by_sort = ((sort, [one for one in judgement.restrictions if one.restriction.sort == sort]) for sort in _HEADINGS)
    limits = [_in_all(sort, own, index) for sort, own in by_sort if own]
    duties = [_condition(one) for one in judgement.on_the_way if not one.routine]
    letters = [f"written permission {one.id}" for one in used_for_the_move(judgement.reliefs, judgement.findings)]
    told = [*dict.fromkeys(limits or duties or letters)]
    more = [f"and {len(told) - _MOST_IN_BRIEF} more"] if len(told) > _MOST_IN_BRIEF else []
    return ", ".join((*(one.removeprefix("at most ") for one in told[:_MOST_IN_BRIEF]), *more))


def _condition(duty: DutyOnTheWay) -> str:
    """A duty on the way that is a condition of the move."""
    if duty.finding is not None:
        return duty.finding.criterion.title
    if duty.duty is None:
        raise AssertionError("a duty on the way is about a finding, or it is a duty")
    wanted = duty.duty.requirement
    return wanted.test or wanted.spare or wanted.words


def _speeds(own: list[RestrictionInForce], index: JudgementIndex) -> Iterator[RestrictionLines]:
    """Each rule with the one speed that it leaves, the least of all that it names."""
    train = index.judgement.move.train_facts
    by_rule: dict[str, list[RestrictionInForce]] = {}
    for one in own:
        by_rule.setdefault(one.said_by, []).append(one)
    for restrictions in by_rule.values():
        limits = speed_limits(restrictions, train)
        words = f"at most {write_quantity(min(limits))}" if limits else restriction_words(restrictions[0].restriction)
        reasons = tuple(dict.fromkeys(reason for one in restrictions for reason in one.reasons))
        yield replace(_entry(replace(restrictions[0], reasons=reasons), index), words=words)


def _entry(one: RestrictionInForce, index: JudgementIndex) -> RestrictionLines:
    said_by = index.criteria.get(one.said_by) or index.consequences.get(one.said_by)
    lines: list[tuple[str, str]] = []
    rule = "" if said_by is None else f"{said_by.title} ({place_words(said_by.source)})"
    if said_by is not None:
        lines.append(("says", f"{said_by.title}, {source_words(said_by.source)}"))
    reasons = list(dict.fromkeys(fact_words(fact, index) for fact in one.reasons))
    if reasons:
        rest = len(reasons) - _MOST_REASONS
        more = f", and {rest} more" if rest > 0 else ""
        lines.append(("because", f"{'; '.join(reasons[:_MOST_REASONS])}{more}"))
    return RestrictionLines(restriction_words(one.restriction), rule, tuple(lines))


def _in_all(sort: str, own: list[RestrictionInForce], index: JudgementIndex) -> str:
    """What several restrictions of one sort come to together."""
    if sort == "speed":
        limits = speed_limits(own, index.judgement.move.train_facts)
        return f"at most {write_quantity(min(limits))}" if limits else restriction_words(own[0].restriction)
    if sort in ("place", "destination"):
        allowed = [
            word for word in own[0].restriction.words if all(word in one.restriction.words for one in own)
        ]  # fmt: skip
        words = " or ".join(allowed)
        return (f"{words} of train" if sort == "place" else words) if words else f"no {sort} satisfies all of them"
    if sort == "riders":
        strictest = min((one.restriction for one in own), key=lambda one: _RIDERS.index(one.words[0]))
        return restriction_words(strictest)
    return "; ".join(dict.fromkeys(word for one in own for word in one.restriction.words))
