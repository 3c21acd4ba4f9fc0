"""Editions and the rulebook: criteria, consequences with their causes and duties, and their worked examples."""

from collections.abc import Mapping
from datetime import date
from typing import Literal

import msgspec

from carknocker.documents.node import Location
from carknocker.quantities import Period, Quantity, write_quantity
from carknocker.record.values import Value
from carknocker.rulebook.clauses import Clause


class Occasion(msgspec.Struct, frozen=True):
    """When a duty on the way falls due: each day on which the car runs, each leg, or at an interval from departure."""

    sort: Literal["day in service", "leg", "period", "miles"]
    period: Period | None = None
    miles: Quantity | None = None

    def __str__(self) -> str:
        return str(self.period or (self.sort if self.miles is None else write_quantity(self.miles)))


Verdict = Literal["met", "breached", "not shown", "lapses", "borderline", "void", "for the day", "not applicable"]
UNMET: tuple[Verdict, ...] = ("breached", "not shown", "void", "lapses")
Following = Literal["follows", "does not follow", "against the move", "answered"]
"""The result of a cause: the yield follows or does not; a restriction is against what the move
states; the test that it requires is there."""


class Example(msgspec.Struct, frozen=True):
    """A worked example of a criterion. `given`: dotted attribute path → value, written as in clauses.

    age: age in days of evidence that is judged by its age, on the day of departure.
    parts: for `count` and `each`: the parts inside, each (kind, given); how old what is given of them is, stands in
    `ages` under `name_inside`.
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


def name_inside(kind: str, number: int, attribute: str) -> str:
    """What tells an attribute of a part inside from those of the others: `wheel inside 1 crack_or_break`."""
    return f"{kind} inside {number} {attribute}"


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


Layer = Literal["law", "trade", "host"]
SourceKind = Literal["law", "published", "common practice", "host"]
# One list of status words for every source.
Status = Literal[
    "read", "read again later", "secondary", "computed", "common practice", "from memory", "inference", "invented"
]
ShownBy = Literal["owner before the move", "accepted shop", "host on the day"]


class Source(msgspec.Struct, frozen=True):
    """The source of a criterion or a consequence: a sentence, and where it stands."""

    document: str
    section: str
    words: str
    kind: SourceKind
    status: Status
    year: str = ""  # edition or year read
    note: str = ""

    @property
    def to_be_checked(self) -> bool:
        """Whether it rests on memory or inference: whoever relies on it should read the current text."""
        return self.status in ("from memory", "inference")


class Restriction(msgspec.Struct, frozen=True):
    """A restriction by a finding, a host's written permission or a consequence. One sort, one value.

    speed: `quantity`, or `share` of the train's maximum allowable speed. place, destination: `words` lists what is
    allowed. riders: the most that may ride (`passengers`, `crew`, `nobody`). tag, handling: the text.
    """

    sort: Literal["speed", "place", "destination", "riders", "tag", "handling"]
    quantity: Quantity | None = None
    share: Quantity | None = None
    words: tuple[str, ...] = ()


class Remedy(msgspec.Struct, frozen=True):
    """Work that clears a finding, and the condition under which it can (None: always)."""

    work: str
    condition: Clause | None
    note: str


class Renewal(msgspec.Struct, frozen=True):
    """How evidence is renewed on the road. Such evidence does not lapse: its renewal becomes a duty during the move."""

    by: str  # `crew`, `host`
    every: Period | None
    routine: bool


class NotAsked(msgspec.Struct, frozen=True):
    """A word of a choice for which nothing is asked on purpose, and why. path: of the choice, as clauses write it."""

    path: str
    word: str
    reason: str


class FaultWords(msgspec.Struct, frozen=True):
    """What is wrong where a rule is not met, in a few words with places for figures.

    of: of a criterion the path of what fails, or `below`, `above` its limits; of a consequence `requires`, `restricts`;
    "" where the words fit whatever fails.
    """

    of: str
    words: str


class Criterion(msgspec.Struct, frozen=True):
    """One requirement on one kind of part. `id` is `ruleset/name`, unique in a rulebook."""

    id: str
    name: str
    ruleset: str
    edition: str
    layer: Layer
    title: str
    of: str
    when: Clause | None
    unless: Clause | None
    must: Clause
    read_within: Period | None  # age of the oldest reading that is accepted
    effect: Literal["refuse", "restrict", "advise"]
    restrictions: tuple[Restriction, ...]
    shown_by: ShownBy
    renewal: Renewal | None
    source: Source
    remedies: tuple[Remedy, ...]
    examples: tuple[Example, ...]
    may_be_relaxed: bool
    borderline: Literal["advise", "refuse"]
    where: Location
    tightens: str = ""
    relaxed_by: str = ""  # `edition: reason`, when a host edition relaxed it
    fault: tuple[FaultWords, ...] = ()
    not_asked: tuple[NotAsked, ...] = ()  # its own, and those of its chapter that are of this kind of part
    age_of_chapter: bool = False  # its chapter says `read_within`, for all that the host's inspector looks at

    @property
    def relieved_by_law_alone(self) -> bool:
        """Whether no host and no practice may relieve it: law that does not say `may_be_relaxed`."""
        return self.layer == "law" and not self.may_be_relaxed


CauseSort = Literal["work", "event", "state", "test", "leave", "finding", "seen", "unfit", "restricted", "duty"]


class Cause(msgspec.Struct, frozen=True):
    """One cause of a consequence (docs/judgement.md says what each means).

    names: of work, events, tests; kinds that are unfit; sorts that are restricted; consequences of a duty.
    of: kind of the part it is about, "" if it need not be said. criteria: ids; empty: any.
    verdicts: for `finding` and `seen`; empty: `unmet`, whatever the verdict.
    effect: for `finding`; "" if any.
    when: for `state`, the state itself. A path with the owner `fact` looks at a fact of the work or event.
    """

    sort: CauseSort
    names: tuple[str, ...]
    of: str
    criteria: tuple[str, ...]
    verdicts: tuple[Verdict, ...]
    effect: Literal["", "refuse", "restrict", "advise"]
    when: Clause | None
    where: Location

    @property
    def unmet(self) -> bool:
        """Whether the cause is any unmet finding; that includes a borderline one, if its edition counts borderline as
        unmet."""
        return self.sort == "finding" and not self.verdicts


class Voids(msgspec.Struct, frozen=True, tag=True):
    test: str  # name of the test, or ""
    readings: tuple[str, ...]  # attribute names
    of: str


class CarriesUp(msgspec.Struct, frozen=True, tag=True):
    kinds: tuple[str, ...]


class Requires(msgspec.Struct, frozen=True, tag=True):
    """every, within_first: for a duty on the way, how often it comes round (whichever is first), or within what it is
    done once, both counted from departure. Neither: when its own words say. number: of spares aboard; with
    `each`, for each part."""

    test: str
    spare: str
    of: str
    when: Literal["before departure", "on the way"]
    effect: Literal["refuse", "advise"]
    within: Period | None
    each: bool
    routine: bool
    words: str  # what is to be done, if it is neither a test nor a spare of the vocabulary
    every: tuple[Occasion, ...] = ()
    within_first: Occasion | None = None
    number: int = 1


class Restricts(msgspec.Struct, frozen=True, tag=True):
    restrictions: tuple[Restriction, ...]


class Relieves(msgspec.Struct, frozen=True, tag=True):
    """finding_same: the finding that is the cause. criteria: ids, or (`named`) the one that the host's written
    permission names."""

    finding_same: bool
    named: bool
    criteria: tuple[str, ...]
    consequences: tuple[str, ...]
    of: str
    leaves: tuple[Restriction, ...]
    purpose: Literal["move", "repair"]


Yield = Voids | CarriesUp | Requires | Restricts | Relieves


class Consequence(msgspec.Struct, frozen=True):
    """What follows from a finding, work, an event or a state. `id` is `ruleset/name`."""

    id: str
    name: str
    ruleset: str
    edition: str
    layer: Layer
    title: str
    when: Clause | None  # of the chapter: about car, move or train
    causes: tuple[Cause, ...]  # alternatives
    yields: tuple[Yield, ...]
    source: Source
    where: Location
    examples: tuple[ConsequenceExample, ...] = ()
    fault: tuple[FaultWords, ...] = ()


class Removed(msgspec.Struct, frozen=True):
    """A rule of an earlier edition that an amending edition took away. edition: the amending one."""

    name: str
    sort: Literal["criterion", "consequence"]
    edition: str


class Confirmation(msgspec.Struct, frozen=True):
    """A person of the host, with his role there, confirmed on a day that the edition says what the host's circular
    says."""

    name: str
    role: str
    on: date


class Correction(msgspec.Struct, frozen=True):
    """A slip of whoever typed an edition, corrected in it. edition: its name. rules: ids without the ruleset."""

    edition: str
    on: date
    what: str
    rules: tuple[str, ...]


class Completeness(msgspec.Struct, frozen=True):
    """How far an edition has the text that it stands for. reason: why not all of it; empty: it has all. lacks: what is
    missing, each in a few words."""

    reason: str = ""
    lacks: tuple[str, ...] = ()


class Edition(msgspec.Struct, frozen=True):
    """One dated, immutable version of a ruleset, complete (amendments applied).

    revision: 1, and one more each time that slips in its own files were corrected. corrections: in its own files and in
    those of the editions that it amends, the earliest edition first.
    """

    ruleset: str
    name: str
    title: str
    layer: Layer
    publisher: str
    host: str  # for layer `host`
    in_force: date
    until: date | None
    checked: date  # when its text was last checked against the source
    builds_on: tuple[str, ...]
    amends: str
    regimes: Mapping[str, str]  # kind of train → the sentence that says which law binds and why
    criteria: tuple[Criterion, ...]
    consequences: tuple[Consequence, ...]
    relaxes: Mapping[str, str]  # criterion id → reason
    routine_note: str
    digest: str
    where: Location
    removed: tuple[Removed, ...] = ()  # by it or by those that it amends, and not stated again since
    typed_by: str = ""  # who typed a host's circular; empty: the owner of the car
    confirmed_by: Confirmation | None = None
    checked_against: str = ""  # what was compared on the day `checked`, where that is less than all
    revision: int = 1
    corrections: tuple[Correction, ...] = ()
    complete: Completeness | None = None  # None: it does not say, which an edition of law has to

    @property
    def not_at_hand(self) -> tuple[str, ...]:
        """What is missing of the text that it stands for. Law that does not say is not taken to be all there."""
        if self.complete is not None:
            return self.complete.lacks
        return (f"what {self.ruleset} {self.name} leaves out, which it does not say",) if self.layer == "law" else ()


class Rulebook(msgspec.Struct, frozen=True, eq=False, weakref=True):
    """The editions that bind one move, lower layers first, and their combined rules. Compared by identity."""

    editions: tuple[Edition, ...]
    criteria: tuple[Criterion, ...]
    consequences: tuple[Consequence, ...]
    digest: str

    @property
    def not_at_hand(self) -> tuple[str, ...]:
        """What is missing of the texts that bind, in the order of the editions."""
        return tuple(dict.fromkeys(words for edition in self.editions for words in edition.not_at_hand))

    @property
    def complete(self) -> bool:
        """Whether nothing is missing of the texts that bind."""
        return not any(edition.not_at_hand for edition in self.editions)

    @property
    def edition_names(self) -> tuple[str, ...]:
        """`us-federal 2020` of each edition."""
        return tuple(f"{edition.ruleset} {edition.name}" for edition in self.editions)
