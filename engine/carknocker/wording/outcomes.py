"""An outcome in words that claim no more than the law at hand and the dates of the move allow."""

from carknocker.judgement.model import Judgement, Outcome
from carknocker.rulebook.model import Rulebook

READY: tuple[Outcome, ...] = ("ready", "ready with restrictions")


def outcome_words(judgement: Judgement, outcome: Outcome | None = None) -> str:
    """`ready, as far as the 295 rules at hand go`. outcome: of the same car after work, where not the judgement's."""
    said = outcome or judgement.outcome
    return f"{said}{qualification(judgement)}" if said in READY else said


def outcome_in_brief(outcome: Outcome, *, complete: bool, ended: bool = False, restricted: str = "") -> str:
    """The outcome where there is room for a few words, saying where ready is good for less than it seems. complete:
    whether all law that binds is at hand. ended: whether the move was over on the day judged. restricted: to what."""
    word = f"{outcome}: {restricted}" if restricted else outcome
    if outcome not in READY:
        return word
    between = "; " if restricted else ", "
    return between.join((word, *(("law in part",) if not complete else ()), *(("move ended",) if ended else ())))


def qualification(judgement: Judgement) -> str:
    """What follows the word *ready* where the move is over or not all law is at hand; else empty."""
    ended = judgement.move.back
    over = f", for a move that ended on {ended.isoformat()}" if ended < judgement.as_of else ""
    return over + as_far_as(judgement.rulebook)


def as_far_as(rulebook: Rulebook) -> str:
    """`, as far as the 295 rules at hand go`; empty where nothing of the law that binds is missing."""
    number = len(rulebook.criteria)
    rules = "the one rule at hand goes" if number == 1 else f"the {number:,} rules at hand go"
    return "" if rulebook.complete else f", as far as {rules}"


def limits_sentence(rulebook: Rulebook) -> str:
    """`As far as the 295 rules at hand go; not at hand: 49 CFR 232.711.` Empty where nothing is missing."""
    if rulebook.complete:
        return ""
    return f"A{as_far_as(rulebook).removeprefix(', a')}; {not_at_hand_words(rulebook)}."


def not_at_hand_words(rulebook: Rulebook) -> str:
    """`not at hand: 49 CFR 232.711; 49 CFR 232.712`; empty where nothing is missing."""
    return "" if rulebook.complete else f"not at hand: {'; '.join(rulebook.not_at_hand)}"
