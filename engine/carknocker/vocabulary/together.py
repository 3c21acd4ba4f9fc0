"""What must hold together: values of one part, or of a part and what is in it, that can't all be true."""

from typing import Literal

import msgspec

Comparison = Literal["at most", "under", "over"]
Words = tuple[tuple[str, tuple[str, ...]], ...]
"""Attributes, each with its words."""


class Path(msgspec.Struct, frozen=True):
    """An attribute of the part itself (`kind` empty), or of each part of a kind in it."""

    kind: str
    attribute: str


class Order(msgspec.Struct, frozen=True, tag=True):
    """Each of what `paths` names, or with `added` the sum of all, is at most, under or over the attribute `other` of
    the part, or of the one part of a kind in it (`kind.attribute`), or, where that is empty, nothing, with n/d of the
    base unit added. figure: n/d as it is written.

    where: only there, asked of the part that has the path. unless_job: not asked once such a job is on record.
    """

    paths: tuple[Path, ...]
    added: bool
    comparison: Comparison
    other: str
    n: int
    d: int
    figure: str
    where: Words
    unless_job: str


class WordsTogether(msgspec.Struct, frozen=True, tag=True):
    """Where the part has one of these words, it has one of those; or, by `count`, so many parts of a kind."""

    words: Words
    go_with: Words
    count: tuple[tuple[str, int], ...]


class Identity(msgspec.Struct, frozen=True, tag=True):
    """No two parts share it. unlike: attributes that tell two of them apart where both are known and differ. spare: the
    spare whose serial is one, too."""

    attribute: str
    unlike: tuple[str, ...]
    spare: str


class OneFigure(msgspec.Struct, frozen=True, tag=True):
    """All parts with one identity `by` have one figure; or, read on one day, figures that lie within n/d of the base
    unit of each other. within: n/d as it is written, empty for one figure."""

    attribute: str
    by: str
    n: int = 0
    d: int = 1
    within: str = ""


class DayOfJob(msgspec.Struct, frozen=True, tag=True):
    """A day that is not later than the newest such job at the part."""

    attribute: str
    job: str


class OwnPosition(msgspec.Struct, frozen=True, tag=True):
    """A word that is the position of a part of the kind (what is stenciled on it, say) is its own position."""

    attribute: str


class JobWhere(msgspec.Struct, frozen=True, tag=True):
    """Such a job can be done only on a part that has one of these words of each attribute. unless_job: the newest such
    job, if it came later, made another part of it."""

    jobs: tuple[str, ...]
    where: Words
    unless_job: str


Rule = Order | WordsTogether | Identity | OneFigure | DayOfJob | OwnPosition | JobWhere


class Together(msgspec.Struct, frozen=True):
    """One row. of: the kind of part at which it is asked. do: what to do where it does not hold."""

    id: str
    of: str
    rule: Rule
    do: str
    source: str


class Outside(msgspec.Struct, frozen=True):
    """What lies outside of the cars that ranges and rows are made for: a text of a part that has one of the words, or a
    part with another number of parts of the kind `count` than `numbers`. says: what is said of it; `{number}` in it is
    how many there are."""

    of: str
    says: str
    attribute: str = ""
    words: tuple[str, ...] = ()
    count: str = ""
    numbers: tuple[int, ...] = ()
