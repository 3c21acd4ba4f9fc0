"""Words that fall between the criteria of a rulebook: with them nothing is asked, and nobody says why.

The *subject* of a criterion is its kind of part with an attribute that its `must` looks at, or with a kind that it
counts. A word is a hole of a subject if every refusing or restricting criterion of the subject is ruled out where the
choice has that word and nothing else is known.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

import msgspec

from carknocker.documents import Problem
from carknocker.record.values import Word
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    Unanswered,
)
from carknocker.rulebook.model import Criterion, Rulebook

_LEFT_OUT = ("move", "train")
"""Kind and name of the choice that is not tried: which law binds which train is said by the regimes of the law."""

_FAILS, _UNKNOWN, _HOLDS = 0, 1, 3
_Words = Mapping[str, str]
"""Path of a choice → the word that is tried."""


class Hole(msgspec.Struct, frozen=True):
    """Words with which no criterion of a subject asks. words: path of a choice → word; one choice, or two that one
    criterion names. criterion: the first that names them."""

    kind: str
    subject: str
    words: tuple[tuple[str, str], ...]
    criterion: Criterion


class _Asking(msgspec.Struct, frozen=True):
    """A criterion with the choices that its `when` and `unless` name, by path."""

    criterion: Criterion
    choices: Mapping[str, tuple[str, ...]]

    def ruled_out(self, words: _Words) -> bool:
        """Whether it surely does not apply where the choices have these words."""
        when, unless = self.criterion.when, self.criterion.unless
        return (when is not None and _truth(when, words) == _FAILS) or (
            unless is not None and _truth(unless, words) == _HOLDS
        )

    def closes(self, words: tuple[tuple[str, str], ...]) -> bool:
        """Whether it names all of these choices and says why one of the words is not asked about."""
        return all(path in self.choices for path, _ in words) and any(
            (one.path, one.word) in words for one in self.criterion.not_asked
        )


def holes(rulebook: Rulebook) -> tuple[Hole, ...]:
    """Every hole that is closed neither by `not_asked` nor by an unanswered criterion."""
    asking, unanswered = _by_subject(rulebook)
    return tuple(
        hole
        for (kind, subject), criteria in asking.items()
        for hole in _of_subject(kind, subject, criteria, unanswered.get(kind, ()))
    )


def hole_problems(rulebook: Rulebook) -> tuple[Problem, ...]:
    """The holes as problems, one for each subject and choice, at the criterion that names the choice."""
    grouped: dict[tuple[str, str, tuple[str, ...]], list[Hole]] = {}
    for hole in holes(rulebook):
        grouped.setdefault((hole.kind, hole.subject, tuple(path for path, _ in hole.words)), []).append(hole)
    return tuple(_problem(found) for found in grouped.values())


def _problem(found: list[Hole]) -> Problem:
    first = found[0]
    words = "; ".join(" and ".join(f"`{path}: {word}`" for path, word in hole.words) for hole in found)
    path, word = first.words[-1]
    return Problem(
        first.criterion.where,
        f"{first.criterion.id}: with {words} nothing is asked about {first.subject} of the {first.kind}",
        "each word of a choice asked about, or the reason why not",
        remedy=f"`not_asked: {{{path}: {{{word}: WHY}}}}` where the source leaves it out; where nobody knows, a "
        "criterion with `must: {unanswered: what such a part must have}`",
    )  # fmt: skip


def _by_subject(rulebook: Rulebook) -> tuple[dict[tuple[str, str], list[_Asking]], dict[str, list[_Asking]]]:
    """The criteria of each subject of which every one names a choice; and the unanswered criteria of each kind."""
    found: dict[tuple[str, str], list[_Asking]] = {}
    unanswered: dict[str, list[_Asking]] = {}
    always: set[tuple[str, str]] = set()
    for criterion in rulebook.criteria:
        if criterion.effect == "advise" and not criterion.relaxed_by:
            continue
        choices = dict(_choices(criterion.when)) | dict(_choices(criterion.unless))
        if isinstance(criterion.must, Unanswered):
            unanswered.setdefault(criterion.of, []).append(_Asking(criterion, choices))
            continue
        subjects = {(criterion.of, name) for name in _looked_at(criterion.must)}
        if choices:
            for subject in subjects:
                found.setdefault(subject, []).append(_Asking(criterion, choices))
        else:
            always |= subjects
    return {subject: criteria for subject, criteria in sorted(found.items()) if subject not in always}, unanswered


def _choices(clause: Clause | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The choices that a clause names of the part itself and of what it is in, with the words that are tried."""
    if isinstance(clause, Comparison):
        attribute = clause.path.value_attribute
        if attribute.type == "one of" and (attribute.kind, attribute.name) != _LEFT_OUT:
            yield str(clause.path), attribute.one_of
    elif isinstance(clause, AllOf | AnyOf):
        for member in clause.clauses:
            yield from _choices(member)


def _looked_at(clause: Clause, kind: str = "") -> Iterator[str]:
    """What a `must` looks at: attributes, of the part itself or of the parts inside, and kinds that are counted."""
    if isinstance(clause, Comparison):
        # whoever asks that a test has not failed does not ask for one
        said = f"a failed {clause.path}" if clause.word == "failed" else str(clause.path)
        yield f"{said} of each {kind}" if kind else said
    elif isinstance(clause, AllOf | AnyOf):
        for member in clause.clauses:
            yield from _looked_at(member, kind)
    elif isinstance(clause, EachOf):
        yield from _looked_at(clause.must, clause.kind)
    elif isinstance(clause, CountOf):
        yield f"the number of {clause.kind}s"


_Tried = tuple[tuple[str, str], ...]
"""Path of a choice and a word of it: one, or two."""


def _of_subject(
    kind: str, subject: str, criteria: list[_Asking], unanswered: Sequence[_Asking]
) -> Iterator[Hole]:  # fmt: skip
    """Each word alone; then, of words that are no hole alone, those of two choices that one criterion names."""
    alone: set[tuple[str, str]] = set()
    tried: set[_Tried] = set()
    for asking in criteria:
        for words in _alone(asking):
            if words not in tried:
                tried.add(words)
                if _nothing_asked(words, criteria):
                    alone.update(words)
                    if not _closed(words, criteria, unanswered):
                        yield Hole(kind, subject, words, asking.criterion)
    for asking in criteria:
        for words in _together(asking):
            if words not in tried and alone.isdisjoint(words):
                tried.add(words)
                if _nothing_asked(words, criteria) and not _closed(words, criteria, unanswered):
                    yield Hole(kind, subject, words, asking.criterion)


def _alone(asking: _Asking) -> Iterator[_Tried]:
    return (((path, word),) for path, words in asking.choices.items() for word in words)


def _together(asking: _Asking) -> Iterator[_Tried]:
    for first, second in combinations(sorted(asking.choices), 2):
        for one in asking.choices[first]:
            for two in asking.choices[second]:
                yield (first, one), (second, two)


def _nothing_asked(words: _Tried, criteria: Sequence[_Asking]) -> bool:
    given = dict(words)
    return all(one.ruled_out(given) for one in criteria)


def _closed(words: _Tried, criteria: Sequence[_Asking], unanswered: Sequence[_Asking]) -> bool:
    return any(one.closes(words) for one in criteria) or any(_answers(one, words) for one in unanswered)


def _answers(unanswered: _Asking, words: tuple[tuple[str, str], ...]) -> bool:
    """Whether an unanswered criterion is about some of these words."""
    return any(path in unanswered.choices for path, _ in words) and not unanswered.ruled_out(dict(words))


def _truth(clause: Clause, words: _Words) -> int:
    if isinstance(clause, Comparison):
        word = words.get(str(clause.path))
        return _UNKNOWN if word is None else _compared(clause, word)
    if isinstance(clause, AllOf):
        return min(_truth(member, words) for member in clause.clauses)
    if isinstance(clause, AnyOf):
        return max(_truth(member, words) for member in clause.clauses)
    return _UNKNOWN


def _compared(comparison: Comparison, word: str) -> int:
    if comparison.word == "shown":
        return _HOLDS
    if word in comparison.left_open or not isinstance(comparison.limit, Fixed):
        return _UNKNOWN
    among = any(isinstance(value, Word) and value.text == word for value in comparison.limit.values)
    if comparison.word in ("is", "one_of"):
        return _HOLDS if among else _FAILS
    if comparison.word in ("is_not", "none_of"):
        return _FAILS if among else _HOLDS
    return _UNKNOWN
