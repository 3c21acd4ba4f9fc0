"""The people who read and sign, and the gauges, as an owner answers them: one line each, pieces apart by semicolons."""

import re
from collections.abc import Mapping

from carknocker.cli.starter_files import as_scalar
from carknocker.documents import Node, ProblemList, nearest, read_document, some
from carknocker.record.files import RecordReporter
from carknocker.record.insertion import plain_text
from carknocker.record.people_and_gauges import read_gauges, read_people
from carknocker.vocabulary import load_vocabulary

PEOPLE, GAUGES = "people", "gauges"
SAMPLES = {
    PEOPLE: "HM: shop inspector; Hal Mott; telephone 555-0142; accepted by A Host Railroad until 2030-12-31",
    GAUGES: "G-1: finger gauge; reads to 1/32 in; checked 2026-03-01; due 2028-03-01",
}
"""An answer of each, as it is typed."""
_SHORT = re.compile(r"[A-Za-z0-9][A-Za-z0-9.-]{0,11}")
_ACCEPTED = re.compile(r"accepted by (.+?)(?: from ([0-9]\S*))?(?: until (.+))?")
_TELEPHONE = "telephone "
_OF_A_GAUGE = {"reads to": "reads_to", "checked": "checked", "due": "due"}


def read_listed(key: str, node: Node, reporter: RecordReporter) -> Mapping[str, str] | None:
    """Short name → the line of each person or gauge, as it was answered. None, reported, where one can't be read."""
    if node.is_empty or (node.kind == "scalar" and node.text in ("none", "not known")):
        return {}
    if node.kind != "mapping":
        reporter.note(node, node.describe(), f"a short name and what is said of it: `{SAMPLES[key]}`")
        return None
    found: dict[str, str] = {}
    for short, where, value in node.items():
        if _SHORT.fullmatch(short) is None:
            reporter.note(where, f"the short name `{short[:40]}`", "at most twelve letters and figures: `HM`, `G-1`")
        elif value.kind != "scalar" or value.is_empty:
            reporter.note(value, value.describe(), f"one line: `{SAMPLES[key]}`")
        elif _reads(key, short, value, reporter):
            found[short] = value.text
    return found if len(found) == len(node.items()) else None


def entry_text(key: str, line: str) -> str:
    """The entry of a person or a gauge as a record has it, in braces."""
    values = _values(key, line)[0]
    return "{" + ", ".join(f"{name}: {value}" for name, value in values.items()) + "}"


def person_line(text: str) -> tuple[str, str]:
    """Role and full name in the line of a person."""
    pieces = [one.strip() for one in text.split(";")]
    names = [one for one in pieces[1:] if not one.startswith(("accepted by ", _TELEPHONE))]
    return pieces[0], names[0] if names else ""


def gauge_kind(text: str) -> str:
    """The kind in the line of a gauge."""
    return text.split(";")[0].strip()


def _values(key: str, line: str) -> tuple[dict[str, str], str]:
    """The keys of an entry with their texts, and a piece that says nothing known; empty where there is none."""
    first, *pieces = (one.strip() for one in line.split(";"))
    hosts: list[str] = []
    values = {"role" if key == PEOPLE else "kind": plain_text(first)}
    odd = ""
    for piece in pieces:
        accepted = _ACCEPTED.fullmatch(piece) if key == PEOPLE else None
        told = next((word for word in _OF_A_GAUGE if key == GAUGES and piece.startswith(f"{word} ")), "")
        if accepted is not None:
            hosts.append(as_scalar(accepted[1], ""))
            values["accepted_by"] = f"[{', '.join(hosts)}]"
            values |= {name: plain_text(text) for name, text in (("from", accepted[2]), ("until", accepted[3])) if text}
        elif told:
            values[_OF_A_GAUGE[told]] = plain_text(piece.removeprefix(told).strip())
        elif key == GAUGES and piece == "never due":
            values["due"] = "never"
        elif key == PEOPLE and piece.startswith(_TELEPHONE) and "telephone" not in values:
            values["telephone"] = as_scalar(piece.removeprefix(_TELEPHONE).strip(), "")
        elif key == PEOPLE and "full_name" not in values:
            values["full_name"] = as_scalar(piece, "")
        else:
            odd = odd or piece
    return values, odd


def _reads(key: str, short: str, line: Node, reporter: RecordReporter) -> bool:
    """Whether a record would take the entry; what it would not is reported at the line."""
    odd = _values(key, line.text)[1]
    if odd:
        of_gauges = (*(f"{word} …" for word in _OF_A_GAUGE), "never due")
        known = ("telephone NUMBER", "accepted by HOST until DAY") if key == PEOPLE else of_gauges
        reporter.note(line, f"`{odd[:60]}` in what is said of {short}", some(known), nearest(odd, known))
        return False
    vocabulary = load_vocabulary()
    if key == GAUGES:
        words = vocabulary.gauge_kinds
        other = {name: kind.other_names for name, kind in words.items()}
        if not reporter.is_known(line, gauge_kind(line.text), words, "kind of gauge", lambda: other):
            return False
    problems = ProblemList()
    document = read_document(f"{short}: {entry_text(key, line.text)}\n", "the answer", problems)
    (read_people if key == PEOPLE else read_gauges)(document, RecordReporter(problems, vocabulary))
    for one in problems.problems:
        reporter.note(line, one.found, one.expected, one.nearest)
    return not len(problems)
