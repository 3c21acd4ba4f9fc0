"""The same move on a later day."""

from datetime import timedelta

from msgspec.structs import replace

from carknocker.record.model import Move


def shifted(move: Move, days: int) -> Move:
    """The move with its day out and its day back put off by as many days; all else, its request too, as it was."""
    span = timedelta(days=days)
    return replace(move, out=move.out + span, back=move.back + span)
