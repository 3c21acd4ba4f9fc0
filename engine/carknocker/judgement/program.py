"""Which program made a dossier: its version, and what chained the consequences."""

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


def version_text() -> str:
    """`carknocker 0.1.0 (chains with durable-rules 2.0.28)`."""
    maker = made_by()
    chains_with = _with_version(maker.evaluator) if AVAILABLE else "its plain evaluator"
    return f"{maker.program} {maker.version} (chains with {chains_with})"


def _with_version(library: str) -> str:
    from importlib.metadata import PackageNotFoundError, version  # too slow for every start

    try:
        return f"{library} {version(library)}"
    except PackageNotFoundError:
        return library
