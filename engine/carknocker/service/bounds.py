"""What a number and a day in an address may be: what the databases hold, and the years that a record may name."""

from datetime import date
from typing import Annotated, TypeAlias

from pydantic import Field

from carknocker.record.value_reader import FIRST_YEAR, LAST_YEAR

Number: TypeAlias = Annotated[int, Field(ge=1, le=2**31 - 1)]
"""Of a version, an entry of the history, a link."""

Day: TypeAlias = Annotated[date, Field(ge=date(FIRST_YEAR, 1, 1), le=date(LAST_YEAR, 12, 31))]
