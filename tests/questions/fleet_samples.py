"""Any number of generated cars under a small invented law, alike but for a mark and a flange: some ready, some not."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from planning_samples import MOVE, car_text, library_in, wheelset

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.check.fleet import CarTexts

AXLES = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}


def generated(number: int, folder: Path) -> Iterator[CarTexts]:
    """So many cars, each made when it is asked for. Every third has one flange of exactly 7/8 in, which is breached."""
    for count in range(number):
        wheelsets = {serial: wheelset() for serial in ("W-1", "W-2", "W-3", "W-4")}
        if count % 3 == 2:
            wheelsets["W-3"] = wheelset(flange="7/8 in")
        text = car_text(AXLES, wheelsets).replace("TSTX 1,", f"TSTX {count},")
        yield CarTexts(f"car {count}", text, MOVE.lstrip("\n"), (folder,))


def rules_in(folder: Path) -> Path:
    """The folder of the law that the generated cars are judged by."""
    library_in(folder, sizes=True)
    return folder


def short(answer: CheckAnswer) -> tuple[str, str, int]:
    """What is wanted of each answer here: small, and the same whoever judged."""
    judgement = answer.judgement
    return judgement.car.mark, judgement.outcome, len(judgement.refusals)


def whose(answer: CheckAnswer) -> int:
    """The process that judged."""
    del answer
    return os.getpid()
