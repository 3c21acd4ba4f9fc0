"""What counts only against the car: a finding is judged as the record stands and as if that, and all that is older of
its attribute, were not there. The worse counts, so that no doubt clears a breach and nothing older comes back."""

from collections.abc import Collection, Iterable, Mapping

from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.doubts import StandingDoubt, is_no_matter_of_the_day
from carknocker.judgement.findings import Findings, Unvoided, findings_of, view_for_must, view_for_when
from carknocker.judgement.looks import Look, looks_of, seen_by
from carknocker.judgement.model import Finding
from carknocker.judgement.situation import Situation
from carknocker.rulebook.model import Verdict

WORST_FIRST: tuple[Verdict, ...] = (
    "breached", "void", "not shown", "lapses", "for the day", "borderline", "met", "not applicable",
)  # fmt: skip
_RANK = {verdict: rank for rank, verdict in enumerate(WORST_FIRST)}


def worse_verdict(*verdicts: Verdict) -> Verdict:
    """The worst of some verdicts, at least one."""
    return min(verdicts, key=_RANK.__getitem__)


def worse_as_said(
    findings: Findings, compiled: Iterable[CompiledCriterion], as_said: Situation, unvoided: Unvoided,
    doubts: tuple[StandingDoubt, ...], only_against: Collection[str],
) -> tuple[Findings, tuple[Finding, ...]]:  # fmt: skip
    """The findings, each replaced by what the record as it stands says where that is worse; and what the record says
    where that is better, so that nothing is granted by it.

    as_said: the situation with what counts only against the car. only_against: the ids of that evidence. A finding that
    looks at a doubtful reading keeps the doubt. Damage that went by itself, or that was found
    since, is no matter of the day: it is not shown that it is gone, or how far it goes."""
    names = {one.attribute for one in as_said.standing.by_id(only_against)}
    touched = [one for one in compiled if one.attributes is None or not names.isdisjoint(one.attributes)]
    said = {(one.criterion.id, one.part.key): one for one in findings_of(touched, as_said, unvoided).every}
    doubted = _Doubted(touched, as_said, doubts)
    found = Findings([], [], [])
    better: list[Finding] = []
    for finding in findings.every:
        other = said.get((finding.criterion.id, finding.part.key))
        if other is not None:
            differs = other.verdict != finding.verdict
            if _RANK[other.verdict] < _RANK[finding.verdict]:
                other.as_said = True
                finding = other
            elif differs:
                better.append(other)
            if doubts and (differs or finding.unmet):
                finding.doubts = doubted.about(finding)
                if finding.verdict == "for the day" and any(is_no_matter_of_the_day(one.odd) for one in finding.doubts):
                    finding.verdict, finding.unmet = "not shown", True
        found.every.append(finding)
        if finding.unmet:
            found.unmet.append(finding)
        if finding.criterion.renewal is not None:
            found.renewed.append(finding)
    return found, tuple(better)


class _Doubted:
    """Which doubts are about the readings at which a finding looked."""

    def __init__(
        self, compiled: Iterable[CompiledCriterion], as_said: Situation, doubts: tuple[StandingDoubt, ...]
    ) -> None:
        self._as_said = as_said
        self._compiled = {one.criterion.id: one for one in compiled}
        self._looks: dict[str, tuple[Look, ...]] = {}
        self._by_evidence: Mapping[str, list[StandingDoubt]] = _by_evidence(doubts)

    def about(self, finding: Finding) -> tuple[StandingDoubt, ...]:
        """In the order in which they were found."""
        criterion, situation = finding.criterion, self._as_said
        one = self._compiled[criterion.id]
        looks = self._looks.get(criterion.id)
        if looks is None:
            looks = self._looks[criterion.id] = looks_of(criterion.must, criterion.when, criterion.unless)
        out = situation.move.out
        views = [view_for_must(one, finding.part, situation, out)]
        if one.conditional or one.shop or criterion.read_within is not None:
            views.append(view_for_when(finding.part, situation, out))
        seen = [entry.id for view in views for entry in seen_by(looks, view)]
        return tuple({doubt: None for entry in seen for doubt in self._by_evidence.get(entry, ())})


def _by_evidence(doubts: Iterable[StandingDoubt]) -> dict[str, list[StandingDoubt]]:
    found: dict[str, list[StandingDoubt]] = {}
    for doubt in doubts:
        for entry in doubt.touched:
            found.setdefault(entry.id, []).append(doubt)
    return found
