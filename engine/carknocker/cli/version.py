"""The version of the program, and who chains on this Python."""

from importlib.metadata import PackageNotFoundError, version

from carknocker import __version__
from carknocker.judgement.chain.adapter import AVAILABLE


def version_text() -> str:
    """`carknocker 0.1.0 (chains with durable-rules 2.0.28)`."""
    return f"carknocker {__version__} (chains with {_chainer()})"


def _chainer() -> str:
    if not AVAILABLE:
        return "its plain evaluator"
    try:
        return f"durable-rules {version('durable-rules')}"
    except PackageNotFoundError:
        return "durable-rules"
