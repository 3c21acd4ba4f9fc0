"""The result of a re-check as a page."""

from carknocker.page.model import Block, Bullets, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.verify.ask import DigestChange, FindingChange, Verified
from carknocker.questions.verify.dossier_reader import Given, GivenCorrection
from carknocker.questions.verify.packed_rules import PackedEdition
from carknocker.wording.parts import car_title, compact_labels

_ALSO = {
    "as_of": "the day of the judgement",
    "car": "mark, name or file of the car",
    "move": "what is told of the move",
    "regime": "which law binds",
    "rulebook": "what is told of the editions",
    "notes": "the notes",
    "refusals": "what keeps the car from moving",
    "findings": "where the findings are written, or what they rest on",
    "consequences": "what follows from findings and work",
    "restrictions": "the restrictions",
    "duties": "the duties",
    "on_the_way": "the duties during the move",
    "during_the_move": "the duties leg by leg",
    "void_evidence": "the void evidence",
    "reliefs": "the reliefs",
    "workings": "the worked figures",
    "serials": "the serials",
    "history": "work, events and tests by date",
    "tests": "the tests and who signed them",
    "papers": "the papers",
    "sheets": "the sheets of readings",
    "outcome_line": "the wording of the outcome",
    "summary": "the counts of findings",
}
_SAME = "The car record, the move and every edition are those that the dossier names"
_ALTERED = {
    True: "what differs was changed in the dossier after it was made",
    False: "what differs was changed in the dossier after it was made, or the other version judged otherwise",
}


def verify_page(given: Given, found: Verified, packed: tuple[PackedEdition, ...] = ()) -> Page:
    """The page of a re-check: identical, or what differs and what it was made from that has changed. packed: of a pack,
    its editions."""
    title = car_title(given.car)
    unlike = [one.edition for one in packed if one.unlike]
    if unlike:
        verdict = Emphasized(
            "NOT BY THE PROGRAM'S RULES",
            f": the pack has another {', '.join(unlike)} than the program has by that name.",
        )
    elif found.identical:
        verdict = Emphasized(
            "IDENTICAL", ": worked out again from these files and rules, it comes out word for word the same."
        )
    elif found.outcome[0] != found.outcome[1]:
        verdict = Emphasized("DIFFERS", f": the dossier says {_words(found, 0)}; it comes out {_words(found, 1)}.")
    else:
        same = f"the outcome is the same, {_words(found, 1)}"
        verdict = Emphasized("DIFFERS", f": {same}, but not all of it comes out as the dossier says.")
    sections = (
        _compared(given, found), _packed(packed), _digests(found.digests), _findings(found.findings), _also(found.also),
    )  # fmt: skip
    return Page(
        title,
        verdict,
        "good" if found.identical and not unlike else "bad",
        tuple(one for one in sections if one is not None),
    )


def _packed(packed: tuple[PackedEdition, ...]) -> Section | None:
    """By which editions a pack was judged again."""
    if not packed:
        return None
    own = "the program has the same, and judged by its own"
    came = "came with the pack: the program has none like it; ask its publisher whether it is his"
    other = "came with the pack, and says something else than the program's own edition of that name"
    lines = tuple(f"{one.edition}: {own if one.installed else other if one.unlike else came}" for one in packed)
    return Section("Editions of the pack", (Bullets(lines),))


def _compared(given: Given, found: Verified) -> Section:
    then, now = found.program
    rows = [
        ("judged as of", given.as_of.isoformat()),
        ("outcome then", _in_full(found, 0)),
        ("outcome now", _in_full(found, 1)),
    ]
    rows += [("made by", then)] if then == now else [("made by", then), ("re-checked by", now)]
    blocks: list[Block | Item] = [Rows(tuple(rows))]
    if not found.digests:
        blocks.append(Paragraph(f"{_SAME}." if found.identical else f"{_SAME}: {_ALTERED[then == now]}."))
    return Section("What was compared", tuple(blocks))


def _words(found: Verified, which: int) -> str:
    """The outcome then (0) or now (1), ready no further than the law at hand goes."""
    return found.outcome[which] + (", as far as the rules at hand go" if found.not_at_hand[which] else "")


def _in_full(found: Verified, which: int) -> str:
    missing = found.not_at_hand[which]
    return _words(found, which) + (f"; not at hand: {'; '.join(missing)}" if missing else "")


def _digests(changes: tuple[DigestChange, ...]) -> Section | None:
    items = tuple(Item(change.name, (Rows(_digest_rows(change)),)) for change in changes)
    lead = Paragraph("The dossier was made from something else than what was read now (SHA-256):")
    return Section("What it was made from has changed", (lead, *items)) if items else None


def _digest_rows(change: DigestChange) -> tuple[tuple[str, str], ...]:
    """Both digests, and for an edition which slips in it were corrected since."""
    corrected = (("corrected since", _correction_words(one)) for one in change.corrections)
    return (("then", change.then or "not used"), ("now", change.now or "not used"), *corrected)


def _correction_words(correction: GivenCorrection) -> str:
    rules = f" ({', '.join(correction.rules)})" if correction.rules else ""
    return f"edition {correction.edition}, {correction.on.isoformat()}: {correction.what}{rules}"


def _findings(changes: tuple[FindingChange, ...]) -> Section | None:
    """What differs alike on several parts is told once."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        alike.setdefault((change.fault, change.then, change.now), []).append(change.label)
    items = tuple(
        Item(
            _headed(labels, fault),
            (Rows((("then", then or "not among the open findings"), ("now", now or "not among the open findings"))),),
        )
        for (fault, then, now), labels in alike.items()
    )
    return Section(f"Findings that differ ({len(changes):,})", items) if items else None


def _headed(labels: list[str], fault: str) -> str:
    words = f"{compact_labels(labels)}: {fault}"
    return words[:1].upper() + words[1:]


def _also(keys: tuple[str, ...]) -> Section | None:
    items = tuple(_ALSO.get(key, f"`{key}`") for key in keys)
    return Section("What else differs", (Bullets(items),)) if items else None
