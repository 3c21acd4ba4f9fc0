"""How many criteria were judged, on how many parts, with which verdicts: what did not run is counted too."""

from typing import get_args

import msgspec

from carknocker.judgement.model import Judgement
from carknocker.rulebook.model import Verdict

VERDICTS: tuple[Verdict, ...] = get_args(Verdict)


class Summary(msgspec.Struct, frozen=True):
    """criteria: in the rulebook. judged: those of a kind of part that the car has. findings: criteria on parts.

    verdicts: verdict → number of findings, in one fixed order, those of number 0 too.
    """

    criteria: int
    judged: int
    findings: int
    verdicts: tuple[tuple[str, int], ...]
    sentence: str


def summary_of(judgement: Judgement) -> Summary:
    """The summary of one judgement."""
    counts = {verdict: 0 for verdict in VERDICTS}
    for finding in judgement.findings:
        counts[finding.verdict] += 1
    criteria = len(judgement.rulebook.criteria)
    judged = len({finding.criterion.id for finding in judgement.findings})
    total = len(judgement.findings)
    listed = ", ".join(f"{number:,} {verdict}" for verdict, number in counts.items() if number)
    words = f"{criteria:,} criteria; {judged:,} of them have a part on this car to look at"
    sentence = f"{words}. {total:,} findings: {listed or 'none'}."
    return Summary(criteria, judged, total, tuple(counts.items()), sentence)
