"""Editions and their rules as JSON (`carknocker-rules/1`); docs/json.md describes every key."""

from collections.abc import Iterable

from carknocker.page.json_encoder import Rules, encode, json_text, keys, named
from carknocker.wording.edition_text import EditionLine, RuleShown

FORMAT = "carknocker-rules/1"
_RULES: Rules = {
    EditionLine: keys(
        "ruleset", "edition", "title", "layer", "publisher", "host?", "in_force", "until", "checked", "amends?",
        "builds_on", "checked_against?", "revision", "corrections", "complete", "at=where.file",
    ),
    RuleShown: keys("id", "title", "sort", "lines[label text]", "source", "at=where"),
}  # fmt: skip


def editions_json(editions: Iterable[EditionLine], rules: Iterable[RuleShown] = ()) -> str:
    """Editions, and the rules that are shown of them. Ends in a line feed."""
    return json_text(named(FORMAT, encode({"editions": tuple(editions), "rules": tuple(rules)}, _RULES)))
