"""Who would sign what is only planned."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.situation import Situation
from carknocker.record import read_car_text, read_move
from carknocker.record.standing import stand
from carknocker.whatif.hypothetical_car import someone_accepted

CASE = Path("cases/larkspur/passenger")
DAY = date(2026, 9, 1)
ENDED = "events:\n  - {id: E-9, on: 2026-08-01, happened: acceptance ended, person: CW, host: HOST}\nmoves_made:\n"


def signer(*changes: tuple[str, str]) -> str:
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    move = read_move(CASE / "move.yaml")
    return someone_accepted(Situation(stand(read_car_text(text, "car.yaml"), move, DAY), move, {}), DAY).name


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("until: 2027-12-31", "CW"),
        ("from: 2026-09-01, until: 2027-12-31", "CW"),
        ("from: 2026-09-02, until: 2027-12-31", "PD"),
        ("until: 2026-08-31", "PD"),
    ],
)
def test_only_who_is_accepted_on_the_day_would_sign(said: str, name: str) -> None:
    """CW is the first of two whom the host accepts."""
    assert (
        signer(("accepted_by: [Kestrel & Northern], until: 2027-12-31", f"accepted_by: [Kestrel & Northern], {said}"))
        == name
    )


def test_an_acceptance_that_ended_with_another_host_is_no_matter() -> None:
    assert signer(("moves_made:\n", ENDED.replace("HOST", "Kestrel & Northern"))) == "PD"
    both = "accepted_by: [Kestrel & Northern, Brackwater & Inland]"
    elsewhere = ("moves_made:\n", ENDED.replace("HOST", "Brackwater & Inland"))
    assert signer(("accepted_by: [Kestrel & Northern]", both), elsewhere) == "CW"
