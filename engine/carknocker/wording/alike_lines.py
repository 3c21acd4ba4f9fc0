"""Lines about several axles: what is alike in all of them told once, then those that are alike together."""

from collections.abc import Mapping, Sequence

import msgspec

from carknocker.wording.record_lines import RecordLine


class AlikeLines(msgspec.Struct, frozen=True):
    """common: lines that all axles have. groups: axles whose other lines are alike, with these."""

    common: tuple[RecordLine, ...]
    groups: tuple[tuple[tuple[int, ...], tuple[RecordLine, ...]], ...]


def alike_lines(lines: Mapping[int, Sequence[RecordLine]]) -> AlikeLines:
    """lines: by axle. Of one axle nothing is common: it has all its lines to itself."""
    shared = [set(own) for own in lines.values()]
    every = set.intersection(*shared) if len(shared) > 1 else set()
    first = next(iter(lines.values()), ())
    groups: dict[tuple[RecordLine, ...], list[int]] = {}
    for axle, own in lines.items():
        groups.setdefault(tuple(line for line in own if line not in every), []).append(axle)
    return AlikeLines(
        tuple(line for line in first if line in every),
        tuple((tuple(axles), rest) for rest, axles in groups.items()),
    )


def axles_words(axles: Sequence[int]) -> str:
    """`axle 2`, `axles 1 and 3`, `axles 1, 2 and 3`."""
    if len(axles) == 1:
        return f"axle {axles[0]}"
    return f"axles {', '.join(map(str, axles[:-1]))} and {axles[-1]}"
