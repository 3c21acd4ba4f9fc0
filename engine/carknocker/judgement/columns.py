"""The figures of one attribute on all parts of a kind, laid out in rows: several criteria ask for the same ones."""

from carknocker.judgement.situation import Situation
from carknocker.record.model import Evidence, Part

Column = list[tuple[Part, Evidence | None, int, int, int, int]]
"""A row a part: its evidence; the figure n/d in the base unit, d 0 where nothing that counts is an exact figure; how
far it may be off, times d: uncertainty/reso_d, reso_d 0 where that is not known."""


class Columns:
    """The columns of one situation, each made when it is first asked for."""

    def __init__(self, situation: Situation) -> None:
        self._views = situation.views
        self._made: dict[tuple[str, str], Column] = {}

    def column(self, parts: tuple[Part, ...], attribute: str) -> Column:
        """An attribute on all parts of a kind. parts: those, at least one."""
        key = (parts[0].kind, attribute)
        if key not in self._made:
            self._made[key] = [self._row(part, attribute) for part in parts]
        return self._made[key]

    def _row(self, part: Part, attribute: str) -> tuple[Part, Evidence | None, int, int, int, int]:
        held = self._views[part.key].get(attribute)
        if held is None or not held.d:
            return part, None, 0, 0, 0, 0
        return part, held.evidence, held.n, held.d, held.reso_n * held.d, held.reso_d
