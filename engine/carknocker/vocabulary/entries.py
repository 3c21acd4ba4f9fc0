"""Small steps shared by the readers of the vocabulary files: keys, words, flags, names."""

import re
from collections.abc import Collection, Mapping
from typing import Literal, cast, get_args

from carknocker.documents import Node, Problem, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.model import Hazard, WorkStage

NAME = re.compile(r"[a-z][A-Za-z0-9_]*")
_STAGES = get_args(WorkStage)
_HAZARDS = get_args(Hazard)
_FLAGS = {"yes": True, "true": True, "no": False, "false": False}


def entries_of(node: Node, known: frozenset[str], what: str, problems: ProblemList) -> Mapping[str, Node]:
    """The values of a mapping by key; a key that is not `known` is a problem at its place."""
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping: {what}"))
        return {}
    found = dict(node.pairs())
    if found.keys() <= known:
        return found
    for key in found.keys() - known:
        problems.add(
            problem_at(
                node.key_where(key), f"the key `{key}` in {what}", "one of " + ", ".join(sorted(known)),
                nearest(key, known), "correct the key, or take it out",
            )
        )  # fmt: skip
    return found


def named(node: Node | None, what: str, problems: ProblemList) -> list[tuple[str, Node]]:
    """Names and values of a mapping of named entries; none where nothing is written."""
    if node is None or node.is_empty:
        return []
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping of {what} by name"))
        return []
    return node.pairs()


def text_of(node: Node | None, what: str, problems: ProblemList) -> str:
    """The text of a scalar; empty where there is none."""
    if node is None or node.is_empty:
        return ""
    if node.kind == "scalar":
        return node.text
    problems.add(problem_at(node, node.describe(), f"{what}: a word or a few"))
    return ""


def texts_of(node: Node | None, what: str, problems: ProblemList) -> tuple[str, ...]:
    """The texts of a list of scalars, each once; a single scalar stands for a list of one."""
    if node is None or node.is_empty:
        return ()
    texts: list[str] = []
    for item in node.as_sequence():
        text = text_of(item, what, problems)
        if text and text in texts:
            problems.add(problem_at(item, f"`{text}` a second time", f"{what}: each once"))
        elif text:
            texts.append(text)
        elif item.kind == "scalar":
            problems.add(problem_at(item, "nothing", f"{what}: a word or a few"))
    return tuple(texts)


def flag_of(node: Node | None, what: str, problems: ProblemList) -> bool:
    """A yes or a no; no where nothing is written."""
    if node is None:
        return False
    flag = _FLAGS.get(node.text) if node.kind == "scalar" else None
    if flag is None:
        problems.add(problem_at(node, node.describe(), f"{what}: yes or no"))
    return bool(flag)


def word_of(node: Node | None, known: Collection[str], what: str, problems: ProblemList) -> str:
    """One of the known words; empty, with a problem, for anything else; empty where nothing is written."""
    text = text_of(node, what, problems)
    if not text or text in known or node is None:
        return text
    problems.add(unknown_word(node, text, known, what))
    return ""


def stage_of(node: Node | None, problems: ProblemList) -> WorkStage | Literal[""]:
    """A stage of work; empty where nothing is written."""
    return cast(WorkStage, word_of(node, _STAGES, "the stage", problems))


def hazards_of(node: Node | None, problems: ProblemList) -> tuple[Hazard, ...]:
    """Hazards, each one of the known ones."""
    for item in () if node is None else node.as_sequence():
        word_of(item, _HAZARDS, "the hazard", problems)
    return cast(tuple[Hazard, ...], texts_of(node, "hazards", problems))


def unknown_word(node: Node, text: str, known: Collection[str], what: str) -> Problem:
    """The problem of a word that is not one of the known ones."""
    return problem_at(node, f"{what} `{text}`", "one of " + ", ".join(sorted(known)), nearest(text, known))


def unknown_kind(node: Node, name: str, kinds: Collection[str]) -> Problem:
    """The problem of a kind of part that the vocabulary lacks."""
    return problem_at(node, f"the kind `{name}`, which there is not", "a kind of the vocabulary", nearest(name, kinds))
