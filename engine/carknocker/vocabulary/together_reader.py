"""Reads the rows of what must hold together."""

from collections.abc import Mapping

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.quantities import QuantityError
from carknocker.vocabulary.attribute_reader import entries_of, named, text_of, texts_of, unknown_kind
from carknocker.vocabulary.kind_reader import KindDraft
from carknocker.vocabulary.model import Attribute, SpareKind, WorkKind
from carknocker.vocabulary.range_reader import figure_of
from carknocker.vocabulary.together import (
    Comparison,
    DayOfJob,
    Identity,
    JobWhere,
    OneFigure,
    Order,
    Outside,
    OwnPosition,
    Path,
    Rule,
    Together,
    Words,
    WordsTogether,
)

_COMPARISONS: Mapping[str, Comparison] = {"at_most": "at most", "under": "under", "over": "over"}
_KEYS = frozenset((
    "id", "of", "do", "source", "one", "sum", *_COMPARISONS, "plus", "less", "where", "unless_job", "words", "go_with",
    "count", "unique", "unlike", "spare", "same", "by", "within", "day_of_job",
    "own_position", "jobs",
))  # fmt: skip


class _Row:
    """One row while it is read."""

    def __init__(
        self, node: Node, drafts: Mapping[str, KindDraft], work: Mapping[str, WorkKind],
        spares: Mapping[str, SpareKind], problems: ProblemList,
    ) -> None:  # fmt: skip
        self.node, self.drafts, self.work, self.spares, self.problems = node, drafts, work, spares, problems
        self.entries = entries_of(node, _KEYS, "a row of `together`", problems)
        self.of = self.text("of")
        if self.of not in drafts:
            self.note("of", f"the kind `{self.of}`, which there is not", nearest(self.of, drafts))

    def text(self, key: str) -> str:
        return text_of(self.entries.get(key), key, self.problems)

    def note(self, key: str, found: str, near: str = "") -> None:
        place = self.entries.get(key, self.node)
        self.problems.add(problem_at(place, found, "a name of the vocabulary", near))

    def attribute(self, key: str, name: str, kind: str = "") -> Attribute | None:
        """An attribute of the kind, `of` where none is named; None (reported) if it has none of that name."""
        draft = self.drafts.get(kind or self.of)
        if draft is None:
            if kind:
                self.note(key, f"the kind `{kind}`, which there is not", nearest(kind, self.drafts))
            return None
        found = draft.attributes.get(name)
        if found is None:
            self.note(key, f"`{name}`, which `{draft.name}` lacks", nearest(name, draft.attributes))
        return found

    def path(self, key: str, text: str) -> tuple[Path, Attribute | None]:
        kind, _, name = text.rpartition(".")
        return Path(kind, name), self.attribute(key, name, kind)

    def words(self, key: str, kind: str = "") -> Words:
        found = []
        for name, node in named(self.entries.get(key), "attributes", self.problems):
            self.attribute(key, name, kind)
            found.append((name, texts_of(node, "words", self.problems)))
        return tuple(found)

    def known_job(self, key: str) -> str:
        job = self.text(key)
        if job:
            self.known(key, job)
        return job

    def known(self, key: str, job: str) -> None:
        if job not in self.work:
            self.note(key, f"the job `{job}`, which there is not", nearest(job, self.work))


def read_together(
    section: Node | None, drafts: Mapping[str, KindDraft], work: Mapping[str, WorkKind],
    spares: Mapping[str, SpareKind], problems: ProblemList,
) -> list[Together]:  # fmt: skip
    """The rows of one file. Kinds, attributes, jobs and spares must be there."""
    found: list[Together] = []
    for node in () if section is None or section.is_empty else section.as_sequence():
        before = len(problems)
        row = _Row(node, drafts, work, spares, problems)
        rule = _rule(row)
        name, do, source = row.text("id"), row.text("do"), row.text("source")
        if not (name and do and source):
            problems.add(problem_at(node, "a row without `id`, `do` or `source`", "all three"))
        if rule is None and len(problems) == before:
            problems.add(problem_at(node, f"the row `{name}`, which asks nothing", "`one`, `sum`, `words`, `unique` …"))
        elif rule is not None:
            found.append(Together(name, row.of, rule, do, source))
    return found


_OUTSIDE = frozenset(("of", "says", "attribute", "words", "count", "numbers"))


def read_outside(section: Node | None, drafts: Mapping[str, KindDraft], problems: ProblemList) -> list[Outside]:
    """What one file says of cars that ranges and rows are not made for."""
    found: list[Outside] = []
    for node in () if section is None or section.is_empty else section.as_sequence():
        entries = entries_of(node, _OUTSIDE, "a row of `outside`", problems)
        of, attribute = (text_of(entries.get(key), key, problems) for key in ("of", "attribute"))
        if of not in drafts:
            problems.add(unknown_kind(node, of, drafts))
        elif attribute and attribute not in drafts[of].attributes:
            found_here, near = f"`{of}` has no attribute `{attribute}`", nearest(attribute, drafts[of].attributes)
            problems.add(problem_at(node, found_here, "one of its attributes", near))
        numbers = texts_of(entries.get("numbers"), "numbers", problems)
        if not all(number.isdigit() for number in numbers):
            problems.add(problem_at(node, f"`{', '.join(numbers)}`", "whole numbers"))
            numbers = ()
        found.append(Outside(
            of, text_of(entries.get("says"), "says", problems), attribute,
            texts_of(entries.get("words"), "words", problems), text_of(entries.get("count"), "count", problems),
            tuple(int(number) for number in numbers),
        ))  # fmt: skip
    return found


def _names_another(against: str, row: _Row) -> bool:
    """Whether a text is an attribute of a kind, as `kind.attribute`."""
    kind, _, name = against.rpartition(".")
    return kind in row.drafts and name in row.drafts[kind].attributes


def _rule(row: _Row) -> Rule | None:
    entries = row.entries
    if "words" in entries:
        count = tuple(
            (kind, int(text_of(node, "number", row.problems) or "0"))
            for kind, node in named(entries.get("count"), "kinds of part", row.problems)
        )
        return WordsTogether(row.words("words"), row.words("go_with"), count)
    if "unique" in entries:
        unlike = texts_of(entries.get("unlike"), "attributes", row.problems)
        for name in (row.text("unique"), *unlike):
            row.attribute("unique", name)
        spare = row.text("spare")
        if spare and spare not in row.spares:
            row.note("spare", f"the spare `{spare}`, which there is not", nearest(spare, row.spares))
        return Identity(row.text("unique"), unlike, spare)
    if "same" in entries:
        for key in ("same", "by"):
            row.attribute(key, row.text(key))
        return _one_figure(row)
    if "day_of_job" in entries:
        row.attribute("one", row.text("one"))
        return DayOfJob(row.text("one"), row.known_job("day_of_job"))
    if "own_position" in entries:
        row.attribute("own_position", row.text("own_position"))
        return OwnPosition(row.text("own_position"))
    if "jobs" in entries:
        jobs = texts_of(entries["jobs"], "jobs", row.problems)
        for job in jobs:
            row.known("jobs", job)
        return JobWhere(jobs, row.words("where"), row.known_job("unless_job"))
    return _order(row)


def _one_figure(row: _Row) -> OneFigure | None:
    same, by, within = row.text("same"), row.text("by"), row.text("within")
    attribute = row.attribute("same", same)
    if attribute is None or not within:
        return OneFigure(same, by)
    try:
        n, d = figure_of(within, attribute.type)
    except QuantityError as error:
        problem = problem_at(row.entries["within"], error.found, error.expected, error.nearest, error.remedy)
        row.problems.add(problem)
        return None
    return OneFigure(same, by, n, d, within)


def _order(row: _Row) -> Order | None:
    key = "sum" if "sum" in row.entries else "one"
    texts = texts_of(row.entries.get(key), "attributes", row.problems)
    compared = next((one for one in _COMPARISONS if one in row.entries), "")
    if not texts or not compared:
        return None
    paths = [row.path(key, text) for text in texts]
    first = paths[0][1]
    kind = paths[0][0].kind
    where = row.words("where", kind)
    against, job = row.text(compared), row.known_job("unless_job")
    if first is None:
        return None
    n, d, figure, other = 0, 1, "", ""
    try:
        if against in row.drafts[row.of].attributes or _names_another(against, row):
            other = against
        else:
            n, d = figure_of(against, first.type)
            figure = against
        for word, sign in (("plus", 1), ("less", -1)):
            if word in row.entries:
                more, under = figure_of(row.text(word), first.type)
                n, d = n * under + sign * more * d, d * under
                figure = f"{word} {row.text(word)}"
    except QuantityError as error:
        row.problems.add(problem_at(row.entries[compared], error.found, error.expected, error.nearest, error.remedy))
    added = key == "sum"
    return Order(tuple(path for path, _ in paths), added, _COMPARISONS[compared], other, n, d, figure, where, job)
