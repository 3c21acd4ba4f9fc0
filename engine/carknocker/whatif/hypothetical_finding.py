"""A finding asked again with some of the record otherwise: the same functions that judged it, on a changed standing.
What was void stays void. What is put in the place of what is on record is taken as sure; what it makes doubtful counts
only against the car, and what was doubtful beside it need not be so any more."""

from collections.abc import Collection, Mapping
from datetime import date

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.comparisons import getter
from carknocker.judgement.doubts import doubts_anew, reasons_of_doubts
from carknocker.judgement.evidence import uncounted
from carknocker.judgement.findings import judge_part, view_for_must, view_for_when
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.looks import looks_of, seen_by
from carknocker.judgement.model import Finding
from carknocker.judgement.set_aside import SetAside
from carknocker.judgement.situation import Situation
from carknocker.judgement.worse_findings import worse_verdict
from carknocker.record.model import Evidence, Move
from carknocker.record.standing import PartPaths, Standing, move_parts, stand
from carknocker.record.values import Day
from carknocker.rulebook.clauses import Fixed
from carknocker.rulebook.model import Verdict

AS_ASKED = "as asked"
"""Why a value that is only asked about is sure."""


def situation_with(index: JudgementIndex, finding: Finding, otherwise: Mapping[str, Evidence]) -> Situation:
    """The situation in which a finding is as it is, with evidence, by id, in the place of what is on record."""
    return _situation_with(index, otherwise, index.judgement.situation_of(finding))


def _situation_with(index: JudgementIndex, otherwise: Mapping[str, Evidence], before: Situation) -> Situation:
    standing = _with(index.standing, otherwise)
    anew = {one.part for one in otherwise.values()}
    return Situation(standing, index.judgement.move, before.excluded, before, anew=anew)


def verdict_with(index: JudgementIndex, finding: Finding, otherwise: Mapping[str, Evidence]) -> Verdict:
    """What a finding would be with that evidence."""
    judgement = index.judgement
    sure = {name: replace(one, sure=one.sure or AS_ASKED) for name, one in otherwise.items()}
    as_said = _situation_with(index, sure, judgement.as_said or judgement.situation)
    verdict = verdict_in(index, finding, as_said)
    aside = _uncounted(index)
    if not _looks_beyond(index, finding, as_said, {one for one in sure if one not in aside}):
        return verdict
    counted = Situation(as_said.standing, as_said.move, {**as_said.excluded, **aside}, as_said) if aside else as_said
    doubts = doubts_anew(counted, index.mending, index.limits)
    if doubts or aside:
        without = Situation(
            counted.standing, counted.move, {**reasons_of_doubts(doubts, counted), **counted.excluded}, counted
        )
        return worse_verdict(verdict, verdict_in(index, finding, without))
    return verdict


def _uncounted(index: JudgementIndex) -> Mapping[str, SetAside]:
    day = index.standing.on_day
    return {} if day is None or index.judgement.as_said is None else uncounted(day)


def _looks_beyond(index: JudgementIndex, finding: Finding, situation: Situation, sure: Collection[str]) -> bool:
    """Whether a finding looks at anything that might be doubtful: at more than what is sure."""
    one, part = index.compiled(finding.criterion), situation.standing.parts[finding.part.key]
    looks = looks_of(one.criterion.must, one.criterion.when, one.criterion.unless)
    out = situation.move.out
    views = (view_for_when(part, situation, out), view_for_must(one, part, situation, out))
    return any(entry.id not in sure for view in views for entry in seen_by(looks, view))


def verdict_on(index: JudgementIndex, finding: Finding, move: Move) -> Verdict:
    """What a finding would be on another move, or on the same one on other days."""
    standing = stand(index.judgement.car, move, index.judgement.as_of)
    anew = [part.key for part, _ in move_parts(move)]
    judgement = index.judgement
    verdicts = [
        verdict_in(index, finding, Situation(standing, move, before.excluded, before, anew=anew))
        for before in (judgement.situation, judgement.as_said)
        if before is not None
    ]
    return worse_verdict(*verdicts)


def verdict_in(index: JudgementIndex, finding: Finding, situation: Situation) -> Verdict:
    """What a finding would be in another situation of the same car."""
    part = situation.standing.parts[finding.part.key]
    return judge_part(index.compiled(finding.criterion), part, situation, lambda: None).verdict


def lapses_however_fresh(index: JudgementIndex, finding: Finding, day: date) -> bool:
    """Whether a finding that lapses would lapse too if all that it rests on were read, tested and renewed on a day: the
    move lasts longer than its criterion accepts anything. False where that is not certain: where a paper may be issued
    for as long as it takes, where another limit may come to apply, or where parts inside are asked about."""
    criterion = finding.criterion
    comparisons = list(comparisons_in(criterion.must))
    conditions = (*comparisons_in(criterion.when), *comparisons_in(criterion.unless))
    if finding.verdict != "lapses" or any(not one.path.attribute.description for one in conditions):
        return False
    if not all(isinstance(one.limit, Fixed) and one.path.attribute.type != "paper" for one in comparisons):
        return False
    view = index.view(finding)
    fresh: dict[str, Evidence] = {}
    for one in comparisons_in(criterion.must, parts_inside=False):
        seen = getter(one.path)(view)
        if seen is None or seen.evidence is None:
            return False
        fresh[seen.evidence.id] = _made_on(seen.evidence, day)
    return bool(fresh) and verdict_with(index, finding, fresh) == "lapses"


def _made_on(evidence: Evidence, day: date) -> Evidence:
    """The same evidence of another day; a day that it tells is that day too."""
    value = Day(day, day, day.isoformat()) if isinstance(evidence.value, Day) else evidence.value
    on = None if evidence.sort == "description" else day
    return replace(evidence, value=value, on=on, until=None)


def _with(standing: Standing, otherwise: Mapping[str, Evidence]) -> Standing:
    evidence = dict(standing.evidence)
    latest = standing.as_of
    for name, new in otherwise.items():
        own = dict(evidence[new.part])
        entries = [new if one.id == name else one for one in own[new.attribute]]
        own[new.attribute] = tuple(sorted(entries, key=lambda one: one.on or date.min))
        evidence[new.part] = own
        latest = max(latest, new.on or latest)
    return replace(standing, evidence=evidence, as_of=latest, _by_id={}, paths=PartPaths())
