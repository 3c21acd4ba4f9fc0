"""The JSON of the API that is not an answer of the command line."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

MOST_CHARACTERS = 2_000_000

Text = Annotated[str, Field(max_length=MOST_CHARACTERS)]


class Model(BaseModel):
    """A frozen model without further keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class CarByAnswers(Model):
    """A car to be added by the answers to the interview, as `carknocker new --answers` reads them."""

    answers: Text


class CarByTexts(Model):
    """A car to be added by the texts of its record and its move."""

    record: Text
    move: Text


class NewText(Model):
    """A new version of a record or a move."""

    text: Text
    note: str = Field("", max_length=1_000)


class PutAway(Model):
    """A car taken out of the list, or put back. why: needed to take it out."""

    away: bool
    why: str = Field("", max_length=300)


class Version(Model):
    """An entry of the history."""

    id: int
    kind: str
    name: str
    number: int
    digest: str
    at: str
    by: str
    note: str


class VersionWithText(Version):
    """A version and its text."""

    text: str


class CarLine(Model):
    """A car, and how it stood on the day `as_of`. mark, name: as the newest record has them. up_to_date: false while it
    is being judged, since its record, its move, a ruleset or the day has changed; then `before` is its outcome of that
    day, and no more of it is told. over: the move was over on that day; away: the car was put away."""

    id: str
    mark: str
    name: str
    out: str
    as_of: str
    outcome: str
    first_fault: str
    next_lapse: str
    up_to_date: bool
    before: str
    over: bool
    away: bool


class Cars(Model):
    """A page of the list of cars. next: what `after` is to be for the page that follows; null on the last. moved: the
    ids of those of them that came, or changed places, after the first page was asked for; each may be on an earlier
    page too."""

    cars: list[CarLine]
    next: str | None
    moved: list[str]


class Versions(Model):
    """A page of a history, the newest first. next: what `before` is to be for the page that follows."""

    versions: list[Version]
    next: int | None


class EditionTexts(Model):
    """An edition as it is from now on: the text of each of its files by name; none to take the edition back."""

    files: dict[Annotated[str, Field(max_length=80)], Text] = Field(max_length=50)
    note: str = Field("", max_length=1_000)


class SentEdition(Model):
    """An edition that was sent in. files: the newest version of each; tag: for If-Match."""

    ruleset: str
    edition: str
    tag: str
    files: list[Version]


class SentEditions(Model):
    """The editions that were sent in."""

    editions: list[SentEdition]


class EditionWithTexts(SentEdition):
    """An edition that was sent in, with the text of each file by name; one that was taken out is left out."""

    texts: dict[str, str]


class HeldSheet(Model):
    """A sheet of a form that was not taken. sheet, name: how the form calls it, and knows it. field, in a problem: the
    number of the field of an HTML form, 0 for none."""

    sheet: str
    name: str
    problems: list[dict[str, str | int]]


class Entered(Model):
    """What a form brought. brought: how much of what, in words. photographs_left: those of the form that were not
    taken, as it counts them from 1."""

    readings: int
    brought: str
    added: str
    doubtful: list[str]
    held: list[HeldSheet]
    notes: list[str]
    photographs_left: list[int]


class Looked(Model):
    """What is wrong with a text that is being typed; empty if nothing is."""

    problems: list[dict[str, str | int]]


class Act(Model):
    """A line of the audit list. about: of which version, link or person; no contents."""

    at: str
    who: str
    what: str
    car: str
    about: str


class Acts(Model):
    """A page of the audit list, the newest first. next: what `before` is to be for the page that follows."""

    acts: list[Act]
    next: str | None


class FindingLeft(Model):
    """What the host's inspector left on a dossier. dossier: its digest; by: his name
    and his link; remarks: null where the text was blanked."""

    at: str
    by: str
    finding: str
    remarks: str | None
    dossier: str
    version: int


class FindingsLeft(Model):
    """What was left on the dossiers of a car, the newest first."""

    findings: list[FindingLeft]
