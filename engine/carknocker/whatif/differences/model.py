"""The answer to *compare*: what is cleared, what is new, what is still open, and which entries are the reason."""

from typing import Literal

import msgspec

from carknocker.documents import Location
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty, Finding, Outcome
from carknocker.record.model import Evidence, Gauge, Leave, Person, Spare, Work
from carknocker.rulebook.model import Edition
from carknocker.wording.verdicts import FindingWords

RecordChangeSort = Literal[
    "reading", "description", "test", "paper", "work", "event", "fitting", "spare", "leave", "person", "gauge",
    "edition", "move", "day", "moves made", "log", "photograph",
]  # fmt: skip


class RecordChange(msgspec.Struct, frozen=True):
    """Something that one record (or day, move, rulebook) has and the other has not.

    words: what it is. label: of evidence, the part it is of, which the words leave out. part: key of the part it is
    about, empty for none.
    """

    sort: RecordChangeSort
    words: str
    where: Location | None = None
    part: str = ""
    about: Evidence | Work | Spare | Leave | Person | Gauge | Edition | None = None
    label: str = ""

    @property
    def said(self) -> str:
        """What it is, with its part."""
        return f"{self.label}: {self.words}" if self.label else self.words


class FindingState(msgspec.Struct, frozen=True):
    """A finding as it was judged, in words."""

    finding: Finding
    words: FindingWords


class FindingChange(msgspec.Struct, frozen=True):
    """One criterion at one place, before and after.

    label: the place in words. before, after: None if there was no such part or criterion. because: what explains it,
    nearest first. exchange: which part has replaced which; empty if it is the same part. also: what else the reader
    should know.
    """

    label: str
    title: str
    criterion: str
    before: Finding | None
    after: Finding | None
    before_said: FindingWords | None
    after_said: FindingWords | None
    because: tuple[RecordChange, ...]
    exchange: str = ""
    also: str = ""

    @property
    def state_before(self) -> FindingState | None:
        """How it was judged before; None if there was no such part or criterion."""
        return _state(self.before, self.before_said)

    @property
    def state_after(self) -> FindingState | None:
        """How it was judged after; None if there was no such part or criterion."""
        return _state(self.after, self.after_said)

    @property
    def note(self) -> str:
        """What else the reader should know."""
        return "; ".join(filter(None, (self.exchange, self.also)))


def _state(finding: Finding | None, said: FindingWords | None) -> FindingState | None:
    return None if finding is None or said is None else FindingState(finding, said)


class DutyChange(msgspec.Struct, frozen=True):
    """One duty, before and after; None on a side where nothing called for it."""

    before: Duty | None
    after: Duty | None
    label: str
    title: str
    because: tuple[RecordChange, ...]


class RestrictionChange(msgspec.Struct, frozen=True):
    """A restriction in words, with the title and id of its rule."""

    words: str
    title: str
    rule: str
    because: tuple[RecordChange, ...]


class CompareAnswer(msgspec.Struct, frozen=True):
    """What differs between two answers.

    Findings that stand (unmet, not relieved, on a fitted part) are in cleared, new or still_open. Findings that stand
    in neither answer are in changed_verdict or changed_margin, if they changed. spares: changed verdicts on parts that
    are not fitted. Duties and restrictions are sorted the same way; a duty counts while it is open or to be done on the
    way.
    """

    before: CheckAnswer
    after: CheckAnswer
    what_differs: tuple[str, ...]
    cleared: tuple[FindingChange, ...]
    new: tuple[FindingChange, ...]
    still_open: tuple[FindingChange, ...]
    changed_verdict: tuple[FindingChange, ...]
    changed_margin: tuple[FindingChange, ...]
    duties_cleared: tuple[DutyChange, ...]
    duties_new: tuple[DutyChange, ...]
    duties_open: tuple[DutyChange, ...]
    restrictions_gone: tuple[RestrictionChange, ...]
    restrictions_new: tuple[RestrictionChange, ...]
    restrictions_kept: tuple[RestrictionChange, ...]
    against_gone: tuple[str, ...]
    against_new: tuple[str, ...]
    against_open: tuple[str, ...]
    spares: tuple[FindingChange, ...]
    added: tuple[RecordChange, ...]
    removed: tuple[RecordChange, ...]

    @property
    def empty(self) -> bool:
        """Whether nothing differs at all, neither in what was given nor in what was found."""
        found = (
            self.cleared, self.new, self.changed_verdict, self.changed_margin, self.duties_cleared, self.duties_new,
            self.restrictions_gone, self.restrictions_new, self.against_gone, self.against_new, self.spares,
            self.added, self.removed,
        )  # fmt: skip
        return not any(found) and all(_same(one) for one in self.still_open)

    @property
    def outcomes(self) -> tuple[Outcome, Outcome]:
        return self.before.outcome, self.after.outcome


def _same(change: FindingChange) -> bool:
    return (
        change.before is not None and change.after is not None
        and change.before.verdict == change.after.verdict and change.before_said == change.after_said
    )  # fmt: skip
