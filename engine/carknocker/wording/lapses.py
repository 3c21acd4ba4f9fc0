"""What runs out on a day, as a fact: which reading, test or paper, of which day, and for how long it is good."""

from collections.abc import Iterable
from datetime import date, timedelta

import msgspec

from carknocker.documents import listed
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import compile_comparison
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import NEAR
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Day
from carknocker.rulebook.clauses import Comparison, EachOf, Fixed
from carknocker.rulebook.model import Criterion, Source
from carknocker.wording.limits import path_words
from carknocker.wording.parts import named, plural
from carknocker.wording.phrases import run_out


class LapseLine(msgspec.Struct, frozen=True):
    """What is good through a day, on some parts. what: the readings, tests or papers, without a day. said: the same
    with the day it was read or made and how long it is good. sources: of the criteria that ask for it."""

    what: str
    said: str
    parts: tuple[Part, ...]
    whole: bool
    sources: tuple[Source, ...]

    def text(self, index: JudgementIndex) -> str:
        """`Wheels L4, R4: rim thickness last measured 2026-09-12, good for 90 days`."""
        line = self.said if self.whole else f"{named(self.parts, index)}: {self.said}"
        return line[:1].upper() + line[1:]

    @property
    def in_brief(self) -> str:
        """`rim thickness of wheels`, for a narrow column."""
        if self.whole:
            return self.what
        kind = self.parts[0].kind
        return f"{self.what} of {plural(kind) if len(self.parts) > 1 else f'the {kind}'}"


def lapse_lines(lapsing: Iterable[tuple[Finding, date]], index: JudgementIndex) -> tuple[tuple[date, LapseLine], ...]:
    """Findings with the last day on which each is met, as one line for each fact, earliest day first. What several
    criteria ask for is told once, with the source of each."""
    groups: dict[tuple[date, str, str, bool], tuple[dict[str, Part], dict[Source, None]]] = {}
    for finding, last in lapsing:
        what, said = _fact(finding, last, index)
        parts, sources = groups.setdefault((last, what, said, finding.part.kind == "car"), ({}, {}))
        parts[finding.part.key] = finding.part
        sources[finding.criterion.source] = None
    found = [
        (day, LapseLine(what, said, tuple(index.in_order(parts.values())), whole, tuple(sources)))
        for (day, what, said, whole), (parts, sources) in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: one[0]))


def _fact(finding: Finding, last: date, index: JudgementIndex) -> tuple[str, str]:
    """What runs out after a day: without its day, and with it."""
    view, after = index.view(finding, last), index.view(finding, last + timedelta(days=1))
    looks = [(leaf, view, after) for leaf in index.compiled(finding.criterion).leaves]
    must = finding.criterion.must
    if isinstance(must, EachOf):
        inside = index.judgement.situation.standing.inside_of(view.key, must.kind)
        each = [compile_comparison(one) for one in comparisons_in(must.must)]
        looks += [(leaf, view.at(key), after.at(key)) for key in inside for leaf in each]
    ending = [(leaf.comparison, leaf.get(now)) for leaf, now, then in looks if leaf.test(now) >= NEAR > leaf.test(then)]
    by_end: dict[str, dict[str, None]] = {}
    for comparison, value in ending:
        by_end.setdefault(_end(comparison, value, finding, view), {})[path_words(comparison.path)] = None
    if not by_end:  # what it asks for stays as it is: from the next day on it asks it of this part
        title = finding.criterion.title
        return title, f"not asked for until then: {title}"
    names = list(dict.fromkeys(name for own in by_end.values() for name in own))
    return listed(names), "; ".join(_ended(tuple(own), end) for end, own in by_end.items())


def _ended(names: tuple[str, ...], end: str) -> str:
    """What ends, and how: of a paper, with the verb that goes with its name."""
    return f"{listed(names)} {f'on file {run_out(names)}' if end == _ON_FILE else end}".strip()


_ON_FILE = "on file"


def _end(comparison: Comparison, value: ObservedValue | None, finding: Finding, view: PartView) -> str:
    """When it was read or made, and for how long that is good."""
    evidence = finding.evidence if value is None or value.evidence is None else value.evidence
    kind = comparison.path.value_attribute.type
    if kind == "paper" or evidence is None:
        return _ON_FILE
    if value is not None and isinstance(value.value, Day):
        done = value.value.written
    elif evidence.on is None:
        return ""
    else:
        done = f"last {_DONE.get(kind, 'measured')} {evidence.on.isoformat()}"
    for_long = _good_for(comparison, finding.criterion, view)
    if evidence.until is not None and not for_long:
        return f"{done}; its own last day"
    return f"{done}, good for {for_long}" if for_long else done


_DONE = {"test": "made", "yes or no": "checked", "one of": "checked", "several of": "checked", "text": "read",
         "identity": "read"}  # fmt: skip


def _good_for(comparison: Comparison, criterion: Criterion, view: PartView) -> str:
    if comparison.word != "within":
        return "" if criterion.read_within is None else str(criterion.read_within)
    if isinstance(comparison.limit, Fixed):
        return listed((value_words(one) for one in comparison.limit.values), "or")
    limit = limit_getter(comparison)(view)
    return "" if limit is None else value_words(limit.value)
