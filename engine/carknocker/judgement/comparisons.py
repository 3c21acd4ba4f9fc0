"""One comparison of a clause as a function of a part view. The judgement and its explanation use the same function."""

from collections.abc import Callable

from msgspec.structs import replace

from carknocker.judgement import figures
from carknocker.judgement.dates import all_covered, dated, period, within
from carknocker.judgement.observed_value import ObservedValue, has_run_out, standing_tests, text_of
from carknocker.judgement.part_view import (
    Decide,
    Getter,
    PartView,
    Test,
    from_facts,
    limit_getter,
    plain_getter,
    plain_name,
)
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN, opposite
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Value, Word, Words
from carknocker.rulebook.clauses import FACT, AttributePath, Comparison, Fixed, of_test


def getter(path: AttributePath) -> Getter:
    """A function that finds the value of a path, None where nothing that counts shows it. Of several papers or
    tests that count, it looks at the newest one that is meant (`path.beside`); if none is, at the newest."""
    if not path.beside:
        return plain_getter(path)
    meant = _papers_meant(path)
    newest = plain_getter(path)

    def get(view: PartView) -> ObservedValue | None:
        papers = meant(view)
        if not papers:
            return newest(view)
        paper = papers[-1]
        return ObservedValue(paper.value, paper) if path.fact is None else from_facts(paper.facts, path.fact.name)

    return get


def _papers_meant(path: AttributePath) -> Callable[[PartView], list[Evidence]]:
    """The papers or tests that count and are meant, oldest first."""
    asked = tuple(
        comparison_test(replace(one, path=AttributePath(FACT, one.path.value_attribute))) for one in path.beside
    )

    what = (str(path), *(f"{one.path} {one.word} {one.limit!r}" for one in path.beside))

    def meant(view: PartView) -> list[Evidence]:
        found = view.papers.get(what)
        if found is None:
            found = view.papers[what] = [paper for paper in papers_of(view, path) if _meets(view, paper, asked)]
        return found

    return meant


def _meets(view: PartView, paper: Evidence, asked: tuple[Test, ...]) -> bool:
    situation, key, shop = view.situation, view.key, view.shop
    values = view.values if view.oldest is None else situation.values_of(key, shop=shop)
    with_facts = PartView(situation, key, values, view.day, shop, facts=paper.facts)
    return all(test(with_facts) >= NEAR for test in asked)


def papers_of(view: PartView, path: AttributePath) -> list[Evidence]:
    """The papers or tests of a path that count, oldest first; of tests, those that no failed one came after."""
    key = view.situation.owner(view.key, path.owner) if path.owner else view.key
    papers = [] if key is None else view.situation.counted(key, path.attribute.name)
    return standing_tests(papers) if path.attribute.type == "test" else papers


def comparison_test(comparison: Comparison) -> Test:
    """The comparison as a function of what is seen."""
    name, decide = plain_name(comparison.path), decision(comparison)
    if name:
        return lambda view: decide(view.values.get(name), view)
    get = getter(comparison.path)
    return lambda view: decide(get(view), view)


def decision(comparison: Comparison) -> Decide:
    """The truth of a comparison as a function of the value that `getter` finds, and of where it was found."""
    if comparison.word == "failed":
        return _not_failed
    decide = _decision(comparison)
    left_open = comparison.left_open
    if left_open:
        decide = _unless_left_open(decide, frozenset(word.casefold() for word in left_open))
    if not of_test(comparison.path):
        return decide

    def passed_and(value: ObservedValue | None, view: PartView) -> int:
        if value is None:
            return UNKNOWN
        if text_of(value.value) != "passed" or has_run_out(value, view.day):
            return FAILS
        return decide(value, view)

    return passed_and


def _not_failed(value: ObservedValue | None, view: PartView) -> int:
    """A test that failed is bad news; none on record is no news."""
    return FAILS if value is not None and text_of(value.value) == "failed" else HOLDS


def _unless_left_open(decide: Decide, left_open: frozenset[str]) -> Decide:
    """A word that leaves the choice open may come to be any other one: nothing is decided by it."""
    return lambda value, view: UNKNOWN if value is not None and value.text in left_open else decide(value, view)


def _decision(comparison: Comparison) -> Decide:
    word = comparison.word
    match word:
        case "shown":
            return lambda value, view: UNKNOWN if value is None else HOLDS
        case "within":
            return within(comparison)
        case "in_force":
            return _in_force(comparison)
        case "before" | "after":
            return dated(comparison, word)
    if comparison.path.value_attribute.type == "period":
        return period(comparison)
    fixed = comparison.limit.values if isinstance(comparison.limit, Fixed) else ()
    if word in figures.SIDES:
        if fixed:
            at_limit = figures.at_limit(word, ObservedValue(fixed[0], None))
            return lambda value, view: UNKNOWN if value is None else at_limit(value)
        test = figures.against(word)
    elif word in ("is", "is_not"):
        if len(fixed) == 1 and isinstance(fixed[0], Word):
            return _one_of_words(frozenset((fixed[0].text.casefold(),)), lists=False, negated=word == "is_not")
        test = _is if word == "is" else _is_not
    elif word == "holds_all":
        return _holds_all(fixed)
    else:
        return _one_of(fixed, negated=word == "none_of")
    if fixed:
        return _with_fixed(ObservedValue(fixed[0], None), test)
    return _with_limit(limit_getter(comparison), test)


def _with_fixed(limit: ObservedValue, test: figures.FigureTest) -> Decide:
    return lambda value, view: UNKNOWN if value is None else test(value, limit)


def _with_limit(limit: Getter, test: figures.FigureTest) -> Decide:
    def decide(value: ObservedValue | None, view: PartView) -> int:
        if value is None:
            return UNKNOWN
        bound = limit(view)
        return UNKNOWN if bound is None else test(value, bound)

    return decide


def _is(value: ObservedValue, limit: ObservedValue) -> int:
    if limit.d or isinstance(limit.value, Bound):
        return figures.equal(value, limit)
    if value.text is None or limit.text is None:
        return UNKNOWN
    return HOLDS if value.text == limit.text else FAILS


def _is_not(value: ObservedValue, limit: ObservedValue) -> int:
    return opposite(_is(value, limit))


def _one_of(values: tuple[Value, ...], *, negated: bool) -> Decide:
    limits = [ObservedValue(value, None) for value in values]
    if not any(limit.d for limit in limits):
        words = frozenset(limit.text for limit in limits if limit.text is not None)
        return _one_of_words(words, lists=True, negated=negated)

    def decide(value: ObservedValue | None, view: PartView) -> int:
        if value is None:
            return UNKNOWN
        truth = max(_is(value, limit) for limit in limits)
        return opposite(truth) if negated else truth

    return decide


def _one_of_words(words: frozenset[str], *, lists: bool, negated: bool) -> Decide:
    """Whether a word is one of several, or `negated` none of them. lists: of a list of words, some word of it."""
    among, apart = (FAILS, HOLDS) if negated else (HOLDS, FAILS)

    def decide(value: ObservedValue | None, view: PartView) -> int:
        if value is None:
            return UNKNOWN
        text = value.text
        if text is not None:
            return among if text in words else apart
        if lists and isinstance(value.value, Words):
            return among if any(one.casefold() in words for one in value.value.texts) else apart
        return UNKNOWN

    return decide


def _holds_all(values: tuple[Value, ...]) -> Decide:
    wanted = {text.casefold() for value in values if (text := text_of(value)) is not None}

    def decide(value: ObservedValue | None, view: PartView) -> int:
        if value is None or not isinstance(value.value, Words):
            return UNKNOWN
        return HOLDS if wanted <= {text.casefold() for text in value.value.texts} else FAILS

    return decide


def _in_force(comparison: Comparison) -> Decide:
    """Some paper that counts covers the day. A paper that names no last day covers nothing that it does not say."""
    path = comparison.path
    meant = _papers_meant(path) if path.beside else None

    def decide(value: ObservedValue | None, view: PartView) -> int:
        papers = papers_of(view, path)
        if not papers:
            return UNKNOWN
        if meant is not None:
            papers = meant(view) or papers
        if all_covered(papers, view.situation.move.out, view.day):
            return HOLDS
        return FAILS if any(paper.until is not None for paper in papers) else UNKNOWN

    return decide
