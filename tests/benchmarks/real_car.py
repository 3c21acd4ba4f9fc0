"""The largest demo car under its own rulebook: judged whole, its criteria alone, and its single comparisons beside the
same ones in general-purpose rule engines."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from peers import named
from rows import Row, bounded

from carknocker.cli.inputs import Place, read_both
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.findings import findings_of
from carknocker.judgement.judge import judge
from carknocker.judgement.part_view import PartView, PartViews, plain_name
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import NEAR
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import stand
from carknocker.record.values import Figure, Word
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.rulebook.model import Rulebook

DAY = date(2026, 10, 8)
SIGNS = {"over": ">", "at_least": ">=", "under": "<", "at_most": "<="}
Values = dict[str, float | str]
Timer = Callable[[list[Callable[[], object]]], list[float]]


def _read(folder: Path) -> tuple[CarRecord, Move, Rulebook]:
    car, move = read_both(Place(folder), None)
    return car, move, load_library(rulesets_folders()).rulebooks(move).at_out


def judged_whole(folder: Path, timed_in_turn: Timer) -> list[Row]:
    """The judgement of the car, and its criteria alone, a finding."""
    car, move, book = _read(folder)
    findings = len(judge(car, move, book, DAY).findings)
    situation = Situation(stand(car, move, DAY), move, {})
    compiled = prepare(book).criteria
    whole, own = timed_in_turn(
        [lambda: judge(car, move, book, DAY), lambda: findings_of(compiled, situation, lambda: None)]
    )
    label = f"judge of the largest demo car, {findings:,} findings / its criteria"
    return [
        Row(label, f"{whole * 1e3:.1f} ms / {own * 1e3:.2f} ms", f"{whole / own:.1f}"),
        Row("  a finding", f"{whole / findings * 1e6:.1f} µs / {own / findings * 1e6:.2f} µs"),
    ]


def comparisons_against_peers(folder: Path, timed_in_turn: Timer) -> list[Row]:
    """Its criteria that ask one figure or word of the part itself against a fixed limit, on every part that shows it:
    what all engines can express. The views of the parts are prepared for all; the other engines are handed the one
    value that they ask for. carknocker tells the degree of truth with the evidence; the others answer true or false."""
    car, move, book = _read(folder)
    situation = Situation(stand(car, move, DAY), move, {})
    views = PartViews(situation)
    pairs: list[tuple[CompiledCriterion, list[PartView]]] = []
    for one in prepare(book).criteria:
        name = _told_by_one_value(one)
        parts = situation.standing.by_kind.get(one.criterion.of, ())
        if name and parts:
            seen = [view for view in views.departing(parts, one.asked_terms) if name in _values(view)]
            if seen:
                pairs.append((one, seen))
    asked = [(one.decide, seen) for one, seen in pairs]

    def ours() -> int:
        return sum(decide(view)[0] >= NEAR for decide, seen in asked for view in seen)

    told = [(one.criterion.must, [_alone(one, view) for view in seen]) for one, seen in pairs]
    works = {name: build(told) for name, build in _ENGINES.items()}
    verdicts, met = sum(len(seen) for _, seen in pairs), ours()
    for name, work in works.items():
        if work() != met:
            raise SystemExit(f"{name} says {work()} of {met} met: not the same work")
    own, *others = timed_in_turn([ours, *works.values()])
    label = f"comparisons of that car, {len(pairs)} criteria, {verdicts:,} verdicts"
    rows = [Row(label, f"{own / verdicts * 1e6:.2f} µs a verdict", "1")]
    for name, took in zip(works, others, strict=True):
        rows.append(Row(f"  {named(name)}", f"{took / verdicts * 1e6:.2f} µs a verdict", f"{took / own:.1f}"))
    rows.append(bounded("  fastest of these / carknocker", "", min(others) / own, least=1, decimals=2))
    return rows


def _told_by_one_value(one: CompiledCriterion) -> str:
    """The attribute of a criterion that is one comparison with figures or words written in the edition; else empty."""
    must = one.criterion.must
    if not isinstance(must, Comparison) or not isinstance(must.limit, Fixed):
        return ""
    values = must.limit.values
    if must.word in SIGNS:
        fits = len(values) == 1 and isinstance(values[0], Figure)
    else:
        fits = must.word in ("is", "is_not", "one_of") and all(isinstance(value, Word) for value in values)
    return plain_name(must.path) if fits else ""


def _values(view: PartView) -> Values:
    """The figures and words of a part, as the other engines take them."""
    found: Values = {}
    for name, observed in view.values.items():
        if isinstance(observed.value, Figure):
            found[name] = float(observed.value.quantity.amount)
        elif observed.text is not None:
            found[name] = observed.text
    return found


def _alone(one: CompiledCriterion, view: PartView) -> Values:
    """The one value that a criterion asks for: the less an engine is handed, the quicker it answers."""
    name = _told_by_one_value(one)
    return {name: _values(view)[name]}


def _expression(must: Comparison) -> str:
    """A comparison in the words that the three engines have in common."""
    assert isinstance(must.limit, Fixed)
    name = must.path.attribute.name
    if must.word in SIGNS:
        value = must.limit.values[0]
        assert isinstance(value, Figure)
        return f"{name} {SIGNS[must.word]} {float(value.quantity.amount)}"
    words = [f'"{value.text.casefold()}"' for value in must.limit.values if isinstance(value, Word)]
    if len(words) == 1:
        return f"{name} {'!=' if must.word == 'is_not' else '=='} {words[0]}"
    return f"{name} in [{', '.join(words)}]"


Told = list[tuple[Comparison, list[Values]]]


def _rule_engine(told: Told) -> Callable[[], int]:
    import rule_engine

    rules = [(rule_engine.Rule(_expression(must)), parts) for must, parts in told]
    return lambda: sum(rule.matches(values) for rule, parts in rules for values in parts)


def _zen(told: Told) -> Callable[[], int]:
    import zen

    rules = [(zen.compile_expression(_expression(must)), parts) for must, parts in told]
    return lambda: sum(rule.evaluate(values) for rule, parts in rules for values in parts)


def _cel(told: Told) -> Callable[[], int]:
    import cel

    rules = [(cel.compile(_expression(must)), parts) for must, parts in told]
    return lambda: sum(rule.execute(values) for rule, parts in rules for values in parts)


_ENGINES = {"rule-engine": _rule_engine, "zen-engine": _zen, "common-expression-language": _cel}
