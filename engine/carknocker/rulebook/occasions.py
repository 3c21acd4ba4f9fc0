"""When a duty on the way falls due."""

from typing import Literal

import msgspec

from carknocker.quantities import Period, Quantity, write_quantity


class Occasion(msgspec.Struct, frozen=True):
    """When a duty on the way falls due: each day on which the car runs, each leg, or an interval from departure on."""

    sort: Literal["day in service", "leg", "period", "miles"]
    period: Period | None = None
    miles: Quantity | None = None

    def __str__(self) -> str:
        return str(self.period or (self.sort if self.miles is None else write_quantity(self.miles)))
