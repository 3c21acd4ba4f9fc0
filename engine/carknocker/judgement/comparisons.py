"""One comparison of a clause as a function of a sight. The judgement and its explanation use the same function."""

from collections.abc import Callable

from msgspec.structs import replace

from carknocker.judgement import figures
from carknocker.judgement.dates import all_covered, dated, period, within
from carknocker.judgement.observed_value import ObservedValue, has_run_out, standing_tests, text_of
from carknocker.judgement.part_view import Getter, PartView, Test, from_facts, limit_getter, plain_getter
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN, opposite
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Value, Words
from carknocker.rulebook.clauses import FACT, AttributePath, Comparison, Fixed


def getter(path: AttributePath) -> Getter:
    """A function that finds the value of a path, None where nothing that counts shows it. Of several papers or
    tests that count, it looks at the newest one that is meant (`path.beside`); if none is, at the newest."""
    if not path.beside:
        return plain_getter(path)
    serving = _serving(path)
    newest = plain_getter(path)

    def get(sight: PartView) -> ObservedValue | None:
        papers = serving(sight)
        if not papers:
            return newest(sight)
        return (
            ObservedValue(papers[-1].value, papers[-1])
            if path.fact is None
            else from_facts(papers[-1].facts, path.fact.name)
        )

    return get


def _serving(path: AttributePath) -> Callable[[PartView], list[Evidence]]:
    """The papers or tests that count and are meant, oldest first."""
    asked = tuple(
        comparison_test(replace(one, path=AttributePath(FACT, one.path.value_attribute))) for one in path.beside
    )

    def serving(sight: PartView) -> list[Evidence]:
        return [paper for paper in papers_of(sight, path) if _meets(sight, paper, asked)]

    return serving


def _meets(sight: PartView, paper: Evidence, asked: tuple[Test, ...]) -> bool:
    looked = PartView(sight.situation, sight.key, sight.view, sight.day, sight.shop, facts=paper.facts)
    return all(test(looked) >= NEAR for test in asked)


def papers_of(sight: PartView, path: AttributePath) -> list[Evidence]:
    """The papers or tests of a path that count, oldest first; of tests, those that no failed one came after."""
    key = sight.situation.owner(sight.key, path.owner) if path.owner else sight.key
    papers = [] if key is None else sight.situation.counted(key, path.attribute.name)
    return standing_tests(papers) if path.attribute.type == "test" else papers


def comparison_test(comparison: Comparison) -> Test:
    """The comparison as a function of what is seen."""
    get = getter(comparison.path)
    is_test = comparison.path.attribute.type == "test" and comparison.path.fact is None
    base = _base_test(comparison, get)
    if not is_test:
        return base

    def passed_and(sight: PartView) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        if text_of(held.value) != "passed" or has_run_out(held, sight.day):
            return FAILS
        return base(sight)

    return passed_and


def _base_test(comparison: Comparison, get: Getter) -> Test:
    word = comparison.word
    if word == "shown":
        return lambda sight: UNKNOWN if get(sight) is None else HOLDS
    if word == "within":
        return within(comparison, get)
    if word == "in_force":
        return _in_force(comparison)
    if word in ("before", "after"):
        return dated(comparison, get, word)
    if comparison.path.value_attribute.type == "period":
        return period(comparison, get)
    limit = limit_getter(comparison)
    if word in figures.SIDES:
        return _with_limit(get, limit, figures.against(word))
    words = comparison.limit.values if isinstance(comparison.limit, Fixed) else ()
    match word:
        case "is" | "is_not":
            plain = _with_limit(get, limit, _is)
        case "one_of" | "none_of":
            plain = _one_of(get, words)
        case _:
            return _holds_all(get, words)
    return (lambda sight: opposite(plain(sight))) if word in ("is_not", "none_of") else plain


def _with_limit(get: Getter, limit: Getter, test: figures.FigureTest) -> Test:
    def compare(sight: PartView) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        bound = limit(sight)
        return UNKNOWN if bound is None else test(held, bound)

    return compare


def _is(held: ObservedValue, limit: ObservedValue) -> int:
    if limit.d or isinstance(limit.value, Bound):
        return figures.equal(held, limit)
    if held.text is None or limit.text is None:
        return UNKNOWN
    return HOLDS if held.text == limit.text else FAILS


def _one_of(get: Getter, values: tuple[Value, ...]) -> Test:
    limits = [ObservedValue(value, None) for value in values]
    words = frozenset(limit.text for limit in limits)
    figured = any(limit.d for limit in limits)

    def compare(sight: PartView) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        if figured:
            return max(_is(held, limit) for limit in limits)
        if isinstance(held.value, Words):
            return HOLDS if any(text.casefold() in words for text in held.value.texts) else FAILS
        if held.text is None:
            return UNKNOWN
        return HOLDS if held.text in words else FAILS

    return compare


def _holds_all(get: Getter, values: tuple[Value, ...]) -> Test:
    wanted = {text.casefold() for value in values if (text := text_of(value)) is not None}

    def compare(sight: PartView) -> int:
        held = get(sight)
        if held is None or not isinstance(held.value, Words):
            return UNKNOWN
        return HOLDS if wanted <= {text.casefold() for text in held.value.texts} else FAILS

    return compare


def _in_force(comparison: Comparison) -> Test:
    """Some paper that counts covers the day. A paper that names no last day covers nothing that it does not say."""
    path = comparison.path
    serving = _serving(path) if path.beside else None

    def compare(sight: PartView) -> int:
        papers = papers_of(sight, path)
        if not papers:
            return UNKNOWN
        if serving is not None:
            papers = serving(sight) or papers
        if all_covered(papers, sight.situation.move.out, sight.day):
            return HOLDS
        return FAILS if any(paper.until is not None for paper in papers) else UNKNOWN

    return compare
