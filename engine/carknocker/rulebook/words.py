"""The words of comparison, and which of them fit which type of attribute."""

from carknocker.quantities import DIMENSIONS
from carknocker.rulebook.clauses import WordName
from carknocker.vocabulary.model import Attribute

FIGURE_WORDS: tuple[WordName, ...] = ("over", "at_least", "under", "at_most")
LIST_WORDS: tuple[WordName, ...] = ("one_of", "none_of", "holds_all")
_PLAIN: tuple[WordName, ...] = ("is", "is_not", "one_of", "none_of", "shown")
WORDS: tuple[WordName, ...] = (
    "over", "at_least", "under", "at_most", "is", "is_not", "one_of", "none_of", "holds_all", "shown", "within",
    "in_force", "before", "after",
)  # fmt: skip


def words_for(attribute: Attribute) -> tuple[WordName, ...]:
    """The words that fit the type of an attribute."""
    dated: tuple[WordName, ...] = () if attribute.description else ("within",)
    kind = attribute.type
    if kind in DIMENSIONS or kind in ("period", "count"):
        return (*FIGURE_WORDS, *_PLAIN, *dated)
    if kind == "yes or no":
        return ("is", "is_not", "shown", *dated)
    if kind == "list of":
        return ("holds_all", "shown", *dated)
    if kind == "date":
        return ("before", "after", "within", "shown")
    if kind == "test":
        return ("shown", "within")
    if kind == "paper":
        return ("shown", "within", "in_force")
    return (*_PLAIN, *dated)
