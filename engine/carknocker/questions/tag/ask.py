"""`tag`: the bad-order tag of a car, with every item that the text for its train lists. Nobody's name is signed."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.facts import LeaveFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, RestrictionInForce
from carknocker.judgement.reliefs import left_by
from carknocker.judgement.restrictions import restriction_words
from carknocker.rulebook.model import Source
from carknocker.vocabulary import TagGroup, load_vocabulary
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.faults import FaultLine, fault_of_findings
from carknocker.wording.parts import car_title, part_words
from carknocker.wording.sources import place_words
from carknocker.wording.verdicts import FindingWords, finding_words

ItemName = Literal[
    "mark and number", "railroad", "inspector", "location and date", "defects", "restrictions", "destination",
    "signature", "job title",
]  # fmt: skip


class TagItem(msgspec.Struct, frozen=True):
    """One item of the tag: what it is, how it is headed, and the sections that ask for it."""

    name: ItemName
    heading: str
    asked_by: str


class TagText(msgspec.Struct, frozen=True):
    """regime: which text asks for the tag in this train, and why. conditions: what that text says of the move itself,
    each with the defects it is about ("" for any)."""

    regime: str
    items: tuple[TagItem, ...]
    conditions: tuple[tuple[str, str], ...]


def _items(asked: Mapping[ItemName, str]) -> tuple[TagItem, ...]:
    headings: Mapping[ItemName, str] = {
        "mark and number": "Reporting mark and car number",
        "railroad": "Name of the inspecting railroad",
        "inspector": "Name of the inspector",
        "location and date": "Place and date of the inspection",
        "defects": "Nature of each defect",
        "restrictions": "Movement restrictions and safety restrictions, if any",
        "destination": "Destination where the repair will be made",
        "signature": "Signature, if possible",
        "job title": "Job title and place of the person who signs",
    }
    return tuple(TagItem(name, headings[name], sections) for name, sections in asked.items())


_PASSENGER = "49 CFR 238.15(c)(2), 238.17(c)(4)"
_FREIGHT = "49 CFR 232.15(b)(1)"

TAG_TEXTS: Mapping[str, TagText] = {
    "passenger": TagText(
        regime="Passenger train: 49 CFR 238.15(c)(2) lists the items for a brake defect, 238.17(c)(4) for any other; "
        "this tag has the items of both. An automated tracking system of the railroad may stand in for it.",
        items=_items({
            "mark and number": _PASSENGER, "railroad": _PASSENGER, "inspector": _PASSENGER,
            "location and date": _PASSENGER, "defects": _PASSENGER, "restrictions": "49 CFR 238.17(c)(4)(v)",
            "destination": _PASSENGER, "signature": _PASSENGER, "job title": _PASSENGER,
        }),
        conditions=(
            ("brake", "brake defect found at the brake test: the train moves only for repair, without passengers in "
             "any of its cars, 238.15(b)(1)"),
            ("brake", "from 50 to under 75 percent of the train's brakes operative: 20 mph or less, with passengers "
             "only to the next forward passenger station, then empty to the nearest place of repair, 238.15(d)(2)"),
            ("brake", "from 75 to under 85 percent operative: half the train's maximum allowable speed or 40 mph, "
             "whichever is less, to the next forward place of repair, 238.15(d)(3)(i), (d)(4)(i)"),
            ("brake", "from 85 to under 100 percent operative: to the next forward place of repair, 238.15(d)(3)(ii), "
             "(d)(4)(ii)"),
            ("brake", "front or rear unit with brakes out: its hand brake inside the car, a qualified person at it and "
             "nobody else in the car, 238.15(e)(1); outside or out of reach, locked out and empty, 20 mph or less, "
             "removed or repositioned at the first location, 238.15(e)(2)"),
            ("running gear", "running-gear defect: a qualified maintenance person decides; found at the daily "
             "inspection, not used in passenger service and moved in a non-revenue train, 238.17(b)(1), (c)(1)"),
            ("other", "other defect: in a revenue train only if a qualified maintenance person finds it safe, and then "
             "locked out and empty, 238.17(b)(2)"),
            ("safety appliance", "safety-appliance defect: moved only if needed for repair, to the nearest available "
             "location, the crew told, 238.17(e)"),
            ("running gear", "not later than the next calendar day mechanical inspection, 238.17(c)(6)"),
            ("other", "not later than the next calendar day mechanical inspection, 238.17(c)(6)"),
            ("", "the crewmember in charge is told, and tells all other crewmembers, 238.17(c)(3)"),
        ),
    ),
    "freight": TagText(
        regime="Freight or other non-passenger train: 49 CFR 232.15 binds the brakes; 215.9 names freight cars and "
        "binds a passenger car only as the host's contract. 232.15(b)(1) lists the items for a brake defect; this tag "
        "has them for any defect. 215.9(a)(3) wants a tag that says \"bad order\" or \"home shop for repairs\", "
        "securely attached to each side.",
        items=_items({
            "mark and number": _FREIGHT, "railroad": _FREIGHT, "inspector": _FREIGHT, "location and date": _FREIGHT,
            "defects": _FREIGHT, "restrictions": _FREIGHT, "destination": _FREIGHT, "signature": _FREIGHT,
            "job title": _FREIGHT,
        }),
        conditions=(
            ("brake", "not in a train in which less than 85 percent of the cars have operative and effective brakes, "
             "232.15(a)(9)"),
            ("", "only a car that became defective while the railroad used it on its line, found by the railroad "
             "before it is moved, and that can't be repaired where it was found, 232.15(a)(2)-(6)"),
            ("brake", "a qualified person decides that it is safe, and sets the maximum safe speed and other "
             "restrictions; the person in charge of the train is told in writing, 232.15(a)(11)"),
            ("brake", "not the rear car, and not more than two cars with brakes out together, 232.15(e)"),
            ("brake", "not in a train that is due a Class I brake test at the place, 232.15(a)(8)"),
            ("brake", "to the nearest available location where the repair can be made, 232.15(a)(7)"),
            ("", "a designated person decides that it is safe, and sets maximum speed and other restrictions; the "
             "person in charge of the train is notified in writing, 215.9(a)(1), (2)"),
            ("", "the record is kept for 90 days, and shown within 15 days when asked for, 232.15(b)(3), 215.9(b)(2)"),
        ),
    ),
    "excursion": TagText(
        regime="Tourist, scenic, historic or excursion operation: outside 49 CFR 238 (238.3(c)(3)), and no text that "
        "was read lists the items of its tag. This tag has those of 238.15(c)(2) and 238.17(c)(4), as good practice; "
        "the operation's own rules come first.",
        items=_items({
            name: "good practice, after 49 CFR 238.15(c)(2) and 238.17(c)(4)" for name in (
                "mark and number", "railroad", "inspector", "location and date", "defects", "restrictions",
                "destination", "signature", "job title",
            )
        }),  # fmt: skip
        conditions=(("", "who may decide that the car moves, and how, is for the operation's own rules"),),
    ),
}  # fmt: skip
"""Kind of train → what its tag has to say. Sections as of the 2015 text."""


class Defect(msgspec.Struct, frozen=True):
    """One thing wrong on one or more parts alike, of what refuses the car. parts: labels. fault: what is wrong.
    measured, seen: empty of what is void, since nobody saw the defect when the test was made. sources: of each law that
    the one reading breaks."""

    parts: tuple[str, ...]
    title: str
    fault: FaultLine
    measured: str
    required: str
    seen: str
    sources: tuple[Source, ...]
    group: TagGroup


class TagGiven(msgspec.Struct, frozen=True):
    """What whoever asks for the tag already knows; "" is left blank on it."""

    inspector: str = ""
    location: str = ""
    inspected_on: str = ""
    destination: str = ""


class BadOrderTag(msgspec.Struct, frozen=True):
    """A tag. text: what its train's text asks of it. restrictions: by law, with their source. unseen: how many other
    items keep the car from moving that are no defect that someone has seen, and so stand on no tag."""

    car: str
    railroad: str
    text: TagText
    given: TagGiven
    defects: tuple[Defect, ...]
    restrictions: tuple[str, ...]
    unseen: int
    answer: CheckAnswer

    @property
    def conditions(self) -> tuple[str, ...]:
        """What the text says of the move itself, for defects such as these."""
        return tuple(words for group, words in self.text.conditions if not group or group in self.groups)

    @property
    def unsigned(self) -> None:
        """Signature and job title: for a person to write, never for the program."""

    @property
    def groups(self) -> frozenset[TagGroup]:
        return frozenset(defect.group for defect in self.defects)


def tag_of(answer: CheckAnswer, given: TagGiven = TagGiven()) -> BadOrderTag:  # noqa: B008 (frozen)
    """The tag for a car as it was judged: its defects are the breached or void findings of law that refuse it."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    standing = [
        refusal.finding for refusal in judgement.refusals
        if refusal.finding is not None and _is_defect(refusal.finding, index)
    ]  # fmt: skip
    return BadOrderTag(
        car=car_title(judgement.car),
        railroad=judgement.move.host,
        text=TAG_TEXTS[judgement.move.train],
        given=given,
        defects=tuple(_defects(standing, index)),
        restrictions=_restrictions(index),
        unseen=_off_the_tag(view_of(answer, index), standing),
        answer=answer,
    )


def _off_the_tag(view: View, standing: list[Finding]) -> int:
    """How many of the items that the dossier counts have no defect on the tag."""
    written = {finding.criterion.id for finding in standing}
    on_it = [
        one for one in view.items.blockers
        if one.verdict in ("breached", "void") and written.intersection(one.criterion.split(", "))
    ]  # fmt: skip
    return view.blocker_count - len(on_it)


def _is_defect(finding: Finding, index: JudgementIndex) -> bool:
    """Whether a finding that refuses stands on a tag: law, breached or void, on a part of the car. What a host or the
    trade wishes, a paper that ran out and what was merely not shown do not."""
    if finding.criterion.layer != "law" or finding.part.kind in MOVE_KINDS:
        return False
    paths = index.explain(finding).attributes
    return finding.verdict in ("breached", "void") and not (paths and paths[0].attribute.type == "paper")


def _restrictions(index: JudgementIndex) -> tuple[str, ...]:
    """What the law restricts as the car was judged, and what a leave for repair puts in the place of a refusal, each
    with its source. What a circular or the trade wishes is not written on a tag, where it would read as what the defect
    lets the car do."""
    judgement = index.judgement
    layers = {one.ruleset: one.layer for one in judgement.rulebook.editions}
    by_law = [one for one in judgement.restrictions if layers.get(one.said_by.partition("/")[0]) == "law"]
    for_repair = left_by(judgement.reliefs, judgement.findings, "repair")
    by_words: dict[str, dict[str, None]] = {}
    for one in (*by_law, *for_repair):
        if one.restriction.sort != "tag":
            by_words.setdefault(restriction_words(one.restriction), {})[_said_in(one, index)] = None
    return tuple(f"{words} ({'; '.join(places)})" for words, places in by_words.items())


def _said_in(restricted: RestrictionInForce, index: JudgementIndex) -> str:
    """Where a restriction stands: in a rule, or in the host's letter that a rule lets stand."""
    (*_, reason) = restricted.reasons
    rules = [one.relieves for one in index.judgement.reliefs if one.consequence.id == restricted.said_by]
    if isinstance(reason, LeaveFact) and not any(restricted.restriction in one.leaves for one in rules):
        return f"written permission {reason.leave}"
    said_by = index.criteria.get(restricted.said_by) or index.consequences[restricted.said_by]
    return place_words(said_by.source)


def _defects(findings: list[Finding], index: JudgementIndex) -> Iterator[Defect]:
    """Findings that say the same of several parts, as one defect, in the order of the walk. Several laws that one
    reading breaks are one defect."""
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        said = finding_words(index.explain(finding))
        key = (finding.criterion.id, finding.verdict, _figure(said), said.required, _seen(finding))
        alike.setdefault(key, []).append(finding)
    by_reading: dict[tuple[object, ...], list[Defect]] = {}
    for number, own in enumerate(alike.values()):
        defect = _defect(own, index)
        readings = tuple(sorted({finding.evidence.id for finding in own if finding.evidence is not None}))
        key_of_it = (defect.parts, defect.group, defect.fault.said, readings) if defect.seen else (number,)
        by_reading.setdefault(key_of_it, []).append(defect)
    for defects in by_reading.values():
        yield _one_defect(defects)


def _figure(said: FindingWords) -> str:
    return f"{said.measured}, {said.margin}" if said.margin else said.measured


def _defect(own: list[Finding], index: JudgementIndex) -> Defect:
    first = own[0]
    said, criterion = finding_words(index.explain(first)), first.criterion
    is_void = first.verdict == "void"
    return Defect(
        tuple(part_words(finding.part) for finding in own),
        criterion.title,
        fault_of_findings(own, index),
        "" if is_void else _figure(said),
        said.required,
        "" if is_void else _seen(first),
        (criterion.source,),
        load_vocabulary().kinds[criterion.of].tag_group,
    )


def _one_defect(defects: list[Defect]) -> Defect:
    """Defects that one reading shows, with each limit and each source."""
    first = defects[0]
    if len(defects) == 1:
        return first

    def joined(texts: Iterable[str]) -> str:
        return "; ".join(dict.fromkeys(filter(None, texts)))

    return replace(
        first,
        title=joined(one.title for one in defects),
        fault=replace(
            first.fault, must=" and ".join(dict.fromkeys(one.fault.must for one in defects if one.fault.must))
        ),
        measured=joined(one.measured.partition(",")[0] for one in defects),
        required=joined(one.required for one in defects),
        sources=tuple(dict.fromkeys(source for one in defects for source in one.sources)),
    )


def _seen(finding: Finding) -> str:
    """When and by whom it was seen; "" for what the record only describes."""
    evidence = finding.evidence
    if evidence is None or evidence.on is None:
        return ""
    by = "" if evidence.by is None else f" by {evidence.by.full_name or evidence.by.name} ({evidence.by.role})"
    return f"{evidence.on.isoformat()}{by}"
