"""All editions that are at hand. Heads are read at once, an edition whole only when it is wanted."""

import hashlib
from collections.abc import Iterable, Mapping
from functools import cached_property

import msgspec

from carknocker.documents import InputRefused, Location, Problem, ProblemList, nearest, some
from carknocker.documents.kept import Keep, key_of
from carknocker.record.model import Move
from carknocker.rulebook.choice import RulebookChoice, choose, latest_change
from carknocker.rulebook.compose import compose
from carknocker.rulebook.edition_head import EditionHead, edition_texts
from carknocker.rulebook.lookup import Lookup
from carknocker.rulebook.model import Edition, Rulebook
from carknocker.vocabulary.model import Vocabulary


class Library:
    """Editions by ruleset and name. Reads an edition the first time it is asked for and keeps it."""

    def __init__(
        self,
        heads: Mapping[str, tuple[EditionHead, ...]],
        vocabulary: Vocabulary,
        *,
        with_examples: bool = False,
        keep: Keep | None = None,
    ) -> None:
        """heads: ruleset → heads of its editions, oldest first. keep: where editions may be kept for later runs."""
        self.heads = heads
        self.vocabulary = vocabulary
        self.with_examples = with_examples
        self._keep = keep
        self._editions: dict[tuple[str, str], Edition] = {}

    def reading_examples(self) -> "Library":
        """The same library, whose criteria carry their examples."""
        return self if self.with_examples else Library(self.heads, self.vocabulary, with_examples=True)

    def head(self, ruleset: str, name: str) -> EditionHead:
        """Raises InputRefused, with the nearest right name, for a ruleset or an edition that is not here."""
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
        """One edition, whole. Raises InputRefused with every problem in its files."""
        problems = ProblemList()
        edition = self._read(self.head(ruleset, name), problems, ())
        problems.refuse_if_any()
        if edition is None:
            raise AssertionError("an edition is refused without a problem")
        return edition

    def rulebook(self, heads: Iterable[EditionHead]) -> Rulebook:
        """The rulebook of some editions. Raises InputRefused with every problem in all their files."""
        problems = ProblemList()
        editions = [self._read(head, problems, ()) for head in heads]
        problems.refuse_if_any()
        return compose(edition for edition in editions if edition is not None)

    def rulebooks(self, move: Move) -> RulebookChoice:
        """The rulebook on the day out, and the one on the day back where it is another.

        Raises InputRefused, in plain words, if the editions that bind the move can't be told, or can't be read.
        """
        chosen = choose(self.heads, self.builds_on, move)
        at_out = self.rulebook(chosen.at_out)
        at_back = None if chosen.at_back == chosen.at_out else self.rulebook(chosen.at_back)
        return RulebookChoice(at_out, at_back, (*chosen.notes, *latest_change(chosen)))

    def builds_on(self, head: EditionHead) -> tuple[str, ...]:
        """The rulesets that an edition builds on, its own word or that of the edition it amends."""
        seen = {head.name}
        while head.builds_on is None and head.amends and head.amends not in seen:
            head = self.head(head.ruleset, head.amends)
            seen.add(head.name)
        return head.builds_on or ()

    def _read(self, head: EditionHead, problems: ProblemList, above: tuple[str, ...]) -> Edition | None:
        key = (head.ruleset, head.name)
        if key in self._editions:
            return self._editions[key]
        base: Edition | None = None
        if head.amends:
            earlier = [other for other in self.heads[head.ruleset] if other.name == head.amends]
            if not earlier or head.amends in above:
                names = [other.name for other in self.heads[head.ruleset] if other.name != head.name]
                found = "a ring of amendments" if earlier else "which is not here"
                problems.add(Problem(
                    head.where, f"amends edition `{head.amends[:60]}`, {found}",
                    f"one of {some(names)}" if names else "an edition that states itself whole",
                    "" if earlier else nearest(head.amends, names),
                ))  # fmt: skip
                return None
            base = self._read(earlier[0], problems, (*above, head.name))
            if base is None:
                return None
        edition = self._kept_or_read(head, base, problems)
        if edition is not None:
            self._editions[key] = edition
        return edition

    def _kept_or_read(self, head: EditionHead, base: Edition | None, problems: ProblemList) -> Edition | None:
        """The edition as an earlier run kept it, if its files and the vocabulary are the same; else read anew."""
        texts = edition_texts(head, problems)
        key = ""
        if self._keep is not None and not self.with_examples:
            words = [head.ruleset, head.name, "" if base is None else base.digest, self.vocabulary_digest]
            key = key_of((*words, *map(str, texts), *texts.values()))
            kept = self._keep.get(key, Edition)
            if kept is not None:
                return kept
        # the readers are not even imported where an edition was kept: start-up is felt at every check
        from carknocker.rulebook.edition_reader import read_edition

        edition = read_edition(
            head, texts, base, Lookup(self.vocabulary), problems, with_examples=self.with_examples
        )  # fmt: skip
        if edition is not None and self._keep is not None and key:
            self._keep.put(key, edition)
        return edition

    @cached_property
    def vocabulary_digest(self) -> str:
        """Names the content of the vocabulary."""
        return hashlib.sha256(msgspec.msgpack.encode(self.vocabulary)).hexdigest()


def _refused(found: str, expected: str, near: str = "", where: Location | None = None) -> InputRefused:
    return InputRefused((Problem(where or Location("rulesets", 1, 1), found, expected, near),))
