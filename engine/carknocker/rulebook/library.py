"""The library: all editions at hand, and where they are found. Heads are read at once, a whole edition only when
needed."""

import hashlib
from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path

import msgspec
from msgspec.structs import replace

import carknocker
from carknocker.documents import InputRefused, Location, Problem, ProblemList, load_text, nearest, some
from carknocker.documents.parse_cache import ParseCache, cache_key
from carknocker.documents.system_words import system_words
from carknocker.record.model import Move
from carknocker.rulebook.choice import RulebookChoice, choose, latest_change, origin_notes
from carknocker.rulebook.compose import compose, nothing_asked
from carknocker.rulebook.consequence_checks import check_named_ids, note_causes
from carknocker.rulebook.edition_head import HEAD_FILE, EditionHead, edition_digest, edition_texts
from carknocker.rulebook.model import Edition, Rulebook
from carknocker.rulebook.reading_context import VocabularyLookup
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Vocabulary

__all__ = ["Library", "RulebookChoice", "load_library", "rulesets_folders"]


class Library:
    """Editions by ruleset and name. An edition is read when it is first asked for, and kept."""

    def __init__(
        self,
        heads: Mapping[str, tuple[EditionHead, ...]],
        vocabulary: Vocabulary,
        *,
        with_examples: bool = False,
        cache: ParseCache | None = None,
        texts: Mapping[tuple[str, str], Mapping[Path, str]] | None = None,
    ) -> None:
        """heads: ruleset → heads of its editions, oldest first. cache: of parsed editions. texts: (ruleset, edition) →
        file → text, of editions whose files need not be there any more."""
        self.heads = heads
        self.vocabulary = vocabulary
        self.with_examples = with_examples
        self._cache = cache
        self._editions: dict[tuple[str, str], Edition] = {}
        self._texts: dict[tuple[str, str], dict[Path, str]] = {key: dict(own) for key, own in (texts or {}).items()}
        self._rulebooks: dict[tuple[tuple[str, str], ...], Rulebook] = {}

    def reading_examples(self) -> "Library":
        """The same library with examples read too."""
        return self if self.with_examples else Library(self.heads, self.vocabulary, with_examples=True)

    def head(self, ruleset: str, name: str) -> EditionHead:
        """The head of an edition. Raises InputRefused, with the nearest right name, for a ruleset or an edition that is
        not at hand."""
        heads = self.heads.get(ruleset)
        if heads is None:
            raise _refused(f"the ruleset `{ruleset[:60]}`", f"one of {some(self.heads)}", nearest(ruleset, self.heads))
        names = [head.name for head in heads]
        if name not in names:
            raise _refused(
                f"the edition `{name[:60]}` of {ruleset}", f"one of {some(names)}", nearest(name, names), heads[0].where
            )
        return heads[names.index(name)]

    def edition(self, ruleset: str, name: str) -> Edition:
        """One whole edition. Raises InputRefused with every problem in its files."""
        problems = ProblemList()
        edition = self._read(self.head(ruleset, name), problems)
        problems.refuse_if_any()
        if edition is None:
            raise AssertionError("an edition is refused without a problem")
        return edition

    def rulebook(self, heads: Iterable[EditionHead]) -> Rulebook:
        """The rulebook of some editions. The same editions give the same object, so that it is prepared for judging
        only once. Raises InputRefused with every problem in all their files."""
        wanted = tuple(heads)
        key = tuple((head.ruleset, head.name) for head in wanted)
        if key not in self._rulebooks:
            problems = ProblemList()
            editions = [self._read(head, problems) for head in wanted]
            problems.refuse_if_any()
            self._rulebooks[key] = compose(edition for edition in editions if edition is not None)
        return self._rulebooks[key]

    def rulebooks(self, move: Move) -> RulebookChoice:
        """The rulebook on the day out, and the one on the day back if it is another.

        Raises InputRefused, in plain words, if the editions that bind the move can't be determined or read, or require
        nothing of a car.
        """
        chosen = choose(self.heads, self.builds_on, move)
        at_out = self.rulebook(chosen.at_out)
        at_back = None if chosen.at_back == chosen.at_out else self.rulebook(chosen.at_back)
        both = (at_out,) if at_back is None else (at_out, at_back)
        problems = [problem for rulebook in both if (problem := nothing_asked(rulebook)) is not None]
        if not problems:
            problems = [problem for rulebook in both for problem in self._holes(rulebook)]
        if problems:
            raise InputRefused(tuple(dict.fromkeys(problems)))
        origins = dict.fromkeys(note for rulebook in both for note in origin_notes(rulebook, self.head))
        return RulebookChoice(at_out, at_back, (*chosen.notes, *latest_change(chosen), *origins))

    def _holes(self, rulebook: Rulebook) -> tuple[Problem, ...]:
        """The words that fall between its criteria, as problems. Where the cache knows that there are none in these
        editions, by this vocabulary, they are not looked for."""
        cache = self._cache
        key = "" if cache is None else cache_key("no holes", rulebook.digest, self.vocabulary_digest)
        if cache is not None and cache.get(key, bool):
            return ()
        # imported only when it is looked for, to keep the start of every check short
        from carknocker.rulebook.holes import hole_problems

        found = hole_problems(rulebook)
        if cache is not None and not found:
            cache.put(key, True)
        return found

    def builds_on(self, head: EditionHead) -> tuple[str, ...]:
        """The rulesets that an edition builds on, as it says itself or as the edition that it amends says."""
        seen = {head.name}
        while head.builds_on is None and head.amends and head.amends not in seen:
            head = self.head(head.ruleset, head.amends)
            seen.add(head.name)
        return head.builds_on or ()

    def _read(self, head: EditionHead, problems: ProblemList) -> Edition | None:
        key = (head.ruleset, head.name)
        if key not in self._editions:
            amended = self._amended(head, problems)
            edition = None if amended is None else self._cached_or_parsed(head, amended, problems)
            if edition is None:
                return None
            self._editions[key] = edition
        return self._editions[key]

    def _amended(self, head: EditionHead, problems: ProblemList) -> tuple[EditionHead, ...] | None:
        """The edition that a head amends, then the one which that edition amends, and so on. None, with the problem
        reported, if one of them is not at hand or they form a ring."""
        line = [head]
        while line[-1].amends:
            last = line[-1]
            heads = self.heads[last.ruleset]
            earlier = next((other for other in heads if other.name == last.amends), None)
            if earlier is None or earlier in line:
                names = [other.name for other in heads if other.name != last.name]
                found = "which is not here" if earlier is None else "a ring of amendments"
                problems.add(Problem(
                    last.where, f"amends edition `{last.amends[:60]}`, {found}",
                    f"one of {some(names)}" if names else "an edition that states itself whole",
                    nearest(last.amends, names) if earlier is None else "",
                ))  # fmt: skip
                return None
            line.append(earlier)
        return tuple(line[1:])

    def _cached_or_parsed(
        self, head: EditionHead, amended: tuple[EditionHead, ...], problems: ProblemList
    ) -> Edition | None:
        """The edition from the cache, if its files, those that it amends and the vocabulary are unchanged; else parsed.

        Its causes are checked in both cases, because nobody may be judged by a consequence that may not follow. (`rules
        check`, which reads the examples, reports this with the other problems.)
        """
        texts = self._texts_of(head, problems)
        digest = ""
        for each in reversed((head, *amended)):
            digest = edition_digest(self._texts_of(each, problems), digest)
        cache = None if self.with_examples else self._cache
        key = ""
        edition = None
        if cache is not None:
            key = cache_key("edition", head.ruleset, head.name, digest, self.vocabulary_digest, *map(str, texts))
            edition = cache.get(key, Edition)
        if edition is not None and (edition.ruleset, edition.name, edition.digest) == (head.ruleset, head.name, digest):
            before = len(problems)
            check_named_ids(edition, head, problems)
            note_causes(edition, problems)
            return edition if len(problems) == before else None
        base = self._read(amended[0], problems) if amended else None
        if amended and base is None:
            return None
        # imported only when an edition is parsed, to keep the start of every check short
        from carknocker.rulebook.edition_reader import read_edition

        edition = read_edition(
            head, texts, base, VocabularyLookup(self.vocabulary), problems, with_examples=self.with_examples
        )  # fmt: skip
        if edition is None or (not self.with_examples and note_causes(edition, problems)):
            return None
        if cache is not None:
            cache.put(key, edition)
        return edition

    def take_texts(self, folder: Path | None = None) -> dict[tuple[str, str], dict[Path, str]]:
        """Reads the files of every edition, or of those in a folder that is about to go. Returns (ruleset, edition) →
        file → text. Raises InputRefused with every problem."""
        problems = ProblemList()
        heads = [head for heads in self.heads.values() for head in heads]
        taken = {
            (head.ruleset, head.name): self._texts_of(head, problems)
            for head in heads
            if folder is None or head.folder.is_relative_to(folder)
        }
        problems.refuse_if_any()
        return taken

    def _texts_of(self, head: EditionHead, problems: ProblemList) -> dict[Path, str]:
        key = (head.ruleset, head.name)
        if key in self._texts:
            return self._texts[key]
        before = len(problems)
        texts = edition_texts(head, problems)
        if (
            len(problems) == before
        ):  # an edition that can't be read is read again next time, so that its problems are reported again
            self._texts[key] = texts
        return texts

    @cached_property
    def vocabulary_digest(self) -> str:
        """A digest of the vocabulary, the same in every process: a set has no order of its own."""
        return hashlib.sha256(msgspec.msgpack.encode(self.vocabulary, order="deterministic")).hexdigest()


def _refused(found: str, expected: str, near: str = "", where: Location | None = None) -> InputRefused:
    return InputRefused((Problem(where or Location("rulesets", 1, 1), found, expected, near),))


def rulesets_folders() -> tuple[Path, ...]:
    """The folder of the installed rulesets; in a checkout, the one beside the engine. None if neither exists."""
    package = Path(carknocker.__file__).resolve().parent
    for folder in (package / "installed" / "rulesets", package.parent.parent / "rulesets"):
        if folder.is_dir():
            return (folder,)
    return ()


def load_library(
    folders: Iterable[Path], *, only: frozenset[str] | None = None, with_examples: bool = False,
    vocabulary: Vocabulary | None = None, cache: ParseCache | None = None,
) -> Library:  # fmt: skip
    """The editions in some folders, laid out as RULESET/EDITION/edition.yaml. Only the heads are read here.

    only: the rulesets to read, if not all. with_examples: editions are read with their examples. cache: of parsed heads
    and editions.
    An edition that is in two folders with the same bytes is one edition, the first of them. Raises InputRefused with
    every problem in the heads, for an edition that is in two folders and not alike, and if there is none at all.
    """
    problems = ProblemList()
    found: dict[tuple[str, str], EditionHead] = {}
    searched = tuple(folders)
    installed = {folder.resolve() for folder in rulesets_folders()}
    for folder in searched:
        with_the_program = folder.resolve() in installed
        for place in _edition_folders(folder, only, problems):
            head = _head(place, cache, problems)
            if head is None:
                continue
            if with_the_program:
                head = replace(head, installed=True)
            other = found.setdefault((head.ruleset, head.name), head)
            if other is not head and not _same_files(head.folder, other.folder):
                problems.add(Problem(head.where, f"edition {head.name} of {head.ruleset} a second time",
                                     "each edition once", remedy=f"the first is at {other.where}"))  # fmt: skip
    problems.refuse_if_any()
    if not found:
        listed = ", ".join(str(folder) for folder in searched) or "none"
        raise InputRefused((
            Problem(Location("rulesets", 1, 1), f"no edition in the folders of rulesets: {listed}",
                    "RULESET/EDITION/edition.yaml in a folder"),
        ))  # fmt: skip
    by_ruleset: dict[str, list[EditionHead]] = {}
    for head in sorted(found.values(), key=lambda head: (head.ruleset, head.in_force, head.name)):
        by_ruleset.setdefault(head.ruleset, []).append(head)
    heads = {ruleset: tuple(group) for ruleset, group in by_ruleset.items()}
    words = load_vocabulary() if vocabulary is None else vocabulary
    return Library(heads, words, with_examples=with_examples, cache=cache)


def _same_files(one: Path, other: Path) -> bool:
    """Whether two folders hold the same edition, byte by byte: a copy of it is no second edition."""
    try:
        files = [{file.name: file.read_bytes() for file in place.glob("*.yaml")} for place in (one, other)]
    except OSError:
        return False
    return files[0] == files[1]


def _head(folder: Path, cache: ParseCache | None, problems: ProblemList) -> EditionHead | None:
    """The head of an edition, from the cache if its text is unchanged; else parsed."""
    key = ""
    if cache is not None:
        text = load_text(folder / HEAD_FILE, problems)
        if text is None:
            return None
        key = cache_key("head", str(folder), text)
        cached = cache.get(key, EditionHead)
        if cached is not None:
            return cached
    # imported only when a head is parsed, to keep the start of every check short
    from carknocker.rulebook.head_reader import read_head

    head = read_head(folder, problems)
    if cache is not None and head is not None:
        cache.put(key, head)
    return head


def _edition_folders(folder: Path, only: frozenset[str] | None, problems: ProblemList) -> list[Path]:
    try:
        places = [
            edition
            for ruleset in sorted(folder.iterdir())
            if ruleset.is_dir() and not ruleset.name.startswith(".") and (only is None or ruleset.name in only)
            for edition in sorted(ruleset.iterdir())
            if edition.is_dir() and not edition.name.startswith(".")
        ]
    except OSError as error:
        problems.add(Problem(Location(str(folder), 1, 1), f"the folder can't be read: {system_words(error)}",
                             "a folder with RULESET/EDITION/edition.yaml in it"))  # fmt: skip
        return []
    _wrong_level(folder, problems)
    return [place for place in places if (place / HEAD_FILE).exists() or any(place.glob("*.yaml"))]


def _wrong_level(folder: Path, problems: ProblemList) -> None:
    """A folder of one edition or of one ruleset, of which nothing would be read."""
    if (folder / HEAD_FILE).is_file():
        what, right = "one edition", folder.resolve().parent.parent
    elif any(folder.glob(f"*/{HEAD_FILE}")):
        what, right = "one ruleset", folder.resolve().parent
    else:
        return
    problems.add(Problem(Location(str(folder), 1, 1), f"the folder of {what}",
                         "a folder with RULESET/EDITION/edition.yaml in it", remedy=f"name {right}"))  # fmt: skip
