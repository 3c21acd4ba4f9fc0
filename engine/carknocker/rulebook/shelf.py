"""All editions that are at hand. Heads are read at once, an edition whole only when it is wanted."""

from collections.abc import Iterable, Mapping

from carknocker.documents import InputRefused, Location, Problem, ProblemList, nearest, some
from carknocker.record.model import Move
from carknocker.rulebook.choice import RulebookChoice, choose, latest_change
from carknocker.rulebook.compose import compose
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.edition_reader import read_edition
from carknocker.rulebook.lookup import Lookup
from carknocker.rulebook.model import Edition, Rulebook
from carknocker.vocabulary.model import Vocabulary


class Library:
    """Editions by ruleset and name. Reads an edition the first time it is asked for and keeps it."""

    def __init__(
        self, heads: Mapping[str, tuple[EditionHead, ...]], vocabulary: Vocabulary, *, with_examples: bool = False
    ) -> None:
        """heads: ruleset → heads of its editions, oldest first."""
        self.heads = heads
        self.vocabulary = vocabulary
        self.with_examples = with_examples
        self._lookup = Lookup(vocabulary)
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
        edition = read_edition(head, base, self._lookup, problems, with_examples=self.with_examples)
        if edition is not None:
            self._editions[key] = edition
        return edition


def _refused(found: str, expected: str, near: str = "", where: Location | None = None) -> InputRefused:
    return InputRefused((Problem(where or Location("rulesets", 1, 1), found, expected, near),))
