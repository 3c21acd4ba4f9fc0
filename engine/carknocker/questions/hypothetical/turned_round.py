"""Comparisons seen from the other side: a leg that takes at least what the car weighs asks the car to weigh at most
what the leg takes."""

from msgspec.structs import replace

from carknocker.record.values import Value
from carknocker.rulebook.clauses import Comparison, Fixed, FromPart, WordName

_OTHER_WAY: dict[WordName, WordName] = {
    "at_least": "at_most", "at_most": "at_least", "over": "under", "under": "over", "is": "is", "is_not": "is_not",
    "before": "after", "after": "before",
}  # fmt: skip


def turned_round(clause: Comparison, own: Value) -> Comparison | None:
    """What a comparison with an attribute of another part asks of that attribute, where its own side is known. None
    where the limit is no attribute, or the word has no other side."""
    word = _OTHER_WAY.get(clause.word)
    if word is None or not isinstance(clause.limit, FromPart):
        return None
    path = replace(clause.limit.path, owner="")
    return replace(clause, path=path, word=word, limit=Fixed((own,)))
