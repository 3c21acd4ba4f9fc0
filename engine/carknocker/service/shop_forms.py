"""What a shop sends by its link: a form of its one sheet. It waits, as it came, until the owner or a helper accepts it;
then it is entered as the shop's."""

from collections.abc import Sequence
from typing import Literal

import msgspec

from carknocker.documents.visible_text import one_line
from carknocker.service import asked
from carknocker.service.access.roles import Visitor
from carknocker.service.asked import EnteredForm, ForShops
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotThere, not_there
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.history import Changed, NewVersion, Version

MOST_WAITING = 5
"""Of one link."""


class TooManyWait(Exception):
    """A link by which as many forms wait as may wait."""


class SentForm(msgspec.Struct, frozen=True):
    """A form that a shop sent. decision: "" while it waits, else `accepted` or `declined`, with why. decided_by, at: of
    the decision."""

    entry: Version
    link: int
    sheet: str
    decision: str = ""
    decided_by: str = ""
    decided_at: str = ""


class ShopForms:
    """The forms that shops sent for the cars that are kept."""

    def __init__(self, keeping: Keeping) -> None:
        self._keeping = keeping

    def on_offer(self, car: str) -> ForShops:
        """What a shop may be given. Raises Refused, NotThere."""
        return self._keeping.workers.ask(asked.for_shops, self._keeping.sources(car))

    def to_fill_in(self, who: Visitor, ending: Literal["html", "xlsx"]) -> bytes:
        """The sheet of a link, to be filled in. Raises Refused."""
        sources = self._keeping.sources(who.car)
        return self._keeping.workers.ask(asked.form_to_fill_in, sources, ending, "", who.about, who.signer)

    def send(self, who: Visitor, form: bytes, form_name: str) -> EnteredForm:
        """Keeps a form until somebody decides; returns what it would bring. Raises Refused, also where it says anything
        of another sheet, or was signed by another than the link names, and TooManyWait."""
        if len(self._keeping.history.undecided(who.car, _series(who), most=MOST_WAITING)) >= MOST_WAITING:
            raise TooManyWait
        would = self._would(who.car, form, form_name, who.about, who.signer)
        self._keeping.add([
            NewVersion(who.car, "sent form", _series(who), form, "application/octet-stream",
                       self._keeping.written_now(), who.name, one_line(form_name))
        ])  # fmt: skip
        return would

    def of_car(self, car: str, *, before: int | None = None, most: int) -> tuple[SentForm, ...]:
        """The forms that shops sent for a car, the newest first. before: only those older than the one of that
        number."""
        return self._with_decisions(car, self._keeping.history.versions(car, "sent form", before=before, most=most))

    def that_wait(self, car: str, *, most: int) -> tuple[SentForm, ...]:
        """Those on which nobody has decided yet, the one that waits longest first."""
        return self._with_decisions(car, self._keeping.history.undecided(car, most=most))

    def by_link(self, who: Visitor, *, before: int | None = None, most: int) -> tuple[SentForm, ...]:
        """Those that were sent by one link, the newest first."""
        history = self._keeping.history
        sent = history.versions(who.car, "sent form", name=_series(who), before=before, most=most)
        return self._with_decisions(who.car, sent)

    def one(self, car: str, number: int) -> SentForm:
        """The form of a number in the history. Raises NotThere."""
        with not_there(number):
            entry = self._keeping.history.entry(car, number)
        if entry.kind != "sent form":
            raise NotThere(number)
        (sent,) = self._with_decisions(car, (entry,))
        return sent

    def _with_decisions(self, car: str, sent: Sequence[Version]) -> tuple[SentForm, ...]:
        decided = self._keeping.history.decisions(car, [one.id for one in sent])
        return tuple(_sent(one, decided.get(one.id)) for one in sent)

    def would_bring(self, car: str, sent: SentForm) -> EnteredForm:
        """What a form that waits would bring now. Raises Refused, ContentMissing."""
        return self._would(car, self._body(sent), sent.entry.note, sent.sheet, self.signer_of(sent))

    def accept(self, car: str, number: int, by: Visitor) -> EnteredForm:
        """Enters a form as the shop's. Raises NotThere, Refused, and Changed where it is decided already."""
        sent = self._waiting(car, number)
        decision = self._decision(car, sent, "accepted", by)
        name = f"{sent.entry.by}; accepted by {by.name}"
        signed = sent.sheet, self.signer_of(sent)
        return self._keeping.enter_sent(car, self._body(sent), sent.entry.note, name, signed, decision)

    def decline(self, car: str, number: int, by: Visitor, why: str) -> None:
        """Declines a form; it stays in the history as it came. Raises NotThere, Changed."""
        sent = self._waiting(car, number)
        said = f"declined: {one_line(why)[:300]}" if why.strip() else "declined"
        self._keeping.add([self._decision(car, sent, said, by)])

    def _waiting(self, car: str, number: int) -> SentForm:
        sent = self.one(car, number)
        if sent.decision:
            raise Changed(sent.entry)
        return sent

    def _decision(self, car: str, sent: SentForm, said: str, by: Visitor) -> NewVersion:
        body = f"{said}\n".encode()
        at = self._keeping.written_now()
        return NewVersion(car, "decision", str(sent.entry.id), body, "text/plain", at, by.name, said, after=0)

    def _would(self, car: str, form: bytes, form_name: str, sheet: str, signer: str) -> EnteredForm:
        return self._keeping.workers.ask(asked.entered, self._keeping.sources(car), form, form_name, sheet, signer).told

    def signer_of(self, sent: SentForm) -> str:
        """Who alone may have signed a form, by the link it came by; "" for whoever is on record."""
        return AccountStore(self._keeping.history.engine).signer_of(sent.link)

    def _body(self, sent: SentForm) -> bytes:
        return self._keeping.history.body(sent.entry.digest)[1]


def _series(who: Visitor) -> str:
    """The name under which the history has what one link sends."""
    return f"{who.opener} {who.about}"


def _sent(entry: Version, decision: Version | None) -> SentForm:
    link, _, sheet = entry.name.partition(" ")
    if decision is None:
        return SentForm(entry, int(link), sheet)
    return SentForm(entry, int(link), sheet, decision.note, decision.by, decision.at)
