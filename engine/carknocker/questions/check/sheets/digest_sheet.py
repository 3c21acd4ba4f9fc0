"""Sheet 8: the rules that bind the move, how they were read, the findings counted, the digests of all that was read,
and how to work the page out again."""

from carknocker.dossier.view import View
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Block, Bullets, ColumnKind, Commands, Item, Paragraph, Section, Table
from carknocker.questions.check.recheck import recheck_of

_MEANS = {
    "met": "measured or on file, within the rule",
    "breached": "failed",
    "borderline": "nearer to the limit than the gauge can tell",
    "not shown": "nothing on record that counts",
    "for the day": "left for the host’s inspector",
    "lapses": "runs out before the return",
    "void": "work or an event came after it",
    "not applicable": "does not apply to this car; counted, and listed only in an appendix of everything",
}
_GROUP = 8


def digest_sheet(view: View, index: JudgementIndex) -> Section:
    """The sheet."""
    recheck = recheck_of(index)
    editions = tuple(
        (
            one.layer,
            one.title,
            one.in_force.removeprefix("in force since "),
            one.checked.removeprefix("text checked on ") + one.warning,
        )
        for one in view.rulebook
    )
    rules = Table(
        "Rules that bind this move", ("Layer", "Edition", "In force since", "Text last compared"), editions, headed=True
    )
    blocks: list[Block | Item] = [Item("Rules that bind this move", (rules, *_paragraphs(view)))]
    blocks.append(Item("How the rules were read", (Bullets(_how_read(view)),), half=True))
    counts = tuple(
        (f"{number:,}", verdict, _MEANS.get(verdict, "")) for verdict, number in view.summary.verdicts if number
    )
    kinds: tuple[ColumnKind, ...] = ("number", "text", "text")
    findings = Table("Findings", ("Count", "Verdict", "Meaning"), counts, kinds, headed=True)
    blocks.append(Item("Findings", (findings,), half=True))
    digests = tuple((name, _grouped(digest)) for name, digest in recheck.digests)
    table = Table("SHA-256 digests", ("File or edition", "Digest"), digests, headed=True)
    told = (
        "The head of each sheet gives the first signs of the digests of the car, the move and all rules. A sheet with "
        "another head belongs to another issue of this report."
    )
    blocks.append(Item("SHA-256 digests", (table, Paragraph(told))))
    again = (
        f"Made by {recheck.program}. The same files, rules and day give this page again, letter by letter. In the "
        "folder of the files:"
    )
    blocks.append(Item("Work it out again", (Paragraph(again), Commands((recheck.make, recheck.check)))))
    blocks.append(Item("Cautions", (Bullets(view.cautions),)))
    lead = (
        "Anyone can work this report out again. The appendix, a file of its own, has every requirement with its "
        "margin, workings, rules quoted, words used."
    )
    return Section("Rules and digests", tuple(blocks), folded=True, sheet=True, lead=lead)


def _how_read(view: View) -> tuple[str, ...]:
    """How many rules were read in which way; which of them to look up is told in the appendix."""
    counted = view.sources.lines[:-1] if view.sources.to_check else view.sources.lines
    check = (view.sources.to_check_sentence,) if view.sources.to_check else ()
    return (*counted, *check)


def _paragraphs(view: View) -> tuple[Paragraph, ...]:
    regime = (Paragraph(view.regime),) if view.regime else ()
    return (*regime, *(Paragraph(note, strong=True) for note in view.notes))


def _grouped(digest: str) -> str:
    return " ".join(digest[first : first + _GROUP] for first in range(0, len(digest), _GROUP))
