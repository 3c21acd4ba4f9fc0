"""What is said of figures that are nearer to their limit than the gauge can tell."""

from collections.abc import Sequence

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.shortfall import Compared, compared
from carknocker.record.model import Part
from carknocker.rulebook.clauses import (
    FromPart,
)
from carknocker.wording.fault_figures import called, found_words, limit_words, merged, must_words


def near_words(findings: Sequence[Finding], index: JudgementIndex) -> tuple[str, str]:
    """What is too near its limit, on which parts; and what it must be, empty where each figure says its own."""
    said: list[tuple[Part, str]] = []
    musts: dict[str, None] = {}
    near_limit = "too near the limit for the gauge"
    for finding in findings:
        seen = compared(finding, index)
        near = {str(one.comparison.path): one for one in reversed(seen) if one.near}
        each = list(reversed(near.values())) or list(seen[:1])
        if len(each) > 1:
            near_limit = "each too near its limit for the gauge"
        limits = [_must_of_near(one, seen, finding) for one in each]
        told = [
            f"{_near(one)} (must be {must})" if must and len(each) > 1 else _near(one)
            for one, must in zip(each, limits, strict=True)
        ]
        if len(each) == 1:
            musts.setdefault(limits[0], None)
        said.append((finding.part, "; ".join(told)))
    return f"{merged(said, index)}, {near_limit}", ", ".join(filter(None, musts))


def _near(one: Compared) -> str:
    """What is too near a limit: `flange thickness 57/64 in`; of a limit that a part gives, what it is held against."""
    colon = ":" if one.comparison.path.attribute.signed else ""  # a difference is told as a value
    found = f"{called(one.comparison.path)}{colon} {found_words(one, '')}"
    limit = one.comparison.limit
    return f"{found} against {called(limit.path)} {limit_words(one)}" if isinstance(limit, FromPart) else found


def _must_of_near(one: Compared, seen: Sequence[Compared], finding: Finding) -> str:
    """Empty where what it is held against is said beside it."""
    return "" if isinstance(one.comparison.limit, FromPart) else must_words(one, seen, finding.criterion.must)
