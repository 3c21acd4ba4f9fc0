"""Editions that were sent in: circulars of hosts that do not come with the program. They bind every car."""

import hashlib
from collections.abc import Callable, Mapping
from threading import Event

import msgspec

from carknocker.service import asked
from carknocker.service.not_taken import NotThere, NotUsable, not_there, taken_away_in_words
from carknocker.service.storage.contents import YAML
from carknocker.service.storage.history import Changed, History, NewVersion, Version
from carknocker.service.workers import Workers

RULESETS = "rulesets"
"""The id under which rulesets that were sent in are kept: they bind every car."""


class SentEdition(msgspec.Struct, frozen=True):
    """An edition that was sent in. files: the newest version of each of its files; one that was taken out is empty."""

    ruleset: str
    edition: str
    files: tuple[Version, ...]

    @property
    def name(self) -> str:
        """As rules are named: `us-federal/2015`."""
        return f"{self.ruleset}/{self.edition}"

    @property
    def tag(self) -> str:
        """By which it is known whether somebody changed it meanwhile; `0` for one that is not there."""
        said = "\n".join(f"{one.name} {one.number}" for one in self.files)
        return hashlib.sha256(said.encode("utf-8")).hexdigest()[:16] if said else "0"


class SentEditions:
    """The editions in a history. changed: set where cars may have to be judged anew."""

    def __init__(self, history: History, workers: Workers, written_now: Callable[[], str], changed: Event) -> None:
        """written_now: this moment, as the history writes it."""
        self._history = history
        self._workers = workers
        self._written_now = written_now
        self._changed = changed

    def files(self) -> tuple[tuple[str, str], ...]:
        """Path and text of each file of the rulesets that were sent in."""
        read = ((one.name, self._history.text(one)) for one in self._history.series(RULESETS, "edition"))
        return tuple((path, text) for path, text in read if text)

    def all(self) -> tuple[SentEdition, ...]:
        """The editions that were sent in, also those that were taken back."""
        found: dict[tuple[str, str], list[Version]] = {}
        for one in self._history.series(RULESETS, "edition"):
            ruleset, edition, _ = one.name.split("/")
            found.setdefault((ruleset, edition), []).append(one)
        return tuple(SentEdition(*named, tuple(files)) for named, files in found.items())

    def one(self, ruleset: str, edition: str) -> SentEdition:
        """One of them; one without a file where there is none of that name."""
        wanted = (one for one in self.all() if (one.ruleset, one.edition) == (ruleset, edition))
        return next(wanted, SentEdition(ruleset, edition, ()))

    def texts_of(self, sent: SentEdition) -> dict[str, str]:
        """Name and text of each file of an edition that was sent in."""
        read = ((one.name.rpartition("/")[2], self._history.text(one)) for one in sent.files)
        return {name: text for name, text in read if text}

    def accept(
        self, ruleset: str, edition: str, files: Mapping[str, str], by: str, note: str, after: str
    ) -> SentEdition:
        """An edition as it is from now on, all of its files at once; without any it is taken back. after: the tag of
        the edition that was changed. Raises NotUsable, Changed, and NotThere for a name that none can have."""
        try:
            for name in files or ("edition.yaml",):
                asked.safe_path(f"{ruleset}/{edition}/{name}")
        except ValueError:
            raise NotThere("an edition is named ruleset/edition, and each of its files ends in .yaml") from None
        before = self.one(ruleset, edition)
        if before.tag != after or (not files and not before.files):
            raise Changed(before.files[0] if before.files else None)
        at, texts = self._written_now(), {f"{ruleset}/{edition}/{name}": text for name, text in files.items() if text}
        others = {path: text for path, text in self.files() if not path.startswith(f"{ruleset}/{edition}/")}
        problems = self._workers.ask(asked.rulesets_looked_through, tuple(sorted((others | texts).items())))
        if problems:
            raise NotUsable(problems)
        numbers = {one.name: one.number for one in before.files}
        new = [
            NewVersion(RULESETS, "edition", path, texts.get(path, "").encode("utf-8"), YAML, at, by, note,
                       numbers.get(path, 0))
            for path in sorted({*numbers, *texts})
        ]  # fmt: skip
        with taken_away_in_words():
            self._history.add(new)
        self._changed.set()
        return self.one(ruleset, edition)

    def kept(self, entry: int) -> tuple[Version, bytes]:
        """A version of a file of an edition, with its bytes. Raises NotThere."""
        with not_there(entry):
            version = self._history.entry(RULESETS, entry)
        return version, self._history.body(version.digest)[1]
