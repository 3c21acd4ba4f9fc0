"""The answer to *why* as a page: a tree from the outcome down to the reading, the gauge, the sentence."""

from collections.abc import Iterable

from msgspec.structs import replace

from carknocker.judgement.model import Finding, Judgement
from carknocker.page.model import Block, Bullets, Item, Leaf, Page, Paragraph, Section, Tree, tone_of
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.record.model import Evidence
from carknocker.whatif.model import Dates, JobSaid, Otherwise, Sets, Stands, WorkSet
from carknocker.whatif.way_words import window_words
from carknocker.wording.next_steps import BY_COMMAND, NextSteps
from carknocker.wording.parts import car_title, compact_labels
from carknocker.wording.sources import file_of, place_of, place_words, source_words

_OF_EACH = ("follows", "stops")
"""Lines that may differ among reasons that are alike; those of all of them are told."""
_Key = tuple[object, ...]


def alike_together(nodes: tuple[WhyNode, ...], judgement: Judgement) -> tuple[WhyNode, ...]:
    """The reasons, those that are alike as one, in the place of the first. What they rest on is put together likewise,
    so that nothing is left out: where their grounds differ, each stays with its own part."""
    groups: dict[_Key, list[WhyNode]] = {}
    for node in nodes:
        groups.setdefault(_key(node, judgement), []).append(node)
    return tuple(_one(group, judgement) for group in groups.values())


def _key(node: WhyNode, judgement: Judgement) -> _Key:
    lines = tuple(line for line in node.lines if line[0] not in _OF_EACH)
    said: object = node.around if node.label else node.said
    # Readings are alike wherever in the record they stand; rules are alike only if they are the same rule.
    where = None if isinstance(node.about, Evidence) else node.where
    return node.sort, bool(node.label), said, lines, node.source, where, node.struck


def _one(group: list[WhyNode], judgement: Judgement) -> WhyNode:
    first = group[0]
    because = alike_together(tuple(under for node in group for under in node.because), judgement)
    label = compact_labels(node.label for node in group) if first.label and len(group) > 1 else first.label
    said = label.join(first.around) if first.label else first.said
    lines = tuple(
        (name, text if name not in _OF_EACH else "; ".join(_texts(group, name))) for name, text in first.lines
    )
    where = first.where
    if len({node.where for node in group}) > 1:
        where = None
        lines = (*lines, ("at", _places(group, judgement)))
    return WhyNode(
        first.sort, said, lines, first.source, where, first.struck, because, first.about, around=first.around,
        label=label, shown=first.shown,
    )  # fmt: skip


def _texts(group: list[WhyNode], name: str) -> list[str]:
    return list(dict.fromkeys(text for node in group for label, text in node.lines if label == name))


def _places(group: list[WhyNode], judgement: Judgement) -> str:
    """`car.yaml:61, 72`: the lines of each file."""
    by_file: dict[str, dict[str, None]] = {}
    for node in group:
        if node.where is not None:
            by_file.setdefault(file_of(node.where, judgement), {})[str(node.where.line)] = None
    return "; ".join(f"{file}:{', '.join(lines)}" for file, lines in by_file.items())


IN_FULL = 3
"""So many criteria of which something is not shown are told in full; of what a part passes, too."""


def is_missing(node: WhyNode, above: WhyNode | None) -> bool:
    """Whether a reason is the one under the outcome that holds all that is not shown, and holds much."""
    return (
        above is not None
        and above.sort == "outcome"
        and node.sort == "group"
        and len(node.because) > IN_FULL
        and all(isinstance(one.about, Finding) and one.about.verdict == "not shown" for one in _findings(node))
    )


def missing_leaf(node: WhyNode, steps: NextSteps = BY_COMMAND) -> Leaf:
    """All that is not shown: of each criterion its fault, its source and its name."""
    return Leaf(node.said, (f"each in full: {steps.requirement}",), tuple(map(_of_rule, node.because)))


def _findings(node: WhyNode) -> tuple[WhyNode, ...]:
    return tuple(one for rule in node.because for one in rule.because)


def _of_rule(rule: WhyNode) -> Leaf:
    source = "" if rule.source is None else f"{place_words(rule.source)}; "
    return Leaf(rule.said, (f"{source}{rule_words(rule)}",))


def rule_words(node: WhyNode) -> str:
    """The short name of the rule of a reason, by which it is asked about."""
    about = node.because[0].about if node.sort == "group" and node.because else node.about
    return f"rule: {about.criterion.name}" if isinstance(about, Finding) else "rule: "


_PASSED = ("met", "not applicable")
_TOLD = ("measured", "required", "margin")


def is_passed(node: WhyNode) -> bool:
    """Whether a reason is a group of many findings that refuse nothing."""
    return (
        node.sort == "group"
        and len(node.because) > IN_FULL
        and all(isinstance(one.about, Finding) and one.about.verdict in _PASSED for one in node.because)
    )


def passed_leaf(node: WhyNode, steps: NextSteps = BY_COMMAND) -> Leaf:
    """Each with its figures and its name."""
    return Leaf(node.said, (f"each in full: {steps.requirement}",), tuple(map(_of_finding, node.because)))


def _of_finding(node: WhyNode) -> Leaf:
    lines = dict(node.lines)
    said = f"{node.label}: {node.about.criterion.title}" if isinstance(node.about, Finding) else node.said
    rule = rule_words(node)
    told = [f"{label}: {lines[label]}" for label in _TOLD if lines.get(label)]
    return Leaf(said, ("; ".join([*told, rule]),)) if told else Leaf(f"{said}; {rule}")


_MOST = 6


def otherwise_section(answer: Otherwise, steps: NextSteps = BY_COMMAND) -> Section:
    """The section; every line of it was found by judging."""
    return Section("What would make it ready", (_work(answer.work, steps), _dates(answer.dates)))


def _assumed(sets: Sets) -> str:
    if sets.assumed == 1:
        return "1 reading, test or paper turns out"
    return f"{sets.assumed:,} readings, tests and papers turn out"


def _work(sets: Sets, steps: NextSteps) -> Item:
    blocks: list[Block] = []
    if sets.put:
        blocks.append(Paragraph("Put on record first, by looking and writing down:"))
        blocks.append(Bullets(_stands(sets.put)))
    if sets.sets and any(one.jobs for one in sets.sets):
        assumed = f", if {_assumed(sets)} good" if sets.assumed else ""
        clears = "clears all that work can clear" if sets.beyond else "makes the car ready"
        each = "This set" if len(sets.sets) == 1 else "Each of these sets"
        blocks.append(Paragraph(f"{each} {clears}{assumed}; no job of it can be left out."))
        blocks.append(Bullets(tuple(map(_set, sets.sets))))
        more = "There are more sets than these. " if sets.more else ""
        blocks.append(Paragraph(f"{more}In workable order, with days: {steps.plan}."))
    elif sets.sets:
        blocks.append(Paragraph(f"No work, if {_assumed(sets)} good."))
    elif sets.more:
        blocks.append(Paragraph("The search for sets of work ended before one was found."))
    elif not sets.beyond:
        blocks.append(Paragraph("No set of the work on offer suffices."))
    if sets.beyond:
        blocks.append(Paragraph("No work on offer clears:"))
        blocks.append(Bullets(_stands(sets.beyond)))
    if sets.left:
        besides = " besides" if sets.beyond else ""
        blocks.append(Paragraph(f"The set of work that leaves least leaves{besides}:"))
        blocks.append(Bullets(_stands(sets.left)))
    if sets.permitted:
        blocks.append(Paragraph("Or, with the host's written permission, as it is:"))
        blocks.append(Bullets(_stands(sets.permitted)))
    return Item("Work", tuple(blocks))


def _set(one: WorkSet) -> str:
    return "; ".join((*map(_job, one.jobs), *one.provisos))


def _job(job: JobSaid) -> str:
    return f"{job.work} at {compact_labels(job.labels)}" + (f" ({job.serial})" if job.serial else "")


def _dates(dates: Dates) -> Item:
    tried = (
        f"departures from {dates.first_tried.isoformat()} to {dates.last_tried.isoformat()}, and every earlier return, "
        "with the record as it stands"
    )
    lines = []
    if dates.back_by is not None:
        lines.append(f"ready if back by {dates.back_by.isoformat()}, leaving as planned")
    lines.extend(f"ready {window_words(one)}" for one in (dates.earlier, dates.later) if one is not None)
    if lines:
        return Item("Dates", (Bullets(tuple(lines)), Paragraph(f"Tried: {tried}.")))
    if not dates.whatever:
        return Item("Dates", (Paragraph(f"No date helps; tried: {tried}. On each of them something else stands."),))
    return Item(
        "Dates",
        (Paragraph(f"No date helps; tried: {tried}. On every one of them stands:"), Bullets(_stands(dates.whatever))),
    )


def _stands(found: Iterable[Stands]) -> tuple[str, ...]:
    lines = [one.fault or f"{one.title}: {compact_labels(one.labels)}" for one in found]
    more = len(lines) - _MOST
    return (*lines[:_MOST], *((f"and {more:,} more",) if more > 0 else ()))


FOLDED_FROM = 5
"""A group inside a group is folded when it has at least this many members."""
_ALONE = (
    "car", "move", "as of", "requirement", "measured", "required", "margin", "would pass", "or", "worked", "settles",
    "why", "follows",
    "says", "asks", "seen", "due", "stops",
)  # fmt: skip
"""Lines of a reason that stand by themselves; the short ones are put together."""


def why_page(answer: WhyAnswer, steps: NextSteps = BY_COMMAND) -> Page:
    """The page of an answer. steps: where it sends its reader on."""
    judgement = answer.check.judgement
    title = car_title(judgement.car)
    nodes = alike_together(answer.nodes, judgement)
    if answer.parts or answer.rules:
        leaves = tuple(passed_leaf(node, steps) if is_passed(node) else _leaf(node, judgement) for node in nodes)
    else:
        leaves = tuple(_outcome_leaf(node, judgement, steps) for node in answer.nodes)
    blocks: tuple[Paragraph | Tree | Item, ...] = (Tree(leaves),)
    if answer.rules:
        blocks = (Paragraph(f"Asked about: {', '.join(answer.rules)}"), *blocks)
    if _folds(nodes):
        hint = f"Where many are alike they are folded: name a part or a rule to see one, {steps.requirement}."
        blocks = (*blocks, Paragraph(hint))
    tone = "plain" if answer.parts or answer.rules else tone_of(judgement.outcome, complete=answer.check.complete)
    sections = [Section("Because", blocks)]
    if answer.otherwise is not None:
        sections.append(otherwise_section(answer.otherwise, steps))
    return Page(f"{title}: {answer.question}", answer.answer, tone, tuple(sections))


def _outcome_leaf(node: WhyNode, judgement: Judgement, steps: NextSteps) -> Leaf:
    """The outcome; what is not shown, where that is much, in a few lines for each criterion."""
    number = next((number for number, one in enumerate(node.because) if is_missing(one, node)), None)
    if number is None:
        return _leaf(alike_together((node,), judgement)[0], judgement)
    before, after = node.because[:number], alike_together(node.because[number + 1 :], judgement)
    first = _leaf(alike_together((replace(node, because=before),), judgement)[0], judgement)
    rest = (_leaf(one, judgement, node) for one in after)
    return replace(first, under=(*first.under, missing_leaf(node.because[number], steps), *rest))


def _leaf(node: WhyNode, judgement: Judgement, above: WhyNode | None = None, *, inside_group: bool = False) -> Leaf:
    """A reason with what it rests on. above: the reason over it; a rule that is the same is not named a second time."""
    same_rule = (
        above is not None and node.source is not None and (node.source, node.where) == (above.source, above.where)
    )
    told = above.lines if same_rule and above is not None else ()
    notes = _notes(node, judgement, told, same_rule=same_rule)
    if _folded(node, inside_group):
        return Leaf(node.said, (*notes, f"{len(node.because)} of them, folded"), (), node.struck)
    grouped = inside_group or node.sort == "group"
    under = tuple(_leaf(child, judgement, node, inside_group=grouped) for child in node.because)
    return Leaf(node.said, notes, under, node.struck)


def _notes(
    node: WhyNode, judgement: Judgement, told: tuple[tuple[str, str], ...], *, same_rule: bool
) -> tuple[str, ...]:
    lines = [line for line in node.lines if not (line[0] == "rule" and line in told) and not _said_already(line, node)]
    if node.where is not None and not same_rule:
        lines.append(("at", place_of(node.where, judgement)))
    readings = node.sort in ("evidence", "void", "work")
    alone = [f"{label}: {text}" for label, text in lines if label in _ALONE and not readings]
    short = "; ".join(f"{label}: {text}" for label, text in lines if label not in _ALONE or readings)
    source = [f"source: {source_words(node.source)}"] if node.source is not None and not same_rule else []
    return (*alone, *source, *([short] if short else []))


def _said_already(line: tuple[str, str], node: WhyNode) -> bool:
    """Why a duty is open, where that is what it requires; what was seen, where the evidence under it says just that."""
    label, text = line
    if label == "why":
        return ("required", text) in node.lines
    return label == "seen" and bool(node.because) and all(node.shown == under.shown for under in node.because)


def _folded(node: WhyNode, inside_group: bool) -> bool:
    return node.sort == "group" and inside_group and len(node.because) >= FOLDED_FROM


def _folds(nodes: tuple[WhyNode, ...], inside_group: bool = False) -> bool:
    return any(
        _folded(node, inside_group) or _folds(node.because, inside_group or node.sort == "group") for node in nodes
    )
