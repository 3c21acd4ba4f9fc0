"""What is done with cars: every change is a new version in the history, judged by the workers as far as it needs be."""

import hashlib
import secrets
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from datetime import date, datetime
from threading import Event
from typing import Literal, TypeVar

import msgspec
from sqlalchemy.exc import SQLAlchemyError

from carknocker.cli.photographs import MOST_ON_A_PAGE
from carknocker.documents import Problem
from carknocker.judgement.program import made_by
from carknocker.service import asked, asked_files, asked_interview, asked_questions
from carknocker.service.asked import MOVE_FILE, EnteredForm, Form, Refused, Said, Sources
from carknocker.service.asked_photographs import shown_first
from carknocker.service.asked_questions import Options
from carknocker.service.not_taken import KeyUsed, NotThere, NotUsable, not_there, taken_away_in_words
from carknocker.service.sent_editions import RULESETS, SentEditions
from carknocker.service.storage.car_list import Car, Place, Standing
from carknocker.service.storage.contents import JPEG, YAML, ContentMissing, has_room
from carknocker.service.storage.history import (
    BACK_IN_LIST,
    PUT_AWAY,
    History,
    Kind,
    NewVersion,
    Once,
    Version,
    written_time,
)
from carknocker.service.turns import Turns
from carknocker.service.workers import Workers

Answer = TypeVar("Answer")


WAITS = "being judged"
"""The outcome in a row that no longer says how its car stands."""


class Row(msgspec.Struct, frozen=True):
    """A row of the list of cars. Where it is not up to date, nothing of the judgement of the day `as_of` is in it but
    `before`, its outcome. over: the move was over on that day; away: the car was put away. place:
    behind which the list goes on; moved: it changed places since the walk through the list began, and may have been
    shown before."""

    out: str
    as_of: str
    outcome: str
    first_fault: str
    next_lapse: str
    up_to_date: bool
    before: str
    over: bool = False
    away: bool = False
    place: str = ""
    moved: bool = False


class Sent(msgspec.Struct, frozen=True):
    """A request that carries a key of its sender, so that the same, sent again, is done once. request: the digest of
    all that was sent."""

    key: str
    request: str

    @classmethod
    def of(cls, key: str, by: str, *sent: str | bytes) -> "Sent":
        """What somebody sent under a key."""
        parts = (one if isinstance(one, bytes) else one.encode("utf-8") for one in sent)
        return cls(f"{by} {key}", hashlib.sha256(b"\0".join(parts)).hexdigest())

    def answered(self, answer: object, at: str) -> Once:
        """What is kept with what it brought."""
        return Once(self.key, self.request, msgspec.msgpack.encode(answer), at)


class Keeping:
    """The cars of the service. now: the clock."""

    def __init__(self, history: History, workers: Workers, now: Callable[[], datetime]) -> None:
        self.history = history
        self.workers = workers
        self.now = now
        self.program = made_by().version
        self.turns = Turns()
        self.changed = Event()
        """Set where a car may have to be judged anew."""
        self.sent_editions = SentEditions(history, workers, self.written_now, self.changed)

    def ensure(self) -> None:
        """Makes the place of the rulesets, once, lists every car, and ends what a process that was killed had begun."""
        with suppress(ValueError):  # it is there
            self.history.add_car(Car(RULESETS, "", "", self.written_now(), "carknocker"))
        self.history.list_all(RULESETS)
        self.history.wipe_blanked()

    def unwell(self) -> str:
        """What does not work; "" if all does."""
        try:
            self.history.look()
        except SQLAlchemyError:
            return "the database does not answer"
        if not has_room(self.history.data):
            return "the disk is full, or nearly"
        return "" if self.workers.live() else "no worker answers"

    def today(self) -> date:
        """The day on which the service judges where no other is named."""
        return self.now().date()

    # ---------------------------------------------------------------- cars

    def car(self, car_id: str) -> Car:
        """Raises NotThere."""
        if car_id == RULESETS:
            raise NotThere(car_id)
        with not_there(car_id):
            return self.history.car(car_id)

    def list_cars(
        self, *, after: Place | None = None, most: int = 50, away: bool = False, search: str = ""
    ) -> tuple[tuple[Car, Row], ...]:
        """Cars by the day of the coming move, then those whose move is over, then those that changed places since the
        walk through the list began, as they were last judged. after: the place of the last one shown; away: those that
        were put away, and no others; search: those whose mark or name has words that begin so, and no others."""
        found = self.history.walked(after, most, away=away, search=search if search.strip() else None)
        return tuple(
            (one.car, msgspec.structs.replace(self.row(one.standing), place=str(one.place), moved=one.moved))
            for one in found
        )

    def put_away(self, car_id: str, away: bool, by: str, why: str) -> None:
        """Takes a car out of the list, or puts it back; its history stays. Raises NotThere, and Refused where that was
        done already, or no reason is given for taking it out."""
        self.car(car_id)
        if away and not why.strip():
            raise Refused("input", "say why: the reason stays in the history")
        if bool(self.history.standing(car_id).away) == away:
            raise Refused("input", f"the car is {'not in the list any more' if away else 'in the list'} already")
        body = PUT_AWAY if away else BACK_IN_LIST
        note = ": ".join(filter(None, (body.decode().strip(), why.strip())))
        self.add([NewVersion(car_id, "put away", "", body, "text/plain", self.written_now(), by, note)])

    def row(self, standing: Standing) -> Row:
        """What the list shows of how a car stands."""
        now = standing.is_of(self.today().isoformat(), self.program)
        return Row(
            standing.out, standing.as_of, standing.outcome if now else WAITS, standing.first_fault if now else "",
            standing.next_lapse if now else "", now, "" if now else standing.outcome, bool(standing.ended),
            bool(standing.away),
        )  # fmt: skip

    def add_car(self, record: str, move: str, by: str, key: str | None = None) -> Car:
        """A new car with its first record and move. key: of the sender; the same under it is one car. Raises NotUsable,
        and KeyUsed for a key that came with something else."""
        once = None if key is None else Sent.of(key, by, "car", record, move)
        if once is not None and (before := self.said_before(once, str)) is not None:
            return self.car(before)
        problems = self.workers.ask(asked.looked_through, record, move)
        if problems:
            raise NotUsable(problems)
        (mark, name), out = self.workers.ask(asked.called, record), self.workers.ask(asked.day_out, move)
        at = self.written_now()
        made = Car(secrets.token_hex(8), mark, name, at, by)
        texts: dict[Kind, str] = {"record": record, "move": move}
        first = [
            NewVersion(made.id, kind, "", text.encode("utf-8"), YAML, at, by, "first record", 0)
            for kind, text in texts.items()
        ]
        try:
            with taken_away_in_words():
                self.history.add_car(made, first, out, None if once is None else once.answered(made.id, at))
        except ValueError:  # the same came twice at once
            before = None if once is None else self.said_before(once, str)
            if before is None:
                raise
            return self.car(before)
        self.changed.set()
        return made

    def add_car_by_answers(self, answers: str | tuple[str, ...], by: str, key: str | None = None) -> Car:
        """A new car by the answers to the interview: a file's text, or each as `key=value`. Raises Refused with what is
        wrong with them."""
        record, move = self.workers.ask(asked_interview.first_record, answers, self.sent_editions.files())
        return self.add_car(record, move, by, key)

    def interview(self) -> tuple[asked_interview.AskedScreen, ...]:
        """The questions about a new car."""
        return self.workers.ask(asked_interview.interview)

    # ---------------------------------------------------------------- texts

    def newest(self, car_id: str, kind: Kind, name: str = "") -> Version:
        """Raises NotThere."""
        found = self.history.newest(car_id, kind, name)
        if found is None:
            raise NotThere(f"{kind} of {car_id}")
        return found

    def text(self, car_id: str, kind: Literal["record", "move"], number: int | None = None) -> tuple[Version, str]:
        """A version and its text; the newest if no number is given. Raises NotThere."""
        self.car(car_id)
        with not_there(f"version {number}"):
            version = self.newest(car_id, kind) if number is None else self.history.version(car_id, kind, "", number)
        return version, self.history.text(version)

    def accept(
        self, car_id: str, kind: Literal["record", "move"], text: str, by: str, note: str, after: int
    ) -> Version:
        """A new version of the record or the move, made from version `after`. Raises NotUsable, Changed, NotThere."""
        problems = self.look_through(car_id, kind, text)
        if problems:
            raise NotUsable(problems)
        return self.add_versions(car_id, {kind: text}, by, note, {kind: after})[0]

    def enter_once(self, car_id: str, form: bytes, form_name: str, by: str, key: str | None) -> EnteredForm:
        """Enters a filled-in form, and keeps the form itself. key: of the sender; what was sent under it before is not
        entered again, and the answer is the same. Raises Refused, NotThere, and KeyUsed for a key that came with
        something else."""
        self.car(car_id)
        once = None if key is None else Sent.of(key, by, car_id, form_name, form)

        def writing() -> EnteredForm:
            said = None if once is None else self.said_before(once, EnteredForm)
            return said or self._enter(car_id, form, form_name, by, once)

        return self.turns.write(car_id, writing)

    def said_before(self, once: "Sent", kind: type[Answer]) -> Answer | None:
        """What was answered to this request under its key. Raises KeyUsed, also where the answer was taken away."""
        before = self.history.answered_before(once.key)
        if before is None:
            return None
        if before[0] != once.request or not before[1]:
            raise KeyUsed
        return msgspec.msgpack.decode(before[1], type=kind)

    def enter_sent(
        self, car_id: str, form: bytes, form_name: str, by: str, signed: tuple[str, str], decision: NewVersion
    ) -> EnteredForm:
        """Enters a form that may say something of one sheet alone, together with the decision to do so. signed: the
        sheet, and who alone may have signed it. Raises Refused, NotThere, Changed."""
        return self._enter(car_id, form, form_name, by, None, signed, (decision,))

    def _enter(
        self, car_id: str, form: bytes, form_name: str, by: str, once: "Sent | None",
        signed: tuple[str, str] = ("", ""),        also: tuple[NewVersion, ...] = (),
    ) -> EnteredForm:  # fmt: skip
        record, record_text = self.text(car_id, "record")
        move, move_text = self.text(car_id, "move")
        sources = Sources(record_text, move_text, self.today(), self.sent_editions.files())
        new = self.workers.ask(asked.entered, sources, form, form_name, *signed)
        done = new.told
        texts: dict[Kind, str] = {"record": new.record}
        after: dict[Kind, int] = {"record": record.number}
        if new.move is not None:
            texts["move"], after["move"] = new.move, move.number
        note = f"entered {form_name}: {done.brought}"
        if done.read_by:
            note += f", read by {', '.join(done.read_by)}"
        media_type = "application/octet-stream"
        at = self.written_now()
        kept = NewVersion(car_id, "form", "", form, media_type, at, by, form_name)
        pictures = [
            NewVersion(car_id, "photograph", file, copy, JPEG, at, by, f"in {form_name}")
            for file, copy in new.photographs
        ]
        told = None if once is None else once.answered(done, at)
        self.add_versions(car_id, texts, by, note, after, also=(kept, *pictures, *also), once=told)
        return done

    def look_through(self, car_id: str, kind: Literal["record", "move"], text: str) -> tuple[Problem, ...]:
        """Every problem of a text, beside the newest of the other kind. Raises NotThere."""
        beside = self.text(car_id, "move" if kind == "record" else "record")[1]
        record, move = (text, beside) if kind == "record" else (beside, text)
        return self.workers.ask(asked.looked_through, record, move)

    # ---------------------------------------------------------------- answers

    def sources(
        self, car_id: str, day: date | None = None, record: int | None = None, move: int | None = None
    ) -> Sources:
        """What an answer is made of. day: today if it is left out. Raises NotThere."""
        texts = self.text(car_id, "record", record)[1], self.text(car_id, "move", move)[1]
        return Sources(
            *texts, day or self.today(), self.sent_editions.files(), self.history.at_hand(car_id, "photograph")
        )

    def answer(
        self, car_id: str, question: str, form: Form, day: date, options: Options = (),
        record: int | None = None,
    ) -> Said:  # fmt: skip
        """Raises Refused, NotThere."""
        sources = self.sources(car_id, day, record)
        copies = self._copies(sources) if question == "check" and form in ("html", "pdf") else ()
        return self.workers.ask(asked_questions.answered, question, sources, form, options, copies)

    def _copies(self, sources: Sources) -> tuple[tuple[str, bytes], ...]:
        """The reduced copies that a page of the car shows: the newest that are at hand."""
        if not sources.photographs:
            return ()
        digests = dict(sources.photographs)
        found: list[tuple[str, bytes]] = []
        for file in self.workers.ask(shown_first, sources):
            with suppress(ContentMissing):
                found.append((file, self.history.body(digests[file])[1]))
            if len(found) == MOST_ON_A_PAGE:
                break
        return tuple(found)

    def worksheet(self, car_id: str, ending: Literal["html", "xlsx"]) -> bytes:
        """The worksheet as a form to fill in. Raises Refused, NotThere."""
        return self.workers.ask(asked.form_to_fill_in, self.sources(car_id), ending)

    def form_that_sends(self, car_id: str, record: int, move: int, day: date, send_to: str) -> bytes:
        """The worksheet of these versions and this day as an HTML form that sends itself. It is the same however often
        it is asked for, so that what was typed finds its fields again. Raises Refused, NotThere."""
        sources = self.sources(car_id, day, record, move)
        return self.workers.ask(asked.form_to_fill_in, sources, "html", send_to)

    def worksheet_file(self, car_id: str, ending: asked_files.Ending, day: date, options: Options) -> bytes:
        """The worksheet as a form to fill in, as `worksheet --form` writes it. Raises Refused, NotThere."""
        return self.workers.ask(asked_files.worksheet_file, self.sources(car_id, day), ending, options)

    def lift(self, car_id: str, end: Literal["A", "B"], plan: str, form: Form, day: date) -> Said:
        """The sheet for lifting one end, by a plan of the lift. Raises Refused, NotThere."""
        return self.workers.ask(asked_files.lifted, self.sources(car_id, day), end, plan, form)

    def pack(self, car_id: str, day: date) -> bytes:
        """Record, move, rules, reduced photographs and dossier in one file. Raises Refused, NotThere."""
        sources = self.sources(car_id, day)
        copies = []
        for file, digest in sources.photographs:
            with suppress(ContentMissing):
                copies.append((file, self.history.body(digest)[1]))
        return self.workers.ask(asked_files.packed, sources, tuple(copies))

    def verify(self, car_id: str, dossier: bytes, form: Form) -> Said:
        """Whether a dossier as JSON is still true, worked out again as of its own day: from the versions of the record
        and the move that it was made from, where they are in the history, else from the newest. Raises Refused,
        NotThere, ContentMissing."""
        self.car(car_id)
        made_from = self.workers.ask(asked_files.made_from, dossier)
        numbers: list[int | None] = []
        kinds: tuple[Kind, ...] = ("record", "move")
        for kind, digest in zip(kinds, made_from, strict=True):
            try:
                numbers.append(self.history.kept(car_id, kind, digest).number)
            except KeyError:
                numbers.append(None)
        return self.workers.ask(asked_files.verified, self.sources(car_id, None, *numbers), dossier, form)

    def calendar(self, car_id: str) -> bytes:
        """The dates of a car as an iCalendar file, as of today. Raises Refused, NotThere."""
        return self.workers.ask(asked.calendar, self.sources(car_id))

    def compare(
        self, car_id: str, before: int, after: int, form: Form, day: date,
        moves: tuple[int | None, int | None] = (None, None),
    ) -> Said:  # fmt: skip
        """Two versions of the record, each for a version of the move, the newest if none is named. Raises Refused,
        NotThere, ContentMissing."""
        first, second = (
            msgspec.structs.replace(
                self.sources(car_id, day, record, move), record_file=f"record-{record}.yaml",
                move_file=MOVE_FILE if move is None else f"move-{move}.yaml",
            )
            for record, move in zip((before, after), moves, strict=True)
        )  # fmt: skip
        return self.workers.ask(asked_questions.compared, first, second, form)

    def kept(self, car_id: str, entry: int) -> tuple[Version, bytes]:
        """An entry of the history of a car, with its bytes as they came. Raises NotThere, ContentMissing."""
        self.car(car_id)
        with not_there(entry):
            version = self.history.entry(car_id, entry)
        return version, self.history.body(version.digest)[1]

    def give_out(self, car_id: str, form: Form, day: date, by: str) -> Version:
        """Makes a dossier and keeps it as it is given out. Raises Refused, NotThere."""
        said = self.answer(car_id, "check", form, day)
        note = f"{said.outcome}, as of {day.isoformat()}"
        new = NewVersion(car_id, "dossier", form, said.body, said.media_type, self.written_now(), by, note)
        return self.add([new])[0]

    def dossier(self, car_id: str, digest: str) -> tuple[bytes, str]:
        """A dossier that was given out, and its media type. Raises NotThere, ContentMissing."""
        self.car(car_id)
        with not_there(digest):
            version = self.history.kept(car_id, "dossier", digest)
        found, body = self.history.body(version.digest)
        return body, found.media_type

    def standing(self, car_id: str) -> Row:
        """How a car stands; judged anew if its row does not say it any more, unless no worker is free for it: then it
        says that it waits. It is told also where the database takes no row just now. Raises NotThere."""
        self.car(car_id)
        with not_there(car_id):
            held = self.history.standing(car_id)
        row = self.row(held)
        if row.up_to_date:
            return row
        try:
            judged, called = self._judged(held)
        except Refused:
            return row
        with suppress(SQLAlchemyError):  # it waits on
            self.history.set_standing(judged, called)
            judged = self.history.standing(car_id)
        return self.row(judged)

    def waiting(self, most: int) -> tuple[str, ...]:
        """The ids of cars that wait to be judged."""
        return self.history.waiting(self.today().isoformat(), self.program, most)

    def waits(self, car_id: str) -> bool:
        """Whether the row of a car no longer says how it stands."""
        return not self.row(self.history.standing(car_id)).up_to_date

    def judge(self, car_id: str) -> None:
        """Judges a car as it is now, for the list. Raises KeyError where it is not listed, and Refused where no worker
        is free for it."""
        self.history.set_standing(*self._judged(self.history.standing(car_id)))

    def _judged(self, held: Standing) -> tuple[Standing, tuple[str, str] | None]:
        """How a car stands now, and how its record calls it. held: its row, read before the texts, so that none is
        newer than what is counted. Raises Refused where no worker is free for it."""
        today = self.today()
        summary = self._summary(held.car, held.out, today)
        judged = Standing(
            held.car, held.away, int(summary.ended), summary.out, today.isoformat(), summary.outcome,
            summary.first_fault, summary.next_lapse, self.program, held.changes, held.changes,
        )  # fmt: skip
        return judged, summary.called

    def _summary(self, car_id: str, out: str, today: date) -> asked.Summary:
        """A row, also for a car of which there is no answer, so that it does not wait for ever."""
        try:
            return self.workers.ask(asked.summed_up, self.sources(car_id, today))
        except Refused as refused:
            if refused.reason == "busy":
                raise
            why = f"{refused.problems[0].where}: {refused.problems[0].found}" if refused.problems else refused.said
        except NotThere:
            why = "it has no record or no move"
        except ContentMissing as missing:
            why = str(missing)
        except SQLAlchemyError:
            raise
        except Exception as error:
            why = f"something went wrong inside the program ({type(error).__name__})"
        return asked.Summary(None, out, "no answer", why, "")

    # ---------------------------------------------------------------- within

    def add(
        self, versions: Sequence[NewVersion], once: Once | None = None, called: tuple[str, str] | None = None
    ) -> tuple[Version, ...]:
        """Adds versions to the history, all or none, as it does. Raises what it raises, and Refused for what was taken
        away for good before."""
        with taken_away_in_words():
            return self.history.add(versions, once, called)

    def add_versions(
        self, car_id: str, texts: Mapping[Kind, str], by: str, note: str, after: Mapping[Kind, int],
        also: tuple[NewVersion, ...] = (), once: Once | None = None,
    ) -> tuple[Version, ...]:  # fmt: skip
        """Adds new versions of texts, and what belongs to them, all or nothing. after: the version that each was made
        from. The car is called as its new record says. Raises Changed, Refused."""
        at = self.written_now()
        new = [
            NewVersion(car_id, kind, "", text.encode("utf-8"), YAML, at, by, note, after[kind])
            for kind, text in texts.items()
        ]
        record = texts.get("record")
        called = None if record is None else self.workers.ask(asked.called, record)
        added = self.add([*new, *also], once, called)
        self.changed.set()
        return added

    def written_now(self) -> str:
        """This moment, as the history writes it."""
        return written_time(self.now())
