"""Where a page sends its reader on: on the command line to a command, in the service to a page of its own."""

import shlex

import msgspec


class NextSteps(msgspec.Struct, frozen=True):
    """requirement: where one is seen in full. plan: the work in order. worksheet: the whole form; sheet: one of it,
    with `{}` for its name. quotes: whether that name is for a shell. everything: of what does not apply, and is only
    counted. miles: how the miles planned in a year are named; "" where they can't be."""

    requirement: str
    plan: str
    worksheet: str
    sheet: str
    quotes: bool
    everything: str
    miles: str = ""

    def to_sheet(self, name: str | None) -> str:
        """To one sheet of the worksheet, or to all of it where there is no name."""
        if name is None:
            return self.worksheet
        return self.sheet.format(shlex.quote(name) if self.quotes else name)


BY_COMMAND = NextSteps(
    requirement="`carknocker why CAR PART RULE`",
    plan="`carknocker plan CAR`",
    worksheet="`carknocker worksheet CAR`",
    sheet="`carknocker worksheet CAR --sheet {}`",
    quotes=True,
    everything="`--all` lists them, each with its reason",
    miles="`--miles-a-year 5,000 mi`",
)
BY_PAGE = NextSteps(
    requirement="“Why is it so?”, asked about a part and a rule",
    plan="“What work to do in what order”",
    worksheet="the worksheet",
    sheet="the worksheet, {}",
    quotes=False,
    everything="they don't apply to this car, and are only counted",
)
