"""Reads the file of doubts, and checks every word in it against the vocabulary."""

from carknocker.documents import Node, ProblemList, read_document
from carknocker.rulebook.clause_reader import read_clause
from carknocker.rulebook.clauses import AttributePath, comparisons, paths
from carknocker.rulebook.doubts import Doubt
from carknocker.rulebook.path_reader import read_path
from carknocker.rulebook.reading_context import NAME, Context, Subject, VocabularyLookup
from carknocker.vocabulary.model import Vocabulary

_KEYS = ("of", "when", "must", "throws", "newer", "or_older", "says", "source")


def read_doubts(text: str, file: str, vocabulary: Vocabulary) -> tuple[Doubt, ...]:
    """The doubts of a file. Raises InputRefused, with every problem at its place."""
    problems = ProblemList()
    context = Context(problems, VocabularyLookup(vocabulary))
    document = read_document(text, file, problems)
    entries = None if document is None else context.entries(document, ("doubts",), "the file of doubts")
    named = None if document is None or not entries else context.required(entries, "doubts", document, "the file")
    found: list[Doubt] = []
    for name, node in () if named is None else named.pairs():
        if NAME.fullmatch(name) is None:
            assert named is not None
            context.note(named.key_where(name), f"the name `{name[:60]}`", "small letters, digits and hyphens")
        doubt = _doubt(name, node, context)
        if doubt is not None:
            found.append(doubt)
    problems.refuse_if_any()
    return tuple(found)


def _doubt(name: str, node: Node, context: Context) -> Doubt | None:
    entries = context.entries(node, _KEYS, "a doubt")
    if entries is None:
        return None
    kind = context.kind(context.required(entries, "of", node, "a doubt"))
    must_node = context.required(entries, "must", node, "a doubt")
    says = context.text(context.required(entries, "says", node, "a doubt"), "what is odd")
    source = context.text(context.required(entries, "source", node, "a doubt"), "what the figure rests on")
    if not kind or must_node is None:
        return None
    subject = Subject((kind,))
    must = read_clause(must_node, subject, context)
    when = read_clause(entries["when"], subject, context) if "when" in entries else None
    if must is None or ("when" in entries and when is None):
        return None
    looked_at = {str(path) for clause in (must, when) for _, one in comparisons(clause) for path in paths(one)}
    throws = _looked_at(entries.get("throws"), looked_at, subject, context)
    newer = _looked_at(entries.get("newer"), looked_at, subject, context)
    if len(newer) > 1 or (newer and not throws):
        context.note(entries["newer"], "`newer`", "one path, beside the `throws` that it may be newer than")
    or_older = context.text(entries.get("or_older"), "whether it is asked also where it is not newer") if newer else ""
    if or_older not in ("", "yes"):
        context.note(entries["or_older"], f"`{or_older}`", "`yes`, or nothing")
    return Doubt(
        name, kind, must, when, tuple(throws), says, source, next(iter(newer), None), not newer or or_older == "yes"
    )


def _looked_at(node: Node | None, looked_at: set[str], subject: Subject, context: Context) -> list[AttributePath]:
    """The paths that an entry names, each one at which the doubt looks."""
    found: list[AttributePath] = []
    for text, item in context.texts(node, "a path that the doubt looks at"):
        path = read_path(text, item.where, subject, context)
        if path is not None and str(path) not in looked_at:
            context.note(item, f"`{text}`, at which the doubt does not look", "a path of its `must` or its `when`")
        elif path is not None:
            found.append(path)
    return found
