"""Every worked line that a finding used, with its part: symbols, numbers, and the result with its unit."""

from collections.abc import Iterator

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.explanation import paths_of, worked_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.page.model import Entry
from carknocker.record.model import Part
from carknocker.record.values import Word
from carknocker.rulebook.clauses import Comparison, CountOf, EachOf
from carknocker.wording.parts import named


def worked_lines_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """The workings that findings on fitted parts used, by the figure they work out; each line with its parts.

    Workings that tell only whether a criterion applies count as used. Words that follow from the record are left out:
    they are not figures.
    """
    found: dict[tuple[str, str], dict[str, dict[str, Part]]] = {}
    parts = index.judgement.parts
    derived: dict[str, bool] = {}
    for finding in index.judgement.findings:
        name = finding.criterion.id
        if name not in derived:
            derived[name] = _uses_workings(finding)
        if finding.verdict == "not applicable" or not finding.part.fitted or not derived[name]:
            continue
        for comparison, sight in _looked_at(finding, index):
            for path in paths_of(comparison):
                used = worked_of(path, sight)
                if used is not None and not isinstance(used[1].value, Word):
                    key, worked = used
                    lines = found.setdefault((parts[key].kind, path.attribute.label), {})
                    lines.setdefault(worked.line, {})[key] = parts[key]
    return tuple(
        Entry(
            label[:1].upper() + label[1:],
            tuple(f"{named(of.values(), index)}: {line}" for line, of in lines.items()),
        )
        for (_, label), lines in found.items()
    )


def _uses_workings(finding: Finding) -> bool:
    criterion = finding.criterion
    return any(
        path.attribute.derived
        for clause in (criterion.when, criterion.unless, criterion.must)
        for comparison in comparisons_in(clause)
        for path in paths_of(comparison)
    )


def _looked_at(finding: Finding, index: JudgementIndex) -> Iterator[tuple[Comparison, PartView]]:
    criterion = finding.criterion
    sight = index.view(finding)
    plain = PartView(sight.situation, sight.key, sight.situation.values_of(sight.key), sight.day)
    for clause in (criterion.when, criterion.unless):
        for comparison in comparisons_in(clause, parts_inside=False):
            yield comparison, plain
    must = criterion.must
    for comparison in comparisons_in(must, parts_inside=False):
        yield comparison, sight
    if isinstance(must, (CountOf, EachOf)):
        for key in sight.situation.standing.reach(sight.key, must.kind):
            inside = sight.at(key)
            for comparison in comparisons_in(must):
                yield comparison, inside
