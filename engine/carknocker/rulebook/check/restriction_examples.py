"""The examples that a restriction of speed needs: a train at that speed, and one a step faster."""

from collections.abc import Iterable, Iterator, Sequence

from carknocker.record.values import Figure, Value
from carknocker.rulebook.check.boundaries import Lacking, pair
from carknocker.rulebook.example_model import ConsequenceExample
from carknocker.rulebook.model import Restriction

TRAIN_SPEED = "train.speed"


def has_speed(restrictions: Iterable[Restriction]) -> bool:
    return any(restriction.sort == "speed" for restriction in restrictions)


def speed_boundaries(
    examples: Sequence[ConsequenceExample], restrictions: Iterable[Restriction]
) -> Iterator[Lacking]:  # fmt: skip
    """What is missing: for a speed, the train that may run so and the one that may not; for a share, what is left."""
    trains: list[Value] = [example.given[TRAIN_SPEED] for example in examples if TRAIN_SPEED in example.given]
    for restriction in restrictions:
        if restriction.quantity is not None:
            for found, expected in pair("the speed", "at_most", Figure(restriction.quantity), trains, ""):
                yield found, f"{expected}, as `{TRAIN_SPEED}`"
        elif restriction.share is not None and all(
            example.capped_at is None or TRAIN_SPEED not in example.given for example in examples
        ):
            yield "no example of the share of the train's speed", f"an example with `{TRAIN_SPEED}` and `capped_at`"
