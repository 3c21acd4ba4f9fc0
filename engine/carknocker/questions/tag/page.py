"""The bad-order tag as pages: two copies, one for each side of the car. What nobody may fill in here stays blank."""

from carknocker.dossier.sheet_head import head_with_outcome
from carknocker.page.model import Blanks, Block, Bullets, Emphasized, Head, Item, Page, Paragraph, Rows, Section
from carknocker.questions.tag.ask import BadOrderTag, Defect, TagItem
from carknocker.wording.outcomes import limits_sentence
from carknocker.wording.phrases import counted
from carknocker.wording.sources import cite

_SIDES = ("left", "right")
NOBODY_SIGNS = (
    "Signature and job title are those of the railroad's qualified person. The owner never signs, and this program "
    "signs for nobody: until that person has signed, it is a draft and the car is not tagged."
)


def tag_pages(tag: BadOrderTag) -> list[Page]:
    """Two copies of the tag; one page that says so where there is nothing to tag."""
    if not tag.defects:
        return [_nothing(tag)]
    return [_copy(tag, number, side) for number, side in enumerate(_SIDES, start=1)]


def _head(tag: BadOrderTag) -> Head:
    """The head counts the defects of the tag, not what else a host wants of the car."""
    return head_with_outcome(tag.answer, counted(len(tag.defects), "defect") if tag.defects else "")


def _nothing(tag: BadOrderTag) -> Page:
    words = "Nothing on record breaks a law that refuses the car: there is no defect to write on a tag."
    limits = limits_sentence(tag.answer.judgement.rulebook)
    blocks: list[Block | Item] = [Paragraph(f"{words} {limits}".rstrip())]
    if tag.unseen:
        blocks.append(Paragraph(_unseen(tag.unseen)))
    return Page(
        tag.car,
        Emphasized("NOTHING TO TAG"),
        "plain",
        (Section("Bad-order tag", tuple(blocks)),),
        head=_head(tag),
    )


def _unseen(number: int) -> str:
    if number == 1:
        return "1 more item keeps this car from moving; it is no defect under the law."
    return f"{number} more items keep this car from moving; they are no defects under the law."


def _copy(tag: BadOrderTag, number: int, side: str) -> Page:
    items = tuple(_item(item, tag) for item in tag.text.items)
    first = Paragraph(NOBODY_SIGNS, strong=True)
    about = (Paragraph(" ".join((tag.text.regime, *((_unseen(tag.unseen),) if tag.unseen else ())))),)
    return Page(
        f"BAD ORDER: {tag.car}",
        Emphasized(f"COPY {number} OF 2, FOR THE {side.upper()} SIDE OF THE CAR. NOT SIGNED."),
        "bad",
        (Section("The tag", (first, *items)), Section("Which text asks for it", about)),
        close=True,
        head=_head(tag),
    )


def _item(item: TagItem, tag: BadOrderTag) -> Item:
    return Item(f"{item.heading} ({item.asked_by})", _blocks(item, tag))


def _blocks(item: TagItem, tag: BadOrderTag) -> tuple[Block, ...]:
    given = tag.given
    match item.name:
        case "mark and number":
            return (Paragraph(tag.car, strong=True),)
        case "railroad":
            return (_said(tag.railroad),)
        case "inspector":
            return (_said(given.inspector),)
        case "location and date":
            return _labelled((("place", given.location), ("date", given.inspected_on)))
        case "defects":
            return (Bullets(tuple(_defect(defect) for defect in tag.defects)),)
        case "restrictions":
            return _restrictions(tag)
        case "destination":
            return (_said(given.destination),)
        case "signature":
            return (Blanks((("signature", ""),)),)
        case "job title":
            return (Blanks((("job title", ""), ("place", ""))),)


def _said(text: str) -> Block:
    """What is known, or a blank for it."""
    return Paragraph(text) if text else Blanks((("", ""),))


def _labelled(lines: tuple[tuple[str, str], ...]) -> tuple[Block, ...]:
    """What is known of some lines, then blanks for the others."""
    known = tuple(line for line in lines if line[1])
    blank = tuple(line for line in lines if not line[1])
    return (*((Rows(known),) if known else ()), *((Blanks(blank),) if blank else ()))


def _defect(defect: Defect) -> str:
    seen = f"; seen {defect.seen}" if defect.seen else ""
    kind = f"{defect.group} defect, {cite(defect.sources)}{seen}"
    measured = f"Measured: {defect.measured}; {kind}" if defect.measured else f"{kind[:1].upper()}{kind[1:]}"
    return f"{defect.fault.text}. {measured}"


def _restrictions(tag: BadOrderTag) -> tuple[Block, ...]:
    """What is in force already, what the text says of such defects, and room for what the qualified person sets."""
    says = tuple(dict.fromkeys(words for group, words in tag.text.conditions if not group or group in tag.groups))
    blocks: list[Block] = [Blanks((("highest speed", ""), ("other restrictions", "")))]
    if tag.restrictions:
        blocks.append(Paragraph(f"Restricted by law as the car was judged: {'; '.join(tag.restrictions)}"))
    blocks.append(Paragraph("The text says of such a move:"))
    blocks.append(Bullets(says))
    return tuple(blocks)
