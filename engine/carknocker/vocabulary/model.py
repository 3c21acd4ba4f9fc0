"""The vocabulary: kinds of part, their attributes, and the names of tests, work, events, spares and papers."""

from collections.abc import Mapping
from typing import Literal

import msgspec

from carknocker.quantities import Quantity
from carknocker.vocabulary.ranges import Ranges
from carknocker.vocabulary.together import Outside, Together

Access = Literal["walking round", "pit", "wheel free", "truck out", "wheelset out", "shop", "inside"]

# How a value of the attribute is written. The first block are quantities (a figure with a unit).
ValueType = Literal[
    "length", "weight", "pressure", "temperature", "temperature difference", "speed", "distance",
    "ratio", "degree of curve", "volume", "resistance", "pressure per minute", "tapes",
    "duration",          # hours and minutes; a bare number is hours
    "period",            # days, months or years
    "yes or no", "one of", "list of", "count", "identity", "text", "date", "test", "paper",
]  # fmt: skip

# How the parts of a kind are named in a car record.
Positions = Literal[
    "single",            # one on the car: `car`, `body`
    "ends",              # B, A
    "trucks",            # B, A
    "axles",             # 1, 2, 3 … from the B end
    "sides of axle",     # L1, R1 … ; on a wheelset that is not fitted: `W-50 left`
    "sides of truck",    # BL, BR, AL, AR
    "serials",           # wheelsets: by the owner's mark or serial
    "listed",            # named by the record; exists only if the record lists it
    "legs",              # 1, 2 … in the order of the move file
]  # fmt: skip


# The stages of the work on a car, in the order in which a shop can do them.
Stage = Literal[
    "read first", "lift and roll out", "wheels, bearings and boxes", "trucks", "wheelsets put in",
    "roll back and lower", "body, couplers and draft gear", "brakes", "adjust heights, clearances and travel",
    "read anew", "tests of parts", "tests of the whole car", "papers", "spares aboard",
]  # fmt: skip
# Those of them that are a job's own; the others are made of readings, tests, papers and spares.
WorkStage = Literal[
    "wheels, bearings and boxes", "trucks", "wheelsets put in", "body, couplers and draft gear", "brakes",
    "adjust heights, clearances and travel",
]  # fmt: skip

# Which of the law's groups of defects a defect of a part belongs to (49 CFR 238.5, 238.15, 238.17).
TagGroup = Literal["brake", "running gear", "safety appliance", "other"]

# Which way a figure goes with wear, as long as nobody works on the part. "up, runs off": a flat may run off again, but
# never by more than half.
Wear = Literal["down", "up", "up, runs off", "stays"]

# What can hurt someone at work on a part.
Hazard = Literal["lifting", "air", "electricity"]

# What the program itself does with a job or an event, beyond what editions make of it.
Does = Literal[
    "renew a wheelset", "move a wheelset", "turn wheels", "mount wheels", "roll a truck out", "exchange trucks",
    "put lubricant in",
    "find a gauge wrong", "find a gauge overdue", "end an acceptance",
]  # fmt: skip


NOTHING = frozenset({"none", "none fitted"})
"""The words that say that there is no such thing at all."""


class Attribute(msgspec.Struct, frozen=True):
    """One attribute of one kind of part.

    description: stands in the record undated (a coupler type), else it is read and dated.
    derived: name of the working that yields it; nobody writes it in a record.
    gauge_takes: what it means when a go/no-go gauge takes at a figure: the
    value is `at most` or `at least` that figure. Empty: go/no-go is not used.
    reads_to: usual resolution of the tool, None where there is none.
    goes_with: attribute of the same part that it is written down with, or instead of; else empty.
    only_where: attributes of the same part, each with the words with which this one is asked for.
    to_disconnect: the words are connections that have to be parted before the part leaves the car.
    left_open: those of the words that leave the choice open, so that no clause can be decided by them: only whether
    there is one at all.
    en_route: those of the words that can be said only once a train has left.
    ranges: in which it can be, and usually is; None for words and texts.
    counts: the kind of part of which it says how many there are; its nought is written `none fitted`.
    wears: which way it goes without work; `stays`: neither way; empty where it may go either way.
    back_by: how far it may go the other way all the same, beside what the gauges leave open: with the load of the car.
    below_zero: what a difference below zero is called: `smaller`; empty where a sign says it.
    taken_up_by: kind and attribute that say, with `yes`, that something on the car takes such wear up by itself; else
    empty.
    defect: it tells damage that does not heal without work.
    bad: those of the words (of yes and no, which of the two) that are bad news, whatever a rule makes of them.
    none: the value that says that there is none of it; empty where no value says so.
    follows: attribute of the same part that is asked first; this one only where that says that there is some.
    tells_presence: it says whether the car has a thing at all, which a `no`, `none` or `none fitted` denies.
    """

    name: str
    kind: str
    type: ValueType
    label: str
    one_of: tuple[str, ...] = ()
    description: bool = False
    derived: str = ""
    signed: bool = False
    gauge_takes: Literal["", "at most", "at least"] = ""
    reads_to: Quantity | None = None
    measured: str = ""
    tool: str = ""
    access: Access = "walking round"
    read_by: tuple[str, ...] = ()
    goes_with: str = ""
    only_where: tuple[tuple[str, tuple[str, ...]], ...] = ()
    to_disconnect: bool = False
    left_open: tuple[str, ...] = ()
    ranges: Ranges | None = None
    wears: Wear | Literal[""] = ""
    defect: bool = False
    counts: str = ""
    bad: tuple[str, ...] = ()
    none: str = ""
    follows: str = ""
    tells_presence: bool = False
    en_route: tuple[str, ...] = ()
    back_by: Quantity | None = None
    below_zero: str = ""
    taken_up_by: tuple[str, str] | None = None

    @property
    def short_label(self) -> str:
        """The label without what it explains in brackets."""
        return self.label.partition(" (")[0]

    @property
    def words(self) -> tuple[str, ...]:
        """The words that may be said, yes and no too; empty where any figure or text is."""
        return ("yes", "no") if self.type == "yes or no" else self.one_of


class Stated(msgspec.Struct, frozen=True):
    """A condition on a description: some part of `kind` says one of `words`."""

    kind: str
    attribute: str
    words: tuple[str, ...]


class Stands(msgspec.Struct, frozen=True):
    """Parts of a kind that stand in a container whether a record mentions them or not.

    number: attribute of the container that says how many there are; empty where there can be no more than one.
    called: how they are called together. which: descriptions that tell them from others of the kind.
    at_least: fewer can't be; by a word of a description of the container where that decides, else the fewest.
    only_if: they stand where all of one of these lists hold; empty: always.
    no_others: where `only_if` does not hold there can be none. bad_news: fewer can be, and it is a defect.
    usually, usually_by: how many nearly every such container has, as in at_least; 0 where nobody can say.
    """

    container: str
    number: str
    called: str
    which: tuple[tuple[str, tuple[str, ...]], ...] = ()
    at_least: int = 0
    at_least_by: tuple[str, tuple[tuple[str, int], ...]] = ("", ())
    only_if: tuple[tuple[Stated, ...], ...] = ()
    no_others: bool = False
    bad_news: bool = False
    usually: int = 0
    usually_by: tuple[str, tuple[tuple[str, int], ...]] = ("", ())


class Kind(msgspec.Struct, frozen=True):
    """A kind of part. Places stay with the car; things have a serial and move.

    stage: of the work on such a part; empty for what nobody works on. tag_group: where its defects stand on a tag.
    hazards: of the work on it. plural: how several such parts are called, empty where it is the name with an s.
    stands: where such parts stand whether a record lists them or not. system: of the car that it belongs to, by which
    what is settled is counted; empty for what is no part of the car.
    """

    name: str
    section: str  # the key of its section in a record: `wheels`
    label: str
    positions: Positions
    inside: tuple[str, ...]  # kinds of container, nearest first; empty for car and move
    thing: bool = False
    listed: bool = False  # exists only if the record has it
    stage: WorkStage | Literal[""] = ""
    tag_group: TagGroup = "other"
    hazards: tuple[Hazard, ...] = ()
    plural: str = ""
    attributes: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    stands: tuple[Stands, ...] = ()
    system: str = ""


class TestKind(msgspec.Struct, frozen=True):
    """A test: the kind of part it stands on, the attribute it appears as in criteria, its further facts.

    whole_car: it is made when the whole car is together. hazards: of making it. gauge: the kinds of gauge that show
    whether it passed, empty where none does; no_gauge: words of facts with which it is made without one. shows: fact →
    kind and attribute of what it tells, as a reading of that day would. named_alone: facts whose bad words are bad news
    and no failure of the test.
    """

    __test__ = False  # not a test class for pytest

    name: str  # `single-car brake test`
    attribute: str  # `single_car_test`
    on: str
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    whole_car: bool = False
    hazards: tuple[Hazard, ...] = ()
    gauge: tuple[str, ...] = ()
    no_gauge: Mapping[str, tuple[str, ...]] = msgspec.field(default_factory=dict)
    shows: Mapping[str, tuple[str, str]] = msgspec.field(default_factory=dict)
    named_alone: tuple[str, ...] = ()


class PaperKind(msgspec.Struct, frozen=True):
    """A paper of the car: appears in criteria as an attribute of the car."""

    name: str  # `liability insurance`
    attribute: str  # `liability_insurance`
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)


class WorkKind(msgspec.Struct, frozen=True):
    """A job (or, in `Vocabulary.events`, an event) and the kinds of part it can stand on.

    stages: kind of part → the stage of a plan at which the job is done on it; none for an event.
    truck_out: the truck rolls out for it. hazards: of doing it. does: what the program itself does with it.
    tells: kind of part on which the event stands → its attributes of which it is a reading: their bad word.
    """

    name: str
    on: tuple[str, ...]
    does: Does | Literal[""] = ""
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    stages: Mapping[str, WorkStage] = msgspec.field(default_factory=dict)
    truck_out: bool = False
    hazards: tuple[Hazard, ...] = ()
    tells: Mapping[str, tuple[str, ...]] = msgspec.field(default_factory=dict)

    @property
    def moves_wheelsets(self) -> bool:
        """Whether it changes which wheelset is at an axle."""
        return self.does in ("renew a wheelset", "move a wheelset")


class SpareKind(msgspec.Struct, frozen=True):
    """A spare. It fits a part when each listed spare attribute equals the named attribute of that part.

    fits: spare's attribute → the attribute, of some kind of part, that is looked up from the part that needs it.
    thing: the kind of part that a spare of this kind is a whole example of (wheelset), else empty.
    hazards: of taking it along.
    """

    name: str
    fits: Mapping[str, Attribute]
    thing: str = ""
    facts: Mapping[str, Attribute] = msgspec.field(default_factory=dict)
    hazards: tuple[Hazard, ...] = ()


class SheetLine(msgspec.Struct, frozen=True):
    """A line of a sheet or a drawing: the attribute that it shows. label: how it is called there, empty for the
    attribute's own label; `{part}`, `{side}` and `{value}` in it stand for what the line is about."""

    kind: str
    attribute: str
    label: str = ""


class GaugeKind(msgspec.Struct, frozen=True):
    """A kind of gauge. finest and coarsest: what such a gauge can read to, None for go or no-go. reads: kind and
    attribute of what it reads; any_length: every length that none reads. check: whether it needs one. uncertainty: the
    largest of a gauge that is fit for use, which counts where none is stated; None where no paper states one."""

    name: str
    finest: Quantity | None = None
    coarsest: Quantity | None = None
    reads: tuple[tuple[str, str], ...] = ()
    any_length: bool = False
    check: bool = True
    other_names: tuple[str, ...] = ()
    uncertainty: Quantity | None = None


SheetName = Literal[
    "set-out", "order", "papers with a wheelset", "serials", "spares", "axle plan", "request",
]  # fmt: skip


Mended = dict[str, dict[str, dict[str, tuple[str, ...]]]]
"""Kind of part → attribute of damage, wear or a test → each job that takes it away → of which of its words, none for
all."""


class Mark(msgspec.Struct, frozen=True):
    """A day on a part, or on what it is in: what was found bad before it is of another part. made: it is the day on
    which the part was made, so that nothing was read of it before."""

    kind: str
    attribute: str
    made: bool


class Vocabulary(msgspec.Struct, frozen=True):
    """sheets: sheet or drawing → heading → what is listed there, in order. entry_ranges: what entries of a record say
    beside parts (`gauges.due`) → its ranges. together: what must hold together. read_with_gauge: kind and attribute of
    what some kind of gauge reads, so that its gauge has to be named. own_roles: those of `roles` that people say of
    themselves; the others are given by a host, a shop or an insurer. marked: kind of part → its marks."""

    kinds: Mapping[str, Kind]
    tests: Mapping[str, TestKind]
    papers: Mapping[str, PaperKind]
    work: Mapping[str, WorkKind]
    events: Mapping[str, WorkKind]
    spares: Mapping[str, SpareKind]
    roles: tuple[str, ...]  # roles of people
    sheets: Mapping[SheetName, Mapping[str, tuple[SheetLine, ...]]] = msgspec.field(default_factory=dict)
    entry_ranges: Mapping[str, Ranges] = msgspec.field(default_factory=dict)
    together: tuple[Together, ...] = ()
    outside: tuple[Outside, ...] = ()
    gauge_kinds: Mapping[str, GaugeKind] = msgspec.field(default_factory=dict)
    read_with_gauge: frozenset[tuple[str, str]] = frozenset()
    own_roles: tuple[str, ...] = ()
    mended_by: Mended = msgspec.field(default_factory=dict)
    marked: Mapping[str, tuple[Mark, ...]] = msgspec.field(default_factory=dict)

    def attribute(self, kind: str, name: str) -> Attribute | None:
        """The attribute of a kind, tests (on that kind) and papers (on the car) included."""
        found = self.kinds.get(kind)
        return None if found is None else found.attributes.get(name)

    def facts_of(self, attribute: Attribute) -> Mapping[str, Attribute]:
        """The further facts of the test or paper that the attribute stands for; none for any other attribute."""
        if attribute.type == "test":
            return self.tests[attribute.label].facts
        return self.papers[attribute.label].facts if attribute.type == "paper" else {}

    def gauge_kind_called(self, word: str) -> str:
        """The kind of gauge that people call so; the word itself where no kind has such a name."""
        said = word.casefold()
        for name, kind in self.gauge_kinds.items():
            if said in (called.casefold() for called in (name, *kind.other_names)):
                return name
        return word

    def work_to(self, does: Does) -> str:
        """The name of the first job or event that does this. Raises KeyError where none does."""
        for named in (self.work, self.events):
            for entry in named.values():
                if entry.does == does:
                    return entry.name
        raise KeyError(does)
