"""The same move on a later day."""

from datetime import timedelta

from msgspec.structs import replace

from carknocker.record.model import Move


def shifted(move: Move, days: int) -> Move:
    """The move with its days, those of its legs too, put off by as many days; all else, its request too, as it was."""
    span = timedelta(days=days)
    legs = tuple(
        replace(
            leg,
            on=None if leg.on is None else leg.on + span,
            until=None if leg.until is None else leg.until + span,
        )
        for leg in move.legs
    )
    return replace(move, out=move.out + span, back=move.back + span, legs=legs)
