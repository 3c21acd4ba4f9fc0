"""Which program made a dossier: its version, and who chained the consequences."""

import msgspec

from carknocker import __version__
from carknocker.judgement.chain.adapter import AVAILABLE


class MadeBy(msgspec.Struct, frozen=True):
    """evaluator: `durable-rules`, or `plain` where that can't be imported; both must give the same answer."""

    program: str
    version: str
    evaluator: str


def made_by() -> MadeBy:
    """This program, on this Python."""
    return MadeBy("carknocker", __version__, "durable-rules" if AVAILABLE else "plain")
