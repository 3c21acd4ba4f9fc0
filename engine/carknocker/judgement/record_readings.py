"""What a record shows by itself, without a move and its rules: for lifts and workings that no move is asked for."""

from datetime import date

from carknocker.judgement.evidence import uncounted
from carknocker.record.model import CarRecord, Evidence
from carknocker.record.standing import Standing, car_on_day, stand
from carknocker.record.values import NotAccessible


class RecordReadings:
    """The newest evidence of each attribute on a day. Readings of a gauge that was overdue or found wrong don't count;
    what later work made void only the rules of a move can tell."""

    def __init__(self, car: CarRecord, day: date) -> None:
        self.standing: Standing = stand(car, None, day)
        self._excluded = uncounted(car_on_day(car, day))

    def newest(self, part: str, attribute: str) -> Evidence | None:
        """The newest evidence that counts, or None."""
        found = self.counted(part, attribute)
        return found[-1] if found else None

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        """All evidence that counts, oldest first."""
        entries = self.standing.evidence.get(key, {}).get(attribute, ())
        return [one for one in entries if one.id not in self._excluded and not isinstance(one.value, NotAccessible)]
