"""A car at a glance and why it is so, in the words and drawings of its dossier. Runs in worker processes."""

import msgspec

from carknocker.page.model import Leaf
from carknocker.service.asked import Sources, checked, in_plain_words, library_of
from carknocker.service.asked_questions import why_answer


class Fault(msgspec.Struct, frozen=True):
    """What keeps the car from moving, by its number in the drawing and the dossier. part: what it is on. cite: where
    the rule stands."""

    number: int
    part: str
    says: str
    cite: str


class Lapse(msgspec.Struct, frozen=True):
    """What holds for the last time on a day."""

    day: str
    said: str


class Glance(msgspec.Struct, frozen=True):
    """outcome: its word, as the dossier has it; why: in a sentence; limit: what restricts the car. drawing, narrow: SVG
    of the car from its side, for a desk and a phone; "" where the record has nothing to draw. described: the drawing in
    words."""

    outcome: str
    why: str
    limit: str
    faults: tuple[Fault, ...]
    lapses: tuple[Lapse, ...]
    drawing: str
    narrow: str
    described: str


def glance(sources: Sources) -> Glance:
    """The car as its page shows it. Raises Refused."""
    from carknocker.dossier.view import view_of
    from carknocker.judgement.index import JudgementIndex
    from carknocker.page.drawings.gallery import drawings
    from carknocker.questions.check.sheets.fault_numbers import numbered_faults, numbers_for_drawings
    from carknocker.questions.check.sheets.first_sheet import bar_of, fault_rows
    from carknocker.questions.due.ask import due

    with in_plain_words():
        answer = checked(sources)
        index = JudgementIndex(answer.judgement)
        view = view_of(answer, index)
        faults = numbered_faults(view, index)
        drawn = drawings(answer, index, numbers_for_drawings(faults, index))
        side = next((one for one in drawn if one.name == "car-side"), None)
        narrow = None if side is None else side.narrow
        lapses = sorted(due(answer, library_of(sources.editions)).lapses, key=lambda one: one.day)
        bar, rows = bar_of(view), fault_rows(view, faults, answer.judgement.move.host)
        return Glance(
            bar.word,
            bar.why,
            bar.limit,
            tuple(Fault(one.number, one.part, one.says, one.cite) for one in rows),
            tuple(Lapse(one.day.isoformat(), one.said) for one in lapses),
            "" if side is None else side.svg,
            "" if narrow is None else narrow.svg,
            "" if side is None else side.described,
        )


class Section(msgspec.Struct, frozen=True):
    """A section of an explanation: a tree to open, and what stands beside it as HTML of the page's own writer."""

    heading: str
    leaves: tuple[Leaf, ...]
    html: str


class Why(msgspec.Struct, frozen=True):
    """title, verdict: of the page. parts: of which it can be asked."""

    title: str
    verdict: str
    sections: tuple[Section, ...]
    parts: tuple[str, ...]


def why(sources: Sources, part: str, requirement: str) -> Why:
    """Why it is so, for the whole car, a part or a requirement. Raises Refused."""
    from carknocker.forms.names import name_on_a_form
    from carknocker.page.html import html_of_markdown
    from carknocker.page.markdown import block_markdown
    from carknocker.page.model import Item, Tree
    from carknocker.questions.why.page import why_page
    from carknocker.record.standing import listed_now
    from carknocker.wording.next_steps import BY_PAGE

    with in_plain_words():
        answer = checked(sources)
        page = why_page(why_answer(answer, library_of(sources.editions), part, requirement), BY_PAGE)
        sections: list[Section] = []
        for section in page.sections:
            leaves: list[Leaf] = []
            html: list[str] = []
            for block in section.blocks:
                for inner in block.blocks if isinstance(block, Item) else (block,):
                    if isinstance(inner, Tree):
                        leaves.extend(inner.leaves)
                    else:
                        html.append(str(html_of_markdown(block_markdown(inner))))
            sections.append(Section(section.heading, tuple(leaves), "".join(html)))
        car = answer.judgement.car
        standing = listed_now(car)
        names = tuple(dict.fromkeys(name_on_a_form(one, standing) for one in car.parts))
        return Why(page.title, page.verdict, tuple(sections), names)
