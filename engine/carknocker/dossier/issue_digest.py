"""The first signs of what a dossier was made from, by which loose sheets of two issues are told apart."""

from carknocker.judgement.model import Judgement

SIGNS = 4
_BETWEEN = "·"


def issue_digest(judgement: Judgement) -> str:
    """`921f·033f·97d9`: the first four signs of the digests of the car, the move, and all rules together."""
    return _BETWEEN.join(judgement.digests[of][:SIGNS] for of in ("car", "move", "rulebook"))
