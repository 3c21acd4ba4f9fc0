"""The top of a page: the outcome in one line, the move, the law that binds it, and the rulebook with its age."""

from datetime import date
from fractions import Fraction

import msgspec

from carknocker.documents import listed
from carknocker.dossier.looked_at import NOT_LOOKED_AT, LookedAt
from carknocker.judgement.model import Judgement
from carknocker.judgement.reliefs import used_for_the_move
from carknocker.page.model import Emphasized
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Move
from carknocker.record.value_words import value_words
from carknocker.rulebook.model import Layer
from carknocker.wording.outcomes import not_at_hand_words, qualification

OLD_AFTER_DAYS = 365
_LAYERS: dict[Layer, str] = {"law": "law", "trade": "practice", "host": "circular"}


class EditionLine(msgspec.Struct, frozen=True):
    """One edition of the rulebook, by its short name and in full.

    old: its text was last checked against the source more than a year before the day of the page.
    """

    layer: str
    name: str
    title: str
    in_force: str
    checked: str
    old: bool

    @property
    def warning(self) -> str:
        """What to add if the check is old; else empty."""
        return ". OLD CHECK: look whether the text has changed since" if self.old else ""


def outcome_line(
    judgement: Judgement,
    blockers: int,
    looked_at: LookedAt | None = None,
    *,
    restricted: str = "",
    bad_news: bool = False,
) -> str:
    """The outcome in one line, claiming no more than is shown.

    looked_at: as in `not_yet_looked_at`. restricted: what a car that may move is restricted to, in few words. bad_news:
    bad news stands below that no rule at hand asks about.
    """
    if looked_at is not None:
        return Emphasized(NOT_LOOKED_AT, f": {looked_at.words}.")
    match judgement.outcome:
        case "ready":
            return Emphasized("READY", _ready(judgement, "", bad_news, ""))
        case "ready with restrictions":
            letters = [f"{one.id} of {one.host}" for one in used_for_the_move(judgement.reliefs, judgement.findings)]
            permitted = f" under written permission {listed(letters)}, and" if letters else ""
            under = f"{permitted} under the restrictions and duties below"
            return Emphasized("READY WITH RESTRICTIONS", _ready(judgement, under, bad_news, restricted))
        case "repair move only":
            to = f"{restricted}; " if restricted else ""
            may = "but it may go to be repaired under the conditions below; the host decides"
            return Emphasized("REPAIR MOVE ONLY", f": {to}{items_keep(blockers)}, {may}.")
        case _:
            return Emphasized("NOT READY", f": {items_keep(blockers)}.")


def _ready(judgement: Judgement, under: str, bad_news: bool, restricted: str) -> str:
    missing, limited = not_at_hand_words(judgement.rulebook), qualification(judgement)
    said = f"nothing on record keeps this car from moving{under}"
    if bad_news:
        said = f"no rule at hand keeps this car from moving{under}, but there is bad news about which none asks"
    if restricted:
        limited = f": {restricted}{limited.replace(',', ';', 1)}"
    between = f"; {missing}." if missing else "." if restricted else ":"
    return f"{limited}{between} {said if between == ':' else said[0].upper() + said[1:]}; the host decides."


def items_keep(number: int) -> str:
    """`6 items keep this car from moving`."""
    return "1 item keeps this car from moving" if number == 1 else f"{number:,} items keep this car from moving"


def move_rows(judgement: Judgement, day: date) -> tuple[tuple[str, str], ...]:
    """The move in labelled rows."""
    move = judgement.move
    rows = [
        ("host", move.host if move.circular else f"{move.host} (no circular: law and practice alone)"),
        ("dates", f"out {move.out.isoformat()}, back {move.back.isoformat()}; judged as of {day.isoformat()}"),
    ]
    if move.legs:
        places = [move.legs[0].start, *(leg.end for leg in move.legs)]  # the reader proves that they join
        total = sum((leg.miles.amount for leg in move.legs), Fraction(0))
        miles = write_quantity(Quantity.of("distance", total, "mi"))
        rows.append(("route", f"{' → '.join(places)}, {miles}"))
    place = move.train_facts.get("place")
    speed = move.train_facts.get("speed")
    train = [f"{move.train} train"]
    if place is not None:
        train.append(place_in_train(value_words(place)))
    if speed is not None:
        train.append(f"up to {value_words(speed)}")
    rows.append(("train", ", ".join(train)))
    rows.append(("riders", riders_words(move)))
    return tuple(rows)


def place_in_train(words: str) -> str:
    """`rear of train`, `anywhere in the train`."""
    return f"{words} in the train" if words == "anywhere" else f"{words} of train"


def riders_words(move: Move) -> str:
    """Who rides in the car."""
    return {"nobody": "empty: no riders", "crew": "occupied: crew only"}.get(move.rides, "occupied: passengers")


def regime_of(judgement: Judgement) -> str:
    """The law that binds the car in this kind of train, and why; empty if no edition of law says so."""
    sentences = [
        edition.regimes[judgement.move.train]
        for edition in judgement.rulebook.editions
        if edition.layer == "law" and judgement.move.train in edition.regimes
    ]
    return " ".join(sentences)


def edition_lines(judgement: Judgement, day: date) -> tuple[EditionLine, ...]:
    """Every edition with the day from which it binds, and how long ago its text was last checked."""
    lines = []
    for edition in judgement.rulebook.editions:
        days = (day - edition.checked).days
        revision = f", revision {edition.revision}" if edition.revision > 1 else ""
        publisher = f", {edition.publisher}" if edition.publisher else ""
        amends = f", amends {edition.amends}" if edition.amends else ""
        until = f" until {edition.until.isoformat()}" if edition.until is not None else ""
        ago = f", {days:,} day{'' if days == 1 else 's'} ago" if days > 0 else ", today" if days == 0 else ""
        against = f" ({edition.checked_against})" if edition.checked_against else ""
        lines.append(
            EditionLine(
                layer=_LAYERS[edition.layer],
                name=f"{edition.ruleset} {edition.name}",
                title=f"{edition.title} (edition {edition.name}{revision}{amends}{publisher})",
                in_force=f"in force since {edition.in_force.isoformat()}{until}",
                checked=f"text checked on {edition.checked.isoformat()}{ago}{against}",
                old=days > OLD_AFTER_DAYS,
            )
        )
    return tuple(lines)
