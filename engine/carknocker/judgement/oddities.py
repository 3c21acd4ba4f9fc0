"""What is odd about an entry that could be but hardly is, as data. Its words are made in `wording`."""

from datetime import date
from fractions import Fraction

import msgspec

from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Gauge, Person, Spare, Work
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Days, Range


class ClauseFails(msgspec.Struct, frozen=True):
    """A clause of the file of doubts fails. says: its own words. found_since: whether a newer reading says otherwise,
    so that what is doubtful can only be read again."""

    says: str
    found_since: bool = False


class GotBetter(msgspec.Struct, frozen=True):
    """Wear that went back, or damage that healed, with no work between. jobs: that take such damage away."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence
    jobs: tuple[str, ...] = ()


class PassedAfterFailed(msgspec.Struct, frozen=True):
    """A test that was passed after it had failed, with no work between that puts right what failed it. jobs: that
    do."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence
    jobs: tuple[str, ...] = ()


class Condemned(msgspec.Struct, frozen=True):
    """A figure that keeps a limit again which it breached, with no work between and nobody who stands for it.
    jobs: that change it."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence
    jobs: tuple[str, ...] = ()


class Moved(msgspec.Struct, frozen=True):
    """A figure that no use changes, and that is another without work."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence


class NotAsCut(msgspec.Struct, frozen=True):
    """A wheel that was turned and did not lose what was cut. job: the turning; cut: of the radius."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence
    job: Work
    cut: Quantity


class WornTooFast(msgspec.Struct, frozen=True):
    """A wheel that lost more than the miles between two readings wear off."""

    attribute: Attribute
    earlier: Evidence
    later: Evidence
    miles: Fraction


class OutOfReach(msgspec.Struct, frozen=True):
    """A reading that the access of its sheet does not allow."""

    reading: Evidence
    attribute: Attribute


class FinerThanGauge(msgspec.Struct, frozen=True):
    """A figure finer than its gauge reads."""

    reading: Evidence
    gauge: Gauge


class FinerThanTool(msgspec.Struct, frozen=True):
    """A figure without a gauge, or with one of which nothing says what it reads to, finer than the usual tool reads."""

    reading: Evidence
    attribute: Attribute


class OutsideUsual(msgspec.Struct, frozen=True):
    """A value outside of what is usual, or a bound where no such figure can be. days: what the range counts from."""

    reading: Evidence
    attribute: Attribute
    usual: Range
    days: Days


class LongDrop(msgspec.Struct, frozen=True):
    """A leakage that was taken over too many minutes."""

    reading: Evidence
    attribute: Attribute


class OddDrop(msgspec.Struct, frozen=True):
    """A leakage of a brake pipe that was not charged as it is for one."""

    reading: Evidence
    attribute: Attribute


class MountedAndChecked(msgspec.Struct, frozen=True):
    """A mounting and its check that lie too far apart, or the check before the mounting."""

    mounted: Evidence
    check: Evidence


class UnderTheCarAlready(msgspec.Struct, frozen=True):
    """What is done to a wheelset in a shop alone, on a day on which it was under the car. on: that day; since: when it
    already was."""

    told: Evidence
    on: date
    since: date


class ReconditionedAfterMounting(msgspec.Struct, frozen=True):
    """A bearing that was reconditioned after its wheels were mounted, and that nobody says was put on since."""

    reconditioned: Evidence
    mounted: Evidence


class ReadBeforeMade(msgspec.Struct, frozen=True):
    """A part that was read before the day that its own mark tells."""

    reading: Evidence
    mark: Evidence


class TestedBeforeWork(msgspec.Struct, frozen=True):
    """A single-car test that is older than the last rebuilding of the car, or than its last brake maintenance. work:
    what tells the day of it."""

    test: Evidence
    work: Evidence


class TrucksApart(msgspec.Struct, frozen=True):
    """When the two trucks of a car were built."""

    this: Evidence
    other: Evidence


class TruckAndCarApart(msgspec.Struct, frozen=True):
    """When a truck and its car were built."""

    truck: Evidence
    car: Evidence


class FirstWheels(msgspec.Struct, frozen=True):
    """Wheels that are no replacement, mounted long after their car was built."""

    mounted: Evidence
    car: Evidence


Oddity = (
    ClauseFails | GotBetter | PassedAfterFailed | Condemned | Moved | NotAsCut | WornTooFast | OutOfReach
    | FinerThanGauge | FinerThanTool | OutsideUsual | LongDrop | OddDrop | MountedAndChecked
    | UnderTheCarAlready | ReconditionedAfterMounting | ReadBeforeMade | TestedBeforeWork | TrucksApart
    | TruckAndCarApart | FirstWheels
)  # fmt: skip
"""Of a reading or a description."""


class OddDue(msgspec.Struct, frozen=True):
    """A gauge that is due too long after its check, or never though its kind needs one."""

    gauge: Gauge
    usual: Range
    days: Days


class UnknownGauge(msgspec.Struct, frozen=True):
    """A gauge of a kind that nobody knows, so that nothing says what it can read. nearest: the kind most like it."""

    gauge: Gauge
    nearest: str


class OddAcceptance(msgspec.Struct, frozen=True):
    """A person who is accepted for too long."""

    person: Person
    usual: Range
    days: Days


class OddPaper(msgspec.Struct, frozen=True):
    """A paper that runs too long."""

    paper: Evidence
    usual: Range
    days: Days


class OddFact(msgspec.Struct, frozen=True):
    """A fact of a test outside of what is usual."""

    test: Evidence
    fact: Attribute
    usual: Range
    days: Days


class BadFact(msgspec.Struct, frozen=True):
    """A fact of a test that is not odd but bad."""

    test: Evidence
    fact: Attribute


class OneCertificate(msgspec.Struct, frozen=True):
    """A test with the certificate of another one, made long before or after it."""

    test: Evidence
    fact: Attribute
    other: Evidence


class OddNumber(msgspec.Struct, frozen=True):
    """More spares than is usual. key: `carried` or `shelf`."""

    spare: Spare
    key: str
    number: int
    usual: Range


class AllAlike(msgspec.Struct, frozen=True):
    """A sheet on which all wheels of the car have the same flange and the same rim, written wheel by wheel."""

    reading: Evidence
    wheels: int


EntryOddity = (
    OddDue | UnknownGauge | OddAcceptance | OddPaper | OddFact | BadFact | OneCertificate | OddNumber | AllAlike
)
"""Of an entry beside the readings."""
