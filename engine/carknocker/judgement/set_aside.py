"""Why evidence is set aside, as data: it is void, its gauge or its test device was not in order, or it is doubtful. Its
words are made in `wording`."""

from datetime import date

import msgspec

from carknocker.judgement.odd_entries import OddEntry
from carknocker.judgement.oddities import Oddity
from carknocker.record.model import Gauge, Work
from carknocker.record.values import Day


class MadeVoidBy(msgspec.Struct, frozen=True):
    """Later work or an event made it void."""

    work: Work


class DeviceOverdue(msgspec.Struct, frozen=True):
    """The test device was due for its check before the test."""

    due: Day


class DeviceDueUnsaid(msgspec.Struct, frozen=True):
    """Nothing says until when the test device was good."""


class GaugeNotNamed(msgspec.Struct, frozen=True):
    """Nothing says with which gauge a figure was read that is read with one."""


class GaugeReadsOther(msgspec.Struct, frozen=True):
    """The gauge that is named is of a kind that can't read such a figure."""

    gauge: Gauge


class GaugeDueUnsaid(msgspec.Struct, frozen=True):
    """Nothing says when the gauge is due for its check."""

    gauge: Gauge


class GaugeOverdue(msgspec.Struct, frozen=True):
    """The gauge was due for its check before the reading."""

    gauge: Gauge
    due: date


class GaugeNeverChecked(msgspec.Struct, frozen=True):
    """Nothing says when the gauge was checked."""

    gauge: Gauge


class GaugeCheckedLater(msgspec.Struct, frozen=True):
    """The gauge was checked only after the reading."""

    gauge: Gauge
    checked: date


class GaugeFoundWrong(msgspec.Struct, frozen=True):
    """The gauge was found wrong or overdue after it was last known good. event: what tells so."""

    gauge: Gauge
    event: Work


class RestsOnOddEntry(msgspec.Struct, frozen=True):
    """The gauge, the paper or what the test says is odd."""

    entry: OddEntry


class IsDoubtful(msgspec.Struct, frozen=True):
    """It could be but hardly is."""

    odd: Oddity


class OlderThanDoubtful(msgspec.Struct, frozen=True):
    """It is older than a doubtful reading of its attribute: nothing older comes back in its place."""


SetAside = (
    MadeVoidBy | DeviceOverdue | DeviceDueUnsaid | GaugeNotNamed | GaugeReadsOther | GaugeDueUnsaid | GaugeOverdue
    | GaugeNeverChecked | GaugeCheckedLater | GaugeFoundWrong | RestsOnOddEntry | IsDoubtful | OlderThanDoubtful
)  # fmt: skip
