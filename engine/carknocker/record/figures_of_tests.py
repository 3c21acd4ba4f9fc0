"""What a test tells beside its result, as a reading of its day: the leakage that a brake test gave, the insulation that
a test of the power line gave."""

from collections.abc import Iterable, Iterator, Mapping

from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence, Part, SureEntry
from carknocker.record.part_keys import kind_of_key
from carknocker.record.sheets_reader import gauge_uncertainty, resolution_of
from carknocker.record.values import Bound, Day, Figure, PressureDrop, Value
from carknocker.vocabulary.model import TestKind


def readings_of_tests(tests: Iterable[Evidence], parts: Iterable[Part], reporter: RecordReporter) -> Iterator[Evidence]:
    """A reading for each fact of a test that shows an attribute: of the part that was tested, or of the parts of that
    kind right inside it. Read by whoever made the test, with its gauge."""
    vocabulary = reporter.vocabulary
    kinds = {(kind.on, kind.attribute): kind for kind in vocabulary.tests.values() if kind.shows}
    parts = tuple(parts)
    for test in tests:
        kind = kinds.get((kind_of_key(test.part), test.attribute))
        for fact, (on, name) in () if kind is None else kind.shows.items():
            value = test.facts.get(fact)
            if kind is None or value is None:
                continue
            attribute = vocabulary.kinds[on].attributes[name]
            sure = _said_to_be_sure(kind, fact, value, reporter)
            inside = [part.key for part in parts if part.kind == on and part.container == test.part]
            for key in [test.part] if on == kind.on else inside:
                yield Evidence(
                    id=f"{key} {name}, {test.id}",
                    attribute=name,
                    part=key,
                    place=test.place if on == kind.on else key,
                    value=value,
                    sort="reading",
                    on=test.on,
                    where=test.where if sure is None else sure.where,
                    by=test.by,
                    gauge=test.gauge,
                    resolution=resolution_of(value, attribute, test.gauge, vocabulary.gauge_kinds),
                    sheet=f"{kind.name} of {test.on}" + (f" ({test.sheet})" if test.sheet else ""),
                    after=test.after,
                    gauge_uncertainty=gauge_uncertainty(value, test.gauge, vocabulary.gauge_kinds),
                    sure="" if sure is None else sure.why,
                    ungauged=isinstance(value, Figure | Bound | PressureDrop)
                    and (on, name) in vocabulary.read_with_gauge
                    and not _gauged(kind, test, vocabulary.gauge_kinds),
                )


def _gauged(kind: TestKind, test: Evidence, gauge_kinds: Mapping[str, object]) -> bool:
    """Whether a gauge of the right kind showed it, or a device that was in date."""
    if test.gauge is not None:
        return test.gauge.kind in kind.gauge or test.gauge.kind not in gauge_kinds
    due = test.facts.get("device_due")
    return isinstance(due, Day) and test.on is not None and due.first >= test.on


def _said_to_be_sure(kind: TestKind, fact: str, value: Value, reporter: RecordReporter) -> SureEntry | None:
    said = (f"the test `{kind.name}`", fact, value)
    return next((one for one in reporter.sure if (one.of, one.attribute, one.value) == said), None)
