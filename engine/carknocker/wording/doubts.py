"""What is said of a doubtful reading: what is odd, the readings that it is about, and what settles it."""

from carknocker.judgement.doubts import StandingDoubt
from carknocker.record.model import Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.oddities import oddity_words, settled_by

_MOST_NAMED = 4
_OF_THE_MOVE = "correct it in the move file, or write `sure: WHY` beside it"
"""What settles a doubt about what the move file alone says."""


def doubt_words(doubt: StandingDoubt, label: str = "") -> str:
    """One doubt as the fault: `truck B: … (weight on truck B 67,400 lb, line 210); read it again …`. label: names the
    parts where the same is doubtful of several; the readings are then those of the first."""
    named = [_reading(one, doubt) for one in doubt.touched[:_MOST_NAMED]]
    rest = len(doubt.touched) - len(named)
    more = f"; and {rest} more" if rest else ""
    of_move = all(kind_of_key(one.part) in MOVE_KINDS for one in doubt.touched)
    settled = _OF_THE_MOVE if of_move else settled_by(doubt.odd)
    return f"doubtful: {label or doubt.part.label}: {oddity_words(doubt.odd)} ({'; '.join(named)}{more}); {settled}"


def _reading(evidence: Evidence, doubt: StandingDoubt) -> str:
    """A reading by its name, its value and its line; of another part than the doubt, with that."""
    attribute = load_vocabulary().attribute(kind_of_key(evidence.part), evidence.attribute)
    label = evidence.attribute.replace("_", " ") if attribute is None else attribute.short_label
    part = "" if evidence.part == doubt.part.key else f"{evidence.place}: "
    return f"{part}{label} {value_words(evidence.value)}, line {evidence.where.line}"
