"""The answer to *why*: a tree of reasons, from the outcome down to the reading and the sentence of its source."""

from datetime import date
from typing import Literal

import msgspec

from carknocker.documents import Location
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty, Finding, Firing, Relief, RestrictionInForce
from carknocker.record.model import Evidence, Leave, Part, Spare, Work
from carknocker.rulebook.model import Source
from carknocker.whatif.model import Otherwise, Way

NodeSort = Literal[
    "outcome", "group", "against", "unfit", "firing", "finding", "duty", "restriction", "relief",
    "evidence", "void", "work", "leave", "spare", "clause", "nothing",
]  # fmt: skip
About = Finding | Firing | Duty | Evidence | Work | Relief | Leave | Spare | RestrictionInForce | None


class WhyNode(msgspec.Struct, frozen=True):
    """One thing that is so, and why.

    said: in one phrase. around: of a phrase that names the part it is about, what stands before and after that name.
    label: that name. shown: what evidence shows, without its part. lines: (label, text), in reading order. source: of
    its criterion or consequence. where: of evidence and entries the line of the record, of a rule the line of the
    edition. struck: void, or relieved of its effect. because: all direct reasons, shortest path first, then by name.
    about: the judgement's own object. nearest: of a finding that is breached or lapses, the nearest readings with which
    it would be met. back_by: of one that lapses, the last return with which it would last. leaving: of one that dates
    decide, the nearest earlier and later departures with which it would be met.
    """

    sort: NodeSort
    said: str
    lines: tuple[tuple[str, str], ...] = ()
    source: Source | None = None
    where: Location | None = None
    struck: bool = False
    because: "tuple[WhyNode, ...]" = ()
    about: About = None
    nearest: tuple[Way, ...] = ()
    back_by: date | None = None
    leaving: tuple[date | None, date | None] = (None, None)
    around: tuple[str, str] = ("", "")
    label: str = ""
    shown: str = ""


class WhyAnswer(msgspec.Struct, frozen=True):
    """parts: what the word for the part meant. rules: ids of the criteria and consequences asked about. otherwise: what
    would make the car ready, where that was asked for."""

    check: CheckAnswer
    question: str
    answer: str
    parts: tuple[Part, ...]
    rules: tuple[str, ...]
    nodes: tuple[WhyNode, ...]
    otherwise: Otherwise | None = None
