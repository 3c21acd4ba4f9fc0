"""Attribute paths: `flange_thickness`, `truck.frame`, `move.train`, `single_car_test.device`, `fact.cause`."""

from collections.abc import Iterable

from carknocker.documents import Location, nearest, one_of, some
from carknocker.rulebook.clauses import FACT, AttributePath
from carknocker.rulebook.reading_context import Context, Subject, VocabularyLookup
from carknocker.vocabulary.model import Attribute

"""Owner of a path that looks at a fact of the work or event that a cause names."""


def read_path(text: str, where: Location, subject: Subject, context: Context) -> AttributePath | None:
    """The path that `text` names in a clause about `subject`. None, and reported, if it names none."""
    words = text.split(".")
    found = _resolve(words, subject, context.lookup)
    if found is None:
        _explain(text, words, where, subject, context)
    return found


def _resolve(words: list[str], subject: Subject, lookup: VocabularyLookup) -> AttributePath | None:
    if len(words) == 1:
        attribute = _own(words[0], subject, lookup)
        return None if attribute is None else AttributePath("", attribute)
    if len(words) == 2:
        return _owned(words, subject, lookup) or _fact("", words, subject.kinds, lookup)
    if len(words) == 3:
        owner = _as_kind(words[0])
        if owner in lookup.owners(subject.kinds):
            return _fact("" if owner in subject.kinds else owner, words[1:], (owner,), lookup)
    return None


def _owned(words: list[str], subject: Subject, lookup: VocabularyLookup) -> AttributePath | None:
    if words[0] == FACT:
        fact = subject.facts.get(words[1])
        return None if fact is None else AttributePath(FACT, fact)
    owner = _as_kind(words[0])
    if owner not in lookup.owners(subject.kinds):
        return None
    attribute = lookup.attributes(owner).get(words[1])
    return None if attribute is None else AttributePath("" if owner in subject.kinds else owner, attribute)


def _own(name: str, subject: Subject, lookup: VocabularyLookup) -> Attribute | None:
    for kind in subject.kinds:
        attribute = lookup.attributes(kind).get(name)
        if attribute is not None:
            return attribute
    return subject.spare.get(name)


def _fact(owner: str, words: list[str], kinds: tuple[str, ...], lookup: VocabularyLookup) -> AttributePath | None:
    """`single_car_test.device`: a further fact of a test or a paper."""
    for kind in kinds:
        attribute = lookup.attributes(kind).get(words[0])
        fact = lookup.facts(kind, words[0]).get(words[1])
        if attribute is not None and fact is not None:
            return AttributePath(owner, attribute, fact)
    return None


def _as_kind(word: str) -> str:
    return word.replace("_", " ")


def _explain(text: str, words: list[str], where: Location, subject: Subject, context: Context) -> None:
    lookup = context.lookup
    if len(words) == 1:
        _explain_attribute(text, where, subject, context)
        return
    owners = lookup.owners(subject.kinds)
    owner = _as_kind(words[0])
    if words[0] == FACT:
        expected = f"one of {some(subject.facts)}" if subject.facts else "no `fact.` here: only work and events have it"
        context.note(where, f"`{text[:80]}`", expected, nearest(words[-1], subject.facts))
    elif owner in owners:
        names = lookup.attributes(owner)
        context.note(
            where, f"the attribute `{words[1][:60]}` of the kind {owner}",
            one_of(names, "no attribute: that kind has none"), nearest(words[1], names),
        )  # fmt: skip
    elif owner in lookup.vocabulary.kinds:
        context.note(
            where, f"`{text[:80]}`: {subject.named} does not stand in a {owner}",
            f"an attribute of {subject.named} itself, or of {some(_spelt(owners))}",
            remedy=f"make it a criterion of {owner}, or count the parts inside",
        )  # fmt: skip
    else:
        facts = [
            f"{attribute}.{fact}"
            for kind in subject.kinds for attribute in lookup.attributes(kind) for fact in lookup.facts(kind, attribute)
        ]  # fmt: skip
        known = [f"{spelt}.{words[1]}" for spelt in _spelt(owners)] + facts
        context.note(
            where, f"`{text[:80]}`", f"an attribute of {subject.named}, or of {some(_spelt(owners))}",
            nearest(text, known),
        )  # fmt: skip


def _explain_attribute(name: str, where: Location, subject: Subject, context: Context) -> None:
    lookup = context.lookup
    owners = [
        kind for kind in lookup.owners(subject.kinds) if kind not in subject.kinds and name in lookup.attributes(kind)
    ]
    names: list[str] = [*subject.spare]
    for kind in subject.kinds:
        names.extend(lookup.attributes(kind))
    remedy = f"an attribute of the {owners[0]}: write `{_spelt(owners[:1])[0]}.{name}`" if owners else ""
    if not owners:
        elsewhere = [kind for kind in lookup.vocabulary.kinds if name in lookup.attributes(kind)]
        remedy = f"an attribute of the kind {elsewhere[0]}" if elsewhere else ""
    context.note(
        where, f"the attribute `{name[:60]}` of {subject.named}, which is not known",
        f"one of {some(names)}" if names else "a path such as `move.train`", nearest(name, names), remedy,
    )  # fmt: skip


def _spelt(kinds: Iterable[str]) -> list[str]:
    return [kind.replace(" ", "_") for kind in kinds]
