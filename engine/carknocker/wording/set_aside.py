"""Why evidence is set aside, in words."""

from carknocker.judgement.evidence import DEVICE_DUE
from carknocker.judgement.set_aside import (
    DeviceDueUnsaid,
    DeviceOverdue,
    GaugeCheckedLater,
    GaugeDueUnsaid,
    GaugeFoundWrong,
    GaugeNeverChecked,
    GaugeNotNamed,
    GaugeOverdue,
    GaugeReadsOther,
    IsDoubtful,
    MadeVoidBy,
    OlderThanDoubtful,
    RestsOnOddEntry,
    SetAside,
)
from carknocker.wording.oddities import entry_oddity_words, oddity_words, settled_by


def set_aside_words(why: SetAside | None) -> str:
    """Why evidence does not count: `gauge G-2 was due for its check on 2026-03-01`; empty for what counts."""
    match why:
        case None:
            return ""
        case MadeVoidBy(work):
            return f"void since {work.on.isoformat()}: {work.id} {work.name}"
        case DeviceOverdue(due):
            return f"the test device was due for its check on {due.written}"
        case DeviceDueUnsaid():
            return f"nothing says until when its test device was good (`{DEVICE_DUE}`)"
        case GaugeNotNamed():
            return "nothing says which gauge showed it (`gauge`)"
        case GaugeReadsOther(gauge):
            return f"gauge {gauge.name} is a {gauge.kind}, which does not show it: name the gauge that did (`gauge`)"
        case GaugeDueUnsaid(gauge):
            return f"nothing says when gauge {gauge.name} is due for its check (`due`, or `due: never`)"
        case GaugeOverdue(gauge, due):
            return f"gauge {gauge.name} was due for its check on {due.isoformat()}"
        case GaugeNeverChecked(gauge):
            return f"nothing says when gauge {gauge.name} was checked (`checked`)"
        case GaugeCheckedLater(gauge, checked):
            return f"gauge {gauge.name} was checked only on {checked.isoformat()}, after that"
        case GaugeFoundWrong(gauge, event):
            return f"{event.name}: {gauge.name} ({event.id}, {event.on.isoformat()})"
        case RestsOnOddEntry(entry):
            return f"doubtful: {entry_oddity_words(entry.odd)}"
        case IsDoubtful(odd):
            return f"doubtful: {oddity_words(odd)}; {settled_by(odd)}"
        case OlderThanDoubtful():
            return "older than a doubtful reading"
