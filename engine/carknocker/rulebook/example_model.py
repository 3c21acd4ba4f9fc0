"""Worked examples: of a criterion, with its verdict; of a consequence, with what comes of its cause."""

from collections.abc import Mapping
from typing import Literal

import msgspec

from carknocker.documents.location import Location
from carknocker.quantities import Period, Quantity
from carknocker.record.values import Value
from carknocker.rulebook.occasions import Occasion

Verdict = Literal["met", "breached", "not shown", "lapses", "borderline", "withdrawn", "for the day", "not applicable"]
UNMET: tuple[Verdict, ...] = ("breached", "not shown", "withdrawn", "lapses")
Following = Literal["follows", "does not follow", "against the move", "answered"]
"""What comes of a cause: what the consequence yields follows, or not; what it restricts is contrary to what the move
states; the test that it requires is there."""


class Example(msgspec.Struct, frozen=True):
    """A worked example of a criterion. `given`: dotted attribute path → value (as clauses write it).

    age: age in days of evidence that is judged by its age, on the day of departure.
    parts: for `count` and `each`: the parts inside, each (kind, given).
    left: days from departure to the last day that a paper is in force. miles_ago: miles run since a date.
    A test's value is `passed` or `failed`, a paper's `yes`; their further facts are given as `test.fact`.
    clears: the work of the remedies that can clear it, None where the example does not say.
    times: how often it falls due on the way. capped_at: the speed that it leaves. None where the example does not say.
    """

    given: Mapping[str, Value]
    ages: Mapping[str, Period]
    parts: tuple[tuple[str, Mapping[str, Value]], ...]
    verdict: Verdict
    where: Location
    left: Mapping[str, Period] = msgspec.field(default_factory=dict)
    miles_ago: Mapping[str, Quantity] = msgspec.field(default_factory=dict)
    move_lasts: Period = msgspec.field(default_factory=Period)
    clears: tuple[str, ...] | None = None
    times: int | None = None
    capped_at: Quantity | None = None


class ConsequenceExample(msgspec.Struct, frozen=True):
    """A worked example of a consequence: a part on which a cause may be, and what comes of it.

    given, ages, parts, left, miles_ago, move_lasts: as in an example of a criterion; a fact of the work or event is
    given as `fact.NAME`. happened: the work or event meant, of several that the causes name; "": all of them.
    move_runs: the miles of the move, on one leg. answered_by: the age on departure of the test that is asked for.
    capped_at: the speed that is left. times: how often a duty comes round on the way. due_after: how long, or how far,
    after departure it falls due for the first time. None where the example does not say.
    """

    given: Mapping[str, Value]
    ages: Mapping[str, Period]
    parts: tuple[tuple[str, Mapping[str, Value]], ...]
    following: Following
    where: Location
    left: Mapping[str, Period] = msgspec.field(default_factory=dict)
    miles_ago: Mapping[str, Quantity] = msgspec.field(default_factory=dict)
    move_lasts: Period = msgspec.field(default_factory=Period)
    happened: str = ""
    move_runs: Quantity | None = None
    answered_by: Period | None = None
    capped_at: Quantity | None = None
    times: int | None = None
    due_after: Occasion | None = None
