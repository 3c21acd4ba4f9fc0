"""Whether what a step is tested or read with is in date on that day: the device of a test, the gauges of readings."""

from collections.abc import Iterable, Iterator
from datetime import date

import msgspec

from carknocker.judgement.evidence import DEVICE_DUE
from carknocker.record.model import Evidence
from carknocker.record.standing import Standing
from carknocker.record.values import Day, Word
from carknocker.vocabulary import Attribute, load_vocabulary
from carknocker.whatif.work.rows import Detail


class Tool(msgspec.Struct, frozen=True, order=True):
    """What the newest test or reading was made with. sort: `device` or `gauge`. due: the last day on which it is in
    date; None where it is not on record."""

    sort: str
    name: str
    used_on: date
    due: date | None


def tools_of(wanted: Iterable[tuple[str, Attribute]], standing: Standing) -> tuple[Tool, ...]:
    """The devices and gauges with which these attributes of parts were last tested or read. wanted: (key of a part,
    attribute)."""
    found = {
        tool
        for part, attribute in wanted
        if (newest := _newest(standing, part, attribute.name)) is not None and (tool := _tool(newest, attribute))
    }
    return tuple(sorted(found, key=lambda one: (one.sort, one.name, one.used_on)))


def _newest(standing: Standing, part: str, attribute: str) -> Evidence | None:
    dated = [one for one in standing.evidence.get(part, {}).get(attribute, ()) if one.on is not None]
    return dated[-1] if dated else None  # oldest first


def _tool(evidence: Evidence, attribute: Attribute) -> Tool | None:
    used_on = evidence.on or date.min
    if attribute.type == "test":
        if DEVICE_DUE not in load_vocabulary().facts_of(attribute):
            return None
        device, due = evidence.facts.get("device"), evidence.facts.get(DEVICE_DUE)
        name = device.text if isinstance(device, Word) else ""
        return Tool("device", name, used_on, due.first if isinstance(due, Day) else None)
    gauge = evidence.gauge
    return None if gauge is None or gauge.due is None else Tool("gauge", gauge.name, used_on, gauge.due)


def tool_details(tools: Iterable[Tool], day: date, *, earliest: bool) -> Iterator[Detail]:
    """What is said of them at a step. day: its last. earliest: the step may come later, since a part must arrive first.
    A gauge is told only where it is overdue by then."""
    for tool in tools:
        name = tool.name or "the one last used"
        if tool.due is None:
            yield Detail(tool.sort, f"{name}: when it is due is not on record; use one in date, and write both down")
        elif tool.due < day:
            other = "have it checked first, or use another in date"
            yield Detail(tool.sort, f"{name} is due {tool.due.isoformat()}, before this step: {other}")
        elif tool.sort == "device":
            last = "in date through that day only" if earliest else f"in date on {day.isoformat()}"
            yield Detail(
                tool.sort, f"{name}, last used {tool.used_on.isoformat()}, is due {tool.due.isoformat()}: {last}"
            )
