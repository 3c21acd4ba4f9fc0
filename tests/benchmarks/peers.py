"""The same work done by general-purpose rule engines: each criterion on each part of its kind, true or false."""

from __future__ import annotations

from collections.abc import Callable
from importlib.metadata import version

from workload import SIGNS

from carknocker.rulebook.model import Criterion

Work = Callable[[], int]


def expression(criterion: Criterion) -> str:
    limit = criterion.must.limit.values[0].quantity.amount
    return f"{criterion.must.path.attribute.name} {SIGNS[criterion.must.word]} {float(limit)}"


def rule_engine_work(criteria: list[Criterion], by_kind: dict[str, list[dict[str, float]]]) -> Work:
    import rule_engine

    rules = [(one.of, rule_engine.Rule(expression(one))) for one in criteria]

    def work() -> int:
        return sum(rule.matches(values) for kind, rule in rules for values in by_kind[kind])

    return work


def zen_work(criteria: list[Criterion], by_kind: dict[str, list[dict[str, float]]]) -> Work:
    import zen

    rules = [(one.of, zen.compile_expression(expression(one))) for one in criteria]

    def work() -> int:
        return sum(rule.evaluate(values) for kind, rule in rules for values in by_kind[kind])

    return work


def cel_work(criteria: list[Criterion], by_kind: dict[str, list[dict[str, float]]]) -> Work:
    import cel

    rules = [(one.of, cel.compile(expression(one))) for one in criteria]

    def work() -> int:
        return sum(rule.execute(values) for kind, rule in rules for values in by_kind[kind])

    return work


def clips_work(criteria: list[Criterion], by_kind: dict[str, list[dict[str, float]]]) -> Work:
    """Facts of one template for each kind; one rule for each criterion, which notes the parts that meet it."""
    import clips

    environment = clips.Environment()
    met: list[object] = []
    environment.define_function(lambda name, part: met.append((name, part)), name="note-met")
    for kind, parts in by_kind.items():
        slots = " ".join(f"(slot {name} (type FLOAT))" for name in parts[0])
        environment.build(f"(deftemplate {_name(kind)} (slot part (type INTEGER)) {slots})")
    for one in criteria:
        attribute = one.must.path.attribute.name
        limit = float(one.must.limit.values[0].quantity.amount)
        test = f"(test ({SIGNS[one.must.word]} ?value {limit}))"
        environment.build(
            f"(defrule {one.name} ({_name(one.of)} (part ?part) ({attribute} ?value)) {test} "
            f"=> (note-met {one.name} ?part))"
        )
    templates = {kind: environment.find_template(_name(kind)) for kind in by_kind}

    def work() -> int:
        met.clear()
        environment.reset()
        for kind, parts in by_kind.items():
            for number, values in enumerate(parts):
                templates[kind].assert_fact(part=number, **values)
        environment.run()
        return len(met)

    return work


def _name(kind: str) -> str:
    return kind.replace(" ", "-")


PEERS = {
    "rule-engine": rule_engine_work,
    "zen-engine": zen_work,
    "common-expression-language": cel_work,
    "clipspy": clips_work,
}


def named(distribution: str) -> str:
    return f"{distribution} {version(distribution)}"
