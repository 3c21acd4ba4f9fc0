"""The head of every sheet that is made from one judgement, so that loose sheets of two issues can't be mixed up."""

from msgspec.structs import replace

from carknocker.dossier.issue_digest import issue_digest
from carknocker.dossier.items import items_of
from carknocker.dossier.looked_at import outcome_word
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import Head
from carknocker.wording.parts import car_title
from carknocker.wording.phrases import counted


def head_of(answer: CheckAnswer, items: int | None = None) -> Head:
    """The head of the finding, whose word is the outcome: how many items keep the car from moving, the day, the move,
    the first signs of the digests. Whose word is good for less than it seems, alone in a pile, says so beside it.
    items: their number, where it is known already."""
    move = answer.judgement.move
    back = move.back.isoformat()
    until = back[5:] if back[:4] == move.out.isoformat()[:4] else back
    ended = ", ended" if answer.day > move.back else ""
    number = len(items_of(JudgementIndex(answer.judgement)).in_order) if items is None else items
    told = f"{counted(number, 'item')} · " if number else ""
    told += f"as of {answer.day.isoformat()} · {move.host}, {move.out.isoformat()} to {until}{ended}"
    if answer.outcome != "not ready" and not answer.complete:
        told += " · law in part"
    return Head(car_title(answer.judgement.car), told, issue_digest(answer.judgement))


def head_with_outcome(answer: CheckAnswer, found: str | None = None) -> Head:
    """The same for a sheet whose word is another (`PLAN`, `ORDER`): the outcome stands before the day. found: what the
    sheet counts in the place of the items, such as `2 defects`; empty where it counts nothing."""
    head = head_of(answer, items=None if found is None else 0)
    told = f"{found} · {head.told}" if found else head.told
    between = ": " if answer.outcome == "not ready" else " "
    return replace(head, told=f"{outcome_word(JudgementIndex(answer.judgement))}{between}{told}")
